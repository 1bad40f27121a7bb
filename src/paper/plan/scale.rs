//! The scale of a flat, and the room beside it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::scales::STANDARD;

/// Room for running dimensions and what else is beside a flat, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Margins {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) above: f64,
    pub(super) below: f64,
}

/// From the part to the drawing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    /// mm on paper for one of the part.
    pub(super) by: f64,
    /// What becomes the origin.
    pub(super) from: Point,
}

impl Scale {
    pub(super) fn point(&self, p: Point) -> Point {
        ((p - self.from) * self.by).to_point()
    }

    pub(super) fn edge(&self, edge: &Edge) -> Edge {
        Edge { from: self.point(edge.from), to: self.point(edge.to), bulge: edge.bulge }
    }

    pub(super) fn edges(&self, edges: &[Edge]) -> Vec<Edge> {
        edges.iter().map(|edge| self.edge(edge)).collect()
    }
}

/// The largest scale of the standard at which something fits a room, mm on paper for one of the
/// part.
pub(super) fn fitting(size: Bounds, room: [f64; 2], margins: Margins) -> f64 {
    let room = [
        (room[0] - margins.left - margins.right).max(1.0),
        (room[1] - margins.above - margins.below).max(1.0),
    ];
    let fits = |by: &f64| size.width() * by <= room[0] && size.height() * by <= room[1];
    STANDARD.into_iter().find(fits).unwrap_or_else(|| {
        // Nothing that is made of sheet is as large.
        let needed = (size.width() / room[0]).max(size.height() / room[1]);
        1.0 / ((needed / 1000.0).ceil() * 1000.0)
    })
}
