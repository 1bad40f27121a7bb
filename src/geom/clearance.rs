//! The exact distance of two outlines.

use crate::geom::bounds::Bounds;
use crate::geom::distance::edge_distance;
use crate::geom::edge::Edge;
use crate::geom::outline::Outline;

/// Least distance between two outlines in mm; 0 when they meet. An outline inside
/// another has its distance to the line, not 0.
pub(crate) fn outline_distance(a: &Outline, b: &Outline) -> f64 {
    let boxed = |o: &Outline| o.edges().map(|e| (e, e.bounds())).collect::<Vec<(Edge, Bounds)>>();
    let (first, second) = (boxed(a), boxed(b));
    let mut min = f64::INFINITY;
    for (e, e_box) in &first {
        for (f, f_box) in &second {
            if e_box.distance(f_box) < min {
                min = min.min(edge_distance(e, f));
            }
        }
    }
    min
}
