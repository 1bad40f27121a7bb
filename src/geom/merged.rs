//! Consecutive edges, with those that continue one another merged.

use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::num::Angle;
use kurbo::Vec2;

/// Arcs are moved by no more than this to become one, mm. Our choice.
const ALIKE: f64 = 1e-4;

/// The direction at an end of arcs changes by no more than this when they become one, degrees:
/// short ones would leave a kink. Our choice.
const STRAIGHT: f64 = 1e-3;

/// Consecutive edges merged into one.
struct Row {
    edge: Edge,
    /// The maximum movement of any of it, mm.
    moved: f64,
    /// The direction in which the first of them begins.
    begins: Vec2,
}

/// Consecutive edges, with those that continue one another merged, and the maximum movement by
/// that.
pub(super) fn merged(edges: Vec<Edge>) -> (Vec<Edge>, f64) {
    let mut all: Vec<Row> = Vec::new();
    for edge in edges.into_iter().filter(|e| (e.to - e.from).hypot() > 0.0) {
        let begins = edge.direction_at_start();
        let joined = all.last().and_then(|last| {
            let (one, moved) = joined(&last.edge, last.moved, &edge)?;
            let kept = [
                (one.direction_at_start(), last.begins),
                (one.reversed().direction_at_start(), edge.reversed().direction_at_start()),
            ];
            let is_kept = one.is_line() || kept.iter().all(|(a, b)| turn(*a, *b) <= STRAIGHT);
            is_kept.then_some(Row { edge: one, moved, begins: last.begins })
        });
        match joined {
            Some(row) => {
                all.pop();
                all.push(row);
            }
            None => all.push(Row { edge, moved: 0.0, begins }),
        }
    }
    let moved = all.iter().map(|row| row.moved).fold(0.0, f64::max);
    (all.into_iter().map(|row| row.edge).collect(), moved)
}

/// The angle between two directions, degrees.
fn turn(a: Vec2, b: Vec2) -> f64 {
    Angle::of(a.dot(b), a.cross(b)).degrees().abs()
}

/// Two edges as one, and its distance from either and from the earlier edges of the first of them.
fn joined(a: &Edge, before: f64, b: &Edge) -> Option<(Edge, f64)> {
    match (a.arc(), b.arc()) {
        (None, None) => {
            let one = Edge::line(a.from, b.to);
            let (first, then, whole) = (a.to - a.from, b.to - b.from, one.to - one.from);
            let off = (one.nearest(a.to) - a.to).hypot();
            (first.dot(then) > 0.0 && first.cross(whole).abs() <= NEAR * whole.hypot())
                .then_some((one, before + off))
        }
        (Some(first), Some(then)) => {
            let sweep = first.sweep.degrees() + then.sweep.degrees();
            if first.sweep.degrees() * then.sweep.degrees() <= 0.0 || sweep.abs() > 180.0 {
                return None;
            }
            let bulge = Angle::from_degrees(sweep / 4.0).tan();
            let one = Edge { from: a.from, to: b.to, bulge };
            let whole = one.arc()?;
            let off =
                |arc: &Arc| (arc.centre - whole.centre).hypot() + (arc.radius - whole.radius).abs();
            let moved = before + off(&first).max(off(&then));
            (moved <= ALIKE).then_some((one, moved))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::turn::arc;
    use kurbo::Point;

    /// Tiny arcs of other radii are near to one arc, but leave at another angle.
    #[test]
    fn arcs_become_one_where_no_end_turns() {
        let half = |from: f64| arc(Point::ZERO, 5.0, from, 20.0);
        let halves = [half(10.0), half(30.0)].concat();
        let (one, moved) = merged(halves);
        assert!(one.len() == 1 && moved < 1e-9, "{one:?} {moved}");
        let a = arc(Point::ZERO, 0.004_2, 0.0, 27.0)[0];
        let b = Edge {
            from: a.to,
            ..arc((a.to.to_vec2() * -0.01).to_point(), 0.004_242, 27.0, 27.0)[0]
        };
        assert!(joined(&a, 0.0, &b).is_some());
        assert_eq!(merged(vec![a, b]).0, [a, b]);
    }
}
