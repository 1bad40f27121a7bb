//! A rod end swept between two ears until it touches.
//!
//! The head is a disc with sharp edges, the shank a cylinder without end: what a manufacturer
//! rounds off is to the good. Seen along the pin, the rod end points along x. Tilted by an
//! angle α, the upper side of the head rises along x as x · tan α + w / cos α, with w half
//! the width of the head, up to its edge; so it is enough to look where each line along x
//! enters and leaves the bodies it can touch.

use crate::fit::touched::Touched;
use crate::geom::Point;
use crate::num::Angle;
use crate::table::Row;

/// Lines along x across the head. Our choice: a place between two of them is off by less than a
/// thousandth of the head.
const LINES: usize = 401;

/// Steps in which a first contact is sought. Our choice: half a degree for most balls.
const STEPS: usize = 26;

/// Steps in which the angle is halved: far below any angle that can be measured.
const HALVINGS: usize = 40;

/// What of a rod end can touch, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rod {
    /// Radius of the head.
    pub head: f64,
    /// Half the width of the head.
    pub half: f64,
    /// Radius of the shank.
    pub shank: f64,
    /// How far the ball lets it tilt, by the catalogue.
    pub catalogue: Angle,
}

/// A plate that the rod end can touch: everything above `at` within its shape.
#[derive(Clone, Debug)]
pub(crate) struct Obstacle {
    /// Its kind.
    pub what: Touched,
    /// Seen along the pin, which is at the origin.
    pub shape: Vec<Point>,
    /// Height of its nearer side above the centre of the ball.
    pub at: f64,
}

/// How far a rod end tilts to one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// The angle that is left.
    pub angle: Angle,
    /// The body it then touches; the ball itself if the catalogue is the limit.
    pub touches: Touched,
}

impl Rod {
    /// By its row in the table of rod ends. A housing is narrower than its ball, and counts as wide
    /// where it is not known. A ball of which no angle is known does not tilt.
    pub(crate) fn of(row: &Row) -> Self {
        let width = row.quantity("body_width").or_else(|| row.quantity("ball_width"));
        Self {
            head: row.measure("head") / 2.0,
            half: width.map_or(0.0, |width| width.value) / 2.0,
            shank: row.measure("shank") / 2.0,
            catalogue: Angle::from_degrees(row.measure("swing")),
        }
    }
}

/// Tilts a rod end upwards until it touches one of the `ears`, which are above and, mirrored,
/// below; or one of the bodies `beyond` the upper ear; or its own ball.
pub(super) fn tilt(rod: &Rod, ears: &[Obstacle], beyond: &[Obstacle]) -> Swing {
    let mut min = Swing { angle: rod.catalogue, touches: Touched::Ball };
    // The back of the head moves down as its front moves up: the lower ear seen from there.
    let ahead = ears.iter().chain(beyond).map(|o| (o, 1.0));
    let behind = ears.iter().map(|o| (o, -1.0));
    for (obstacle, side) in ahead.chain(behind) {
        let spans = spans(rod, &obstacle.shape, side);
        let touches =
            |angle: Angle| reaches(rod, &spans, &Lean::of(angle), side > 0.0, obstacle.at);
        // A body passed by the edge may be left again: the first contact counts.
        let at = |i: usize| min.angle.degrees() * i as f64 / STEPS as f64;
        let Some(first) = (0..=STEPS).find(|i| touches(Angle::from_degrees(at(*i)))) else {
            continue;
        };
        let (mut free, mut held) = (at(first.saturating_sub(1)), at(first));
        for _ in 0..HALVINGS {
            let middle = (free + held) / 2.0;
            if touches(Angle::from_degrees(middle)) { held = middle } else { free = middle }
        }
        min = Swing { angle: Angle::from_degrees(free), touches: obstacle.what };
    }
    min
}

/// Where a line along x at height `y` lies within a shape, from – to.
struct Span {
    y: f64,
    from: f64,
    to: f64,
}

/// The shape cut into lines along x; `side` is −1 for the view from behind.
fn spans(rod: &Rod, shape: &[Point], side: f64) -> Vec<Span> {
    let wide = rod.head.max(rod.shank);
    let height = |i: usize| wide * (2.0 * i as f64 / (LINES - 1) as f64 - 1.0);
    let mut cuts = vec![Vec::new(); LINES];
    for (a, b) in shape.iter().zip(shape.iter().cycle().skip(1)) {
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        // The first line that may cross the side; the others follow it.
        let first = ((low / wide + 1.0) * (LINES - 1) as f64 / 2.0).floor().max(0.0) as usize;
        for (i, cuts) in cuts.iter_mut().enumerate().skip(first) {
            let y = height(i);
            if y > high {
                break;
            }
            if (a.y <= y) != (b.y <= y) {
                cuts.push(side * (a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)));
            }
        }
    }
    let mut spans = Vec::new();
    for (i, mut cuts) in cuts.into_iter().enumerate() {
        cuts.sort_by(f64::total_cmp);
        let pairs = cuts.chunks_exact(2);
        spans.extend(pairs.map(|pair| Span { y: height(i), from: pair[0], to: pair[1] }));
    }
    spans
}

/// How far the rod end leans.
struct Lean {
    sin: f64,
    cos: f64,
    tan: f64,
}

impl Lean {
    fn of(angle: Angle) -> Self {
        Self { sin: angle.sin(), cos: angle.cos(), tan: angle.tan() }
    }
}

/// Whether any point of the tilted rod end over the spans is above a height.
fn reaches(rod: &Rod, spans: &[Span], lean: &Lean, shank: bool, height: f64) -> bool {
    spans.iter().any(|span| {
        head(rod, span, lean).is_some_and(|top| top > height)
            || (shank && self::shank(rod, span, lean).is_some_and(|top| top > height))
    })
}

/// The highest point of the head over a span.
fn head(rod: &Rod, span: &Span, lean: &Lean) -> Option<f64> {
    let deep = (rod.head * rod.head - span.y * span.y).max(0.0).sqrt();
    let (edge, shift) = (deep * lean.cos, rod.half * lean.sin);
    // The upper side lies over −edge − shift to edge − shift, the round side from there on
    // to edge + shift.
    let best = (edge - shift).clamp(span.from, span.to);
    if best < -edge - shift || best > edge + shift {
        return None;
    }
    if best <= edge - shift {
        return Some(best * lean.tan + rod.half / lean.cos);
    }
    Some(deep * lean.sin + (deep * lean.cos - best) / lean.sin * lean.cos)
}

/// The highest point of the shank, from the edge of the head on, over a span.
fn shank(rod: &Rod, span: &Span, lean: &Lean) -> Option<f64> {
    if span.y.abs() >= rod.shank {
        return None;
    }
    let high = (rod.shank * rod.shank - span.y * span.y).sqrt();
    let begins = rod.head * lean.cos - high * lean.sin;
    (span.to >= begins).then(|| span.to * lean.tan + high / lean.cos)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Side;
    use crate::geom::disc;
    use crate::geom::flatten;

    const M10: Rod =
        Rod { head: 14.0, half: 5.25, shank: 5.0, catalogue: Angle::from_degrees(13.0) };

    fn ear(radius: f64, at: f64) -> Obstacle {
        let shape = flatten(&disc(Point::ZERO, radius).unwrap(), 0.002, Side::Outside);
        Obstacle { what: Touched::Ear, shape, at }
    }

    fn degrees(rod: &Rod, radius: f64, at: f64) -> f64 {
        tilt(rod, &[ear(radius, at)], &[]).angle.degrees()
    }

    /// Between ears that reach further than the head its edge touches: with R = 14, w = 5.25
    /// and half a gap of 7.1, 14 sin α + 5.25 cos α = 7.1. By hand: √(14² + 5.25²) = 14.952,
    /// atan(5.25 / 14) = 20.556°, asin(7.1 / 14.952) = 28.350°: α = 7.794°. The shank under an
    /// ear of 14.2 mm would touch later: 14.2 tan α + 5 / cos α = 7.1 at 8.2°.
    #[test]
    fn a_head_between_large_ears_touches_with_its_edge() {
        assert!((degrees(&M10, 14.2, 7.1) - 7.794).abs() < 2e-3, "{}", degrees(&M10, 14.2, 7.1));
    }

    /// Under a long ear the shank touches first: 20 tan α + 5 / cos α = 7.1. With t = tan α:
    /// (7.1 − 20 t)² = 25 (1 + t²), so 375 t² − 284 t + 25.41 = 0 and t = 0.10366: 5.918°.
    #[test]
    fn a_shank_touches_the_end_of_a_long_ear() {
        assert!((degrees(&M10, 20.0, 7.1) - 5.918).abs() < 2e-3, "{}", degrees(&M10, 20.0, 7.1));
    }

    /// A fabricator measured 5.5° with a rod end of 3/4 in bore between ears, without spacers.
    /// The note does not tell the ears; tabs 1-1/4 to 1-3/4 in wide are usual.
    #[test]
    fn a_measured_swing_lies_between_those_of_usual_ears() {
        let inch = 25.4;
        let rod = Rod {
            head: 0.875 * inch,
            half: 0.687 / 2.0 * inch,
            shank: 0.375 * inch,
            catalogue: Angle::from_degrees(14.0),
        };
        let swing = |wide: f64| degrees(&rod, wide / 2.0 * inch, 0.4375 * inch);
        assert!(swing(1.75) < 5.5 && 5.5 < swing(1.25), "{} {}", swing(1.75), swing(1.25));
    }

    #[test]
    fn the_catalogue_limits_what_nothing_touches() {
        let swing = tilt(&M10, &[ear(8.0, 30.0)], &[]);
        assert_eq!((swing.angle.degrees(), swing.touches), (13.0, Touched::Ball));
        assert_eq!(degrees(&M10, 20.0, 5.0), 0.0);
    }

    #[test]
    fn what_stands_beyond_an_ear_can_be_touched_too() {
        let wide = Rod { catalogue: Angle::from_degrees(60.0), ..M10 };
        let head = Obstacle { what: Touched::BoltHead, ..ear(40.0, 12.0) };
        let swing = tilt(&wide, &[ear(2.0, 7.1)], &[head]);
        assert_eq!(swing.touches, Touched::BoltHead);
    }

    proptest::proptest! {
        #[test]
        fn swing_never_grows_when_the_ear_grows(
            radius in 6.0..40.0f64, more in 0.0..10.0f64, at in 5.3..12.0f64,
        ) {
            // Chords differ from the arc by thousandths.
            let (small, large) = (degrees(&M10, radius, at), degrees(&M10, radius + more, at));
            proptest::prop_assert!(large <= small + 0.03, "{small} {large}");
        }

        #[test]
        fn swing_never_shrinks_when_the_gap_grows(
            radius in 6.0..40.0f64, at in 5.3..12.0f64, more in 0.0..6.0f64,
        ) {
            proptest::prop_assert!(degrees(&M10, radius, at + more) >= degrees(&M10, radius, at));
        }
    }
}
