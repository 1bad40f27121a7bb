//! From the sheet to the page: a scale and a place. Arcs stay arcs.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;

/// Where on the page a sheet is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// Millimetres of paper to one of the sheet.
    pub(super) scale: f64,
    /// A point of the sheet, and where on the page it lies.
    pub(super) from: Point,
    pub(super) at: Point,
}

impl View {
    pub(super) fn point(&self, p: Point) -> Point {
        self.at + (p - self.from) * self.scale
    }

    pub(super) fn bounds(&self, b: &Bounds) -> Bounds {
        Bounds { min: self.point(b.min), max: self.point(b.max) }
    }

    pub(super) fn edge(&self, edge: &Edge) -> Edge {
        Edge { from: self.point(edge.from), to: self.point(edge.to), bulge: edge.bulge }
    }

    pub(super) fn edges(&self, edges: &[Edge]) -> Vec<Edge> {
        edges.iter().map(|edge| self.edge(edge)).collect()
    }

    pub(super) fn outline(&self, outline: &Outline) -> Vec<Edge> {
        outline.edges().map(|edge| self.edge(&edge)).collect()
    }
}
