//! Points and lines of a flat as the report has them, mm.

use crate::geom::Edge;
use crate::geom::Point;
use crate::num::on_grid;

/// The two ends of a line.
pub(super) fn ends(line: &Edge) -> [[f64; 2]; 2] {
    [point(line.from), point(line.to)]
}

/// A point.
pub(super) fn point(p: Point) -> [f64; 2] {
    [on_grid(p.x), on_grid(p.y)]
}
