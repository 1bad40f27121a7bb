//! Straight lines and rectangles of a drawing: whether they cross or touch.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;

/// Degrees of an arc in one straight piece.
const STEP: f64 = 10.0;

/// An edge as straight pieces.
pub(crate) fn pieces(edge: &Edge) -> Vec<[Point; 2]> {
    let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
    let steps = (sweep / STEP).ceil().max(1.0) as usize;
    let at = |i: usize| edge.point_at(i as f64 / steps as f64);
    (0..steps).map(|i| [at(i), at(i + 1)]).collect()
}

/// Whether two rectangles share more than an edge.
pub(super) fn overlap(a: &Bounds, b: &Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}

/// Whether a straight line runs into a rectangle.
pub(super) fn crosses([from, to]: &[Point; 2], bounds: &Bounds) -> bool {
    if is_beside([from.x, to.x], [bounds.min.x, bounds.max.x])
        || is_beside([from.y, to.y], [bounds.min.y, bounds.max.y])
    {
        return false;
    }
    let along = *to - *from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let sides = [
        (-along.x, from.x - bounds.min.x),
        (along.x, bounds.max.x - from.x),
        (-along.y, from.y - bounds.min.y),
        (along.y, bounds.max.y - from.y),
    ];
    for (speed, room) in sides {
        if speed == 0.0 {
            if room <= 0.0 {
                return false;
            }
        } else if speed < 0.0 {
            enter = enter.max(room / speed);
        } else {
            leave = leave.min(room / speed);
        }
    }
    enter < leave
}

/// Whether a stretch lies wholly before or behind another on an axis: most pairs of a drawing are
/// distinguished so.
fn is_beside([a, b]: [f64; 2], [low, high]: [f64; 2]) -> bool {
    (a <= low && b <= low) || (a >= high && b >= high)
}

/// Whether two straight lines cross.
pub(super) fn meet([a, b]: &[Point; 2], [c, d]: &[Point; 2]) -> bool {
    let side = |p: &Point, q: &Point, r: &Point| (*q - *p).cross(*r - *p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// How two straight lines come together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Touch {
    /// They have no point in common.
    Not,
    /// They cross, or one ends on the other.
    Across,
    /// They run in one line over a length.
    Along,
}

/// How they do.
pub(super) fn touch([a, b]: &[Point; 2], [c, d]: &[Point; 2]) -> Touch {
    /// Rounding, mm².
    const FLAT: f64 = 1e-9;
    /// How far from each other lines lie that certainly do not touch, mm.
    const CLEAR: f64 = 1e-3;
    let around = |p: f64, q: f64| [p.min(q) - CLEAR, p.max(q) + CLEAR];
    if is_beside([a.x, b.x], around(c.x, d.x)) || is_beside([a.y, b.y], around(c.y, d.y)) {
        return Touch::Not;
    }
    let side = |p: &Point, q: &Point, r: &Point| (*q - *p).cross(*r - *p);
    let (ends, others) = ([side(a, b, c), side(a, b, d)], [side(c, d, a), side(c, d, b)]);
    let parted = |[p, q]: [f64; 2]| p.abs() <= FLAT || q.abs() <= FLAT || p * q < 0.0;
    if ends.iter().chain(&others).all(|side| side.abs() <= FLAT) {
        let along = *b - *a;
        let [c, d] = [c, d].map(|p| (*p - *a).dot(along));
        let shared = c.max(d).min(along.hypot2()) - c.min(d).max(0.0);
        return if shared > FLAT { Touch::Along } else { Touch::Not };
    }
    if parted(ends) && parted(others) { Touch::Across } else { Touch::Not }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_rectangle_is_seen_and_one_beside_it_is_not() {
        let bounds = Bounds { min: Point::new(0.0, 0.0), max: Point::new(4.0, 2.0) };
        let line = |a: (f64, f64), b: (f64, f64)| crosses(&[a.into(), b.into()], &bounds);
        assert!(line((-1.0, 1.0), (5.0, 1.0)) && line((1.0, 1.0), (2.0, 1.5)));
        assert!(line((-1.0, -1.0), (5.0, 3.0)));
        assert!(!line((-1.0, 3.0), (5.0, 3.0)) && !line((-1.0, 1.0), (-0.5, 9.0)));
        assert!(!line((5.0, 0.0), (5.0, 2.0)));
    }

    #[test]
    fn lines_that_touch_are_told_from_those_that_run_in_one() {
        let touch = |a: (f64, f64), b: (f64, f64)| {
            super::touch(&[Point::ZERO, Point::new(10.0, 0.0)], &[a.into(), b.into()])
        };
        assert_eq!(touch((4.0, 0.0), (14.0, 0.0)), Touch::Along);
        assert_eq!(touch((5.0, -1.0), (5.0, 1.0)), Touch::Across);
        assert_eq!(touch((5.0, 0.0), (5.0, 1.0)), Touch::Across);
        assert_eq!(touch((11.0, 0.0), (14.0, 0.0)), Touch::Not);
        assert_eq!(touch((0.0, 1.0), (10.0, 1.0)), Touch::Not);
        assert_eq!(touch((11.0, -1.0), (11.0, 1.0)), Touch::Not);
    }
}
