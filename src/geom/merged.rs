//! Edges in a row, those that continue one another as one.

use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::num::Angle;

/// Arcs are moved by no more than this to become one, mm. Our choice.
const ALIKE: f64 = 1e-4;

/// Edges in a row, those that continue one another as one, and by how much that moved any at most.
pub(super) fn merged(edges: Vec<Edge>) -> (Vec<Edge>, f64) {
    // Each with how far it was moved.
    let mut all: Vec<(Edge, f64)> = Vec::new();
    for edge in edges.into_iter().filter(|e| (e.to - e.from).hypot() > 0.0) {
        match all.last().and_then(|(last, moved)| joined(last, *moved, &edge)) {
            Some(one) => {
                all.pop();
                all.push(one);
            }
            None => all.push((edge, 0.0)),
        }
    }
    let moved = all.iter().map(|(_, moved)| *moved).fold(0.0, f64::max);
    (all.into_iter().map(|(edge, _)| edge).collect(), moved)
}

/// Two edges as one, and how far that is from either and from what the first of them was before.
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
