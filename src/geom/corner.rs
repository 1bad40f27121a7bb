//! Polygons whose corners are sharp, rounded, chamfered or clipped.

use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;
use thiserror::Error;

/// What is done to a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CornerKind {
    /// Left as it is.
    Sharp,
    /// Rounded with a radius in mm.
    Round(f64),
    /// Cut off so far from the corner along both edges, in mm.
    Chamfer(f64),
    /// Hollowed by a disc of this radius in mm round the corner, as clearance for a weld.
    Clip(f64),
}

/// A corner of a polygon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where the edges would meet.
    pub at: Point,
    /// What is done to it.
    pub kind: CornerKind,
}

/// Why corners make no polygon. The numbers are indices of corners.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CornerError {
    /// Fewer than three corners.
    #[error("a polygon needs at least 3 corners, this has {0}")]
    Few(usize),
    /// Two neighbouring corners share a place.
    #[error("corners {} and {} coincide", .0 + 1, .1 + 1)]
    Repeated(usize, usize),
    /// What is done to the corner takes more than its edges have.
    #[error("corner {} needs {taken:.3} mm of an edge {there:.3} mm long", .corner + 1)]
    Large {
        /// Which.
        corner: usize,
        /// Needed along the edge, with the neighbour's share.
        taken: f64,
        /// Length of the edge.
        there: f64,
    },
    /// A rounded, chamfered or clipped corner is no corner.
    #[error("corner {} is straight, so there is nothing to round or clip", .0 + 1)]
    Straight(usize),
    /// Nothing is rounded, chamfered or clipped by less than nothing.
    #[error("the size at corner {} is less than 0 mm", .0 + 1)]
    Negative(usize),
    /// The outline crosses itself.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// The outline of a polygon.
///
/// # Errors
/// When there are too few corners, one takes more than its edges have, or edges cross.
pub fn polygon(corners: &[Corner]) -> Result<Outline, CornerError> {
    let sides = sides(corners)?;
    let treated = treated(corners, &sides)?;
    fit(&treated, &sides)?;
    let mut vertices = Vec::with_capacity(2 * corners.len());
    for (i, (corner, treated)) in corners.iter().zip(&treated).enumerate() {
        let (before, after) = beside(&sides, i);
        let taken = treated.taken;
        if taken == 0.0 {
            vertices.push(Vertex { at: corner.at, bulge: 0.0 });
            continue;
        }
        let bulge = bulge(corner.kind, treated.turn);
        vertices.push(Vertex { at: corner.at - before.normalize() * taken, bulge });
        vertices.push(Vertex { at: corner.at + after.normalize() * taken, bulge: 0.0 });
    }
    Ok(Outline::new(vertices)?)
}

/// From each corner to the next.
fn sides(corners: &[Corner]) -> Result<Vec<Vec2>, CornerError> {
    let n = corners.len();
    if n < 3 {
        return Err(CornerError::Few(n));
    }
    if corners.iter().any(|c| !c.at.is_finite()) {
        return Err(OutlineError::NotFinite.into());
    }
    let side = |i: usize| {
        let next = (i + 1) % n;
        let side = corners[next].at - corners[i].at;
        if side.hypot() < NEAR { Err(CornerError::Repeated(i, next)) } else { Ok(side) }
    };
    (0..n).map(side).collect()
}

/// The sides before and after a corner.
fn beside(sides: &[Vec2], i: usize) -> (Vec2, Vec2) {
    (sides[(i + sides.len() - 1) % sides.len()], sides[i])
}

/// A corner with what its treatment asks for.
struct Treated {
    /// From the side before it to the one after it, anticlockwise.
    turn: Angle,
    /// Of each side, mm.
    taken: f64,
}

/// The corners, each by itself.
fn treated(corners: &[Corner], sides: &[Vec2]) -> Result<Vec<Treated>, CornerError> {
    let one = |(i, corner): (usize, &Corner)| {
        let (before, after) = beside(sides, i);
        let turn = Angle::of(before.dot(after), before.cross(after));
        let straight = turn.degrees().abs() < 1e-6 || turn.degrees().abs() > 180.0 - 1e-6;
        if let CornerKind::Round(by) | CornerKind::Chamfer(by) | CornerKind::Clip(by) = corner.kind
            && by < 0.0
        {
            return Err(CornerError::Negative(i));
        }
        if corner.kind != CornerKind::Sharp && straight {
            return Err(CornerError::Straight(i));
        }
        let taken = match corner.kind {
            CornerKind::Sharp => 0.0,
            CornerKind::Round(r) => r * Angle::from_degrees(turn.degrees().abs() / 2.0).tan(),
            CornerKind::Chamfer(d) | CornerKind::Clip(d) => d,
        };
        Ok(Treated { turn, taken })
    };
    corners.iter().enumerate().map(one).collect()
}

/// Whether every side is as long as what both its corners take.
fn fit(treated: &[Treated], sides: &[Vec2]) -> Result<(), CornerError> {
    for (i, side) in sides.iter().enumerate() {
        let (there, next) = (side.hypot(), (i + 1) % sides.len());
        let [own, other] = [i, next].map(|i| treated[i].taken);
        let taken = own + other;
        if taken > there + NEAR || own < 0.0 || !taken.is_finite() {
            let corner = if own >= other { i } else { next };
            return Err(CornerError::Large { corner, taken, there });
        }
    }
    Ok(())
}

/// The bulge of what replaces a corner that turns by so much.
fn bulge(kind: CornerKind, turn: Angle) -> f64 {
    match kind {
        CornerKind::Round(_) => Angle::from_degrees(turn.degrees() / 4.0).tan(),
        CornerKind::Clip(_) => {
            // The disc round the corner is passed on its far side: the sweep is the corner's
            // inner angle, turned against the corner.
            let turn = turn.degrees();
            let inner = (180.0 - turn.abs()) * turn.signum();
            Angle::from_degrees(-inner / 4.0).tan()
        }
        CornerKind::Sharp | CornerKind::Chamfer(_) => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(kind: CornerKind) -> Vec<Corner> {
        [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)]
            .map(|(x, y)| Corner { at: Point::new(x, y), kind })
            .to_vec()
    }

    #[test]
    fn each_kind_of_corner_takes_its_area() {
        let pi = crate::num::PI;
        for (kind, loss) in [
            (CornerKind::Sharp, 0.0),
            (CornerKind::Round(4.0), 16.0 * (1.0 - pi / 4.0)),
            (CornerKind::Chamfer(4.0), 8.0),
            (CornerKind::Clip(4.0), 4.0 * pi),
        ] {
            let area = polygon(&square(kind)).unwrap().area();
            assert!((area - (400.0 - 4.0 * loss)).abs() < 1e-9, "{kind:?}: {area}");
        }
    }

    #[test]
    fn direction_does_not_matter() {
        let mut corners = square(CornerKind::Clip(3.0));
        corners[1].kind = CornerKind::Round(5.0);
        let outline = polygon(&corners).unwrap();
        corners.reverse();
        assert_eq!(polygon(&corners).unwrap(), outline);
    }

    #[test]
    fn refusals_name_the_corner() {
        let large = polygon(&square(CornerKind::Round(11.0)));
        assert!(matches!(large, Err(CornerError::Large { corner: 0, .. })));
        let mut corners = square(CornerKind::Sharp);
        corners[2].at = corners[1].at;
        assert_eq!(polygon(&corners), Err(CornerError::Repeated(1, 2)));
        assert_eq!(polygon(&corners[..2]), Err(CornerError::Few(2)));
        let straight = Corner { at: Point::new(10.0, 0.0), kind: CornerKind::Round(1.0) };
        let mut corners = square(CornerKind::Sharp);
        corners.insert(1, straight);
        assert_eq!(polygon(&corners), Err(CornerError::Straight(1)));
    }
}
