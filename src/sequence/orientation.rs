//! How a part lies before the operator at one bend, and what brings it there from the bend before.
//!
//! The operator looks down on it: x to the right, y away. The clamped side of the bend is away from
//! the operator, the moving side is towards the operator.

use crate::geom::Place;
use crate::geom::Vec2;
use crate::num::Angle;

/// Rotations that differ by less are equal, degrees. Our choice: the difference is invisible.
const SAME: f64 = 0.05;

/// Which way a part is flipped over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flip {
    /// Left for right.
    Sideways,
    /// Front for back.
    Endways,
}

/// The operator's action with the part before a bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Action {
    /// It is the first bend, or a different face lies flat: it is laid down again.
    Lay,
    /// Turned over where asked, then rotated, anticlockwise as seen from above.
    Move {
        /// Turned over.
        flip: Option<Flip>,
        /// −180° < rotation ≤ 180°, 0° where it stays.
        rotate: Angle,
    },
}

/// From the flat, top side shown, to the operator's view from above: mirrored where the bottom side
/// is up, then rotated. `towards` is the direction in the flat from the clamped to the moving side.
pub(super) fn place(towards: Vec2, top_up: bool) -> Place {
    let seen = if top_up { towards } else { Vec2::new(-towards.x, towards.y) };
    let rotation = -90.0 - Angle::of(seen.x, seen.y).degrees();
    Place {
        mirrored: !top_up,
        rotation: Angle::from_degrees(rotation.rem_euclid(360.0)),
        shift: Vec2::ZERO,
    }
}

/// The action that moves a part from one place to the next.
pub(super) fn between(before: &Place, after: &Place) -> Action {
    let [from, to] = [before, after].map(|place| place.rotation.degrees());
    if before.mirrored == after.mirrored {
        return Action::Move { flip: None, rotate: half(to - from) };
    }
    // Turned over left for right and rotated by this is the same as reflected about its axis.
    let rotate = half(from + to);
    if (rotate.degrees().abs() - 180.0).abs() < SAME {
        return Action::Move { flip: Some(Flip::Endways), rotate: Angle::ZERO };
    }
    Action::Move { flip: Some(Flip::Sideways), rotate }
}

/// The same rotation by no more than half a circle; 0 if it is invisible.
fn half(degrees: f64) -> Angle {
    let whole = degrees.rem_euclid(360.0);
    let half = if whole > 180.0 + SAME { whole - 360.0 } else { whole };
    if half.abs() < SAME { Angle::ZERO } else { Angle::from_degrees(half) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;

    /// The position of a point of the flat after an action, by carrying it out.
    fn done(action: Action, seen: Point) -> Point {
        let Action::Move { flip, rotate } = action else { return seen };
        let flipped = match flip {
            None => seen,
            Some(Flip::Sideways) => Point::new(-seen.x, seen.y),
            Some(Flip::Endways) => Point::new(seen.x, -seen.y),
        };
        Place::rotated(rotate, Point::ZERO).apply(flipped)
    }

    #[test]
    fn what_moves_lies_towards_the_operator_and_the_action_brings_it_there() {
        let p = Point::new(3.0, 1.0);
        let ways = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.6, 0.8)];
        let places: Vec<Place> = ways
            .into_iter()
            .flat_map(|(x, y)| [true, false].map(|up| place(Vec2::new(x, y), up)))
            .collect();
        for (i, before) in places.iter().enumerate() {
            let way = ways[i / 2];
            let seen = before.direction(Vec2::new(way.0, way.1));
            assert!((seen - Vec2::new(0.0, -1.0)).hypot() < 1e-12, "{seen:?}");
            for after in &places {
                let [is, needed] = [done(between(before, after), before.apply(p)), after.apply(p)];
                assert!((is - needed).hypot() < 1e-9, "{before:?} to {after:?}");
            }
        }
    }
}
