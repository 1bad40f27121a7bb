//! The scale of a flat, and the room beside it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num;

/// Scales as (paper, part), large first. ISO 5455 prefers 1, 2 and 5 with powers of ten (from
/// memory); the others fill a page that would else be half empty.
const SCALES: [(f64, f64); 19] = [
    (10.0, 1.0),
    (5.0, 1.0),
    (2.0, 1.0),
    (1.5, 1.0),
    (1.0, 1.0),
    (1.0, 1.25),
    (1.0, 1.5),
    (1.0, 2.0),
    (1.0, 2.5),
    (1.0, 3.0),
    (1.0, 4.0),
    (1.0, 5.0),
    (1.0, 7.5),
    (1.0, 10.0),
    (1.0, 15.0),
    (1.0, 20.0),
    (1.0, 25.0),
    (1.0, 50.0),
    (1.0, 100.0),
];

/// Room for running dimensions and what else stands beside a flat, mm.
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

/// The largest scale at which something fits a room, as (paper, part).
pub(super) fn fitting(size: Bounds, room: [f64; 2], margins: Margins) -> (f64, f64) {
    let room = [
        (room[0] - margins.left - margins.right).max(1.0),
        (room[1] - margins.above - margins.below).max(1.0),
    ];
    let fits = |(paper, part): &&(f64, f64)| {
        size.width() * paper / part <= room[0] && size.height() * paper / part <= room[1]
    };
    SCALES.iter().find(fits).copied().unwrap_or_else(|| {
        let needed = (size.width() / room[0]).max(size.height() / room[1]);
        (1.0, (needed / 100.0).ceil() * 100.0)
    })
}

/// A scale as it is written.
pub(super) fn words((paper, part): (f64, f64)) -> String {
    format!("{}:{}", num::text(paper, 2), num::text(part, 2))
}
