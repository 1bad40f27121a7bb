//! A rod end rotated about its pin, in the plane of the ears, until it touches.
//!
//! Seen along the pin, which is at the origin, a rod end is its round head and a few [`Strip`]s
//! that begin at some distance and are unlimited: shank, jam nut, tube. The bodies it can touch are
//! plates and blocks that are seen as polygons; some of them leave the centre of the gap free, and
//! only a strip thicker than that touches them.

use crate::fit::swing::Obstacle;
use crate::fit::swing::Rod;
use crate::fit::swing::Swing;
use crate::fit::touched::Touched;
use crate::geom::Point;
use crate::num::Angle;

/// Steps of the sweep, degrees. Our choice: a shank of 10 mm covers one of them up to 280 mm from
/// the pin, farther than any body but the base, so that nothing is missed between.
const STEP: f64 = 2.0;

/// Maximum rotation tested: half way round, where the other side begins.
const MAX: f64 = 180.0;

/// Steps in which the angle is halved: far below any angle that can be measured.
const HALVINGS: usize = 30;

/// A round bar that begins at a distance from the pin and is unlimited, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// From the pin to where it begins.
    pub from: f64,
    /// Its radius.
    pub radius: f64,
}

/// Turns a rod end that points along x to one side, anticlockwise or else clockwise, until
/// it touches one of the `obstacles`. With `tail` beyond its shank: what it is screwed into.
pub(super) fn rotation(
    rod: &Rod,
    tail: &[Strip],
    obstacles: &[Obstacle],
    clockwise: bool,
) -> Swing {
    let shank = Strip { from: 0.0, radius: rod.shank };
    let touched = |degrees: f64| {
        let angle = Angle::from_degrees(if clockwise { -degrees } else { degrees });
        obstacles.iter().find(|obstacle| {
            let strips = std::iter::once(&shank).chain(tail);
            touches_head(rod, obstacle) || strips.into_iter().any(|s| touches(s, obstacle, angle))
        })
    };
    let steps = (MAX / STEP) as usize;
    let first = (0..=steps).find_map(|i| {
        let degrees = STEP * i as f64;
        touched(degrees).map(|obstacle| (degrees, obstacle))
    });
    let Some((mut held, obstacle)) = first else {
        return Swing { angle: Angle::from_degrees(MAX), touches: Touched::Nothing };
    };
    let (mut free, mut touches) = ((held - STEP).max(0.0), obstacle.what);
    for _ in 0..HALVINGS {
        let middle = (free + held) / 2.0;
        match touched(middle) {
            Some(obstacle) => (held, touches) = (middle, obstacle.what),
            None => free = middle,
        }
    }
    Swing { angle: Angle::from_degrees(free), touches }
}

/// Whether the head, which looks the same however it is rotated, reaches an obstacle.
fn touches_head(rod: &Rod, obstacle: &Obstacle) -> bool {
    obstacle.at < rod.half && distance(&obstacle.shape) < rod.head
}

/// Whether a strip turned by an angle lies over an obstacle, where it is thick enough.
fn touches(strip: &Strip, obstacle: &Obstacle, angle: Angle) -> bool {
    let half = strip.radius * strip.radius - obstacle.at * obstacle.at;
    if half <= 0.0 {
        return false;
    }
    let half = half.sqrt();
    let (sin, cos) = (angle.sin(), angle.cos());
    let rotated = obstacle.shape.iter().map(|p| (p.x * cos + p.y * sin, p.y * cos - p.x * sin));
    let shape = clipped(&rotated.collect::<Vec<_>>(), |p| p.0 - strip.from);
    let shape = clipped(&shape, |p| half - p.1);
    !clipped(&shape, |p| half + p.1).is_empty()
}

/// What of a polygon lies where `inside` is above 0.
fn clipped(shape: &[(f64, f64)], inside: impl Fn(&(f64, f64)) -> f64) -> Vec<(f64, f64)> {
    let mut kept = Vec::with_capacity(shape.len() + 2);
    let next = shape.iter().cycle().skip(1);
    for (a, b) in shape.iter().zip(next) {
        let (at, to) = (inside(a), inside(b));
        if at > 0.0 {
            kept.push(*a);
        }
        if (at > 0.0) != (to > 0.0) {
            let share = at / (at - to);
            kept.push((a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)));
        }
    }
    kept
}

/// From the origin to the nearest point of a polygon; 0 within it.
fn distance(shape: &[Point]) -> f64 {
    let next = shape.iter().cycle().skip(1);
    let mut within = false;
    let mut min = f64::INFINITY;
    for (a, b) in shape.iter().zip(next) {
        if (a.y > 0.0) != (b.y > 0.0) && a.x - a.y * (b.x - a.x) / (b.y - a.y) > 0.0 {
            within = !within;
        }
        let along = *b - *a;
        let share = -a.to_vec2().dot(along) / along.hypot2();
        let nearest = if share.is_finite() { *a + along * share.clamp(0.0, 1.0) } else { *a };
        min = min.min(nearest.to_vec2().hypot());
    }
    if within { 0.0 } else { min }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Side;
    use crate::geom::disc;
    use crate::geom::flatten;
    use proptest::prelude::*;

    const M10: Rod =
        Rod { head: 14.0, half: 5.25, shank: 5.0, catalogue: Angle::from_degrees(13.0) };

    fn block(what: Touched, x: [f64; 2], y: [f64; 2], at: f64) -> Obstacle {
        let corners = [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])];
        Obstacle { what, shape: corners.map(|(x, y)| Point::new(x, y)).to_vec(), at }
    }

    /// The rod end points along x; its base is this far behind the pin.
    fn floor(behind: f64) -> Obstacle {
        block(Touched::Plate, [-1e7, -behind], [-1e7, 1e7], 0.0)
    }

    fn both(tail: &[Strip], obstacles: &[Obstacle]) -> [f64; 2] {
        [false, true].map(|side| rotation(&M10, tail, obstacles, side).angle.degrees())
    }

    /// A shank without end is stopped by a floor without end where it lies along it.
    #[test]
    fn an_endless_floor_leaves_a_quarter_turn() {
        for angle in both(&[], &[floor(26.0)]) {
            assert!((angle - 90.0).abs() < 1e-3, "{angle}");
        }
    }

    /// A web of 4 mm whose top is 18 mm behind the pin, 10 to 14 mm aside: rotated to its side
    /// the shank meets the corner that is further aside. It lies at √(18² + 14²) = 22.804 mm,
    /// 180° − atan(14 / 18) = 142.125° from where the rod points; the shank reaches it
    /// asin(5 / 22.804) = 12.666° earlier: 129.459°. To the other side half a turn is free.
    #[test]
    fn a_web_stops_the_shank_at_its_corner() {
        let web = block(Touched::Ear, [-40.0, -18.0], [10.0, 14.0], 0.0);
        let [left, right] = both(&[], &[web]);
        assert!((left - 129.459).abs() < 2e-3, "{left}");
        assert!((right - 180.0).abs() < 1e-9, "{right}");
    }

    /// A tube of 25 mm that begins 29 mm from the pin, over a floor 15 mm behind it, stood up
    /// on its near corner (29, 12.5), which lies at √(29² + 12.5²) = 31.579 mm and
    /// atan(12.5 / 29) = 23.318°: it is 15 mm behind the pin at 180° − acos(15 / 31.579) =
    /// 118.360°, less 23.318°: 95.042°. But the tube has no end, and lies along the floor at 90°.
    /// Over a floor 14.2 mm behind it a thicker tube, of 30 mm, touches at √(29² + 15²) =
    /// 32.650, atan(15 / 29) = 27.350°: 180° − acos(14.2 / 32.650) = 115.779°, less 27.350°: 88.429°.
    #[test]
    fn the_tube_of_a_link_touches_before_its_shank() {
        for (radius, behind, wanted) in [(12.5, 15.0, 90.0), (15.0, 14.2, 88.429)] {
            let tail = [Strip { from: 29.0, radius }];
            for angle in both(&tail, &[floor(behind)]) {
                assert!((angle - wanted).abs() < 2e-3, "{angle}");
            }
        }
    }

    /// A round tube of 60 mm whose crest is 26 mm behind the pin: its centre is 56 mm away,
    /// and the shank touches when it passes the centre by 30 + 5: 180° − asin(35 / 56).
    #[test]
    fn a_round_tube_leaves_more_than_a_quarter() {
        let shape = flatten(&disc(Point::new(-56.0, 0.0), 30.0).unwrap(), 0.002, Side::Outside);
        let wanted = 180.0 - crate::num::asin(35.0 / 56.0).degrees();
        for angle in both(&[], &[Obstacle { what: Touched::Tube, shape, at: 0.0 }]) {
            assert!((angle - wanted).abs() < 0.02, "{angle} {wanted}");
        }
    }

    #[test]
    fn a_head_that_touches_leaves_nothing_and_a_thin_rod_passes_between_welds() {
        assert_eq!(both(&[], &[floor(13.9)]), [0.0, 0.0]);
        let weld = |at: f64| block(Touched::Weld, [-30.0, -20.0], [-20.0, 20.0], at);
        assert_eq!(both(&[], &[weld(5.3)]), [180.0, 180.0]);
        assert!(both(&[], &[weld(3.0)])[0] < 180.0);
    }

    proptest! {
        #[test]
        fn a_turn_never_shrinks_when_what_it_stands_on_is_further_away(
            behind in 14.5..60.0f64, more in 0.0..40.0f64, wide in 5.0..60.0f64,
            radius in 6.0..20.0f64, from in 20.0..60.0f64,
        ) {
            let tail = [Strip { from, radius }];
            let at = |behind: f64| both(&tail, &[block(Touched::Plate, [-200.0, -behind], [-wide, wide], 0.0)]);
            for (near, far) in at(behind).iter().zip(at(behind + more)) {
                prop_assert!(far >= near - 1e-6, "{near} {far}");
            }
        }
    }
}
