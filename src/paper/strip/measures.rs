//! What the files of the strip share.

use crate::geom::Edge;
use crate::geom::Point;

/// Height of what need not be read at the machine, mm.
pub(super) const SMALL: f64 = 2.5;

/// Width of the end view, mm.
pub(super) const VIEW: f64 = 38.0;

/// Corners as a closed chain of edges.
pub(super) fn ring(corners: &[Point]) -> Vec<Edge> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| Edge::line(*a, *b)).collect()
}
