//! The plane of a tool, square to the bend line.

use crate::geom::Point;
use crate::geom::Space;
use crate::geom::dot;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;

/// A tool's plane: its position, along the bend, towards the operator, up.
#[derive(Clone, Copy)]
pub(super) struct Plane {
    pub(super) origin: Space,
    pub(super) along: Space,
    pub(super) u: Space,
    pub(super) v: Space,
}

impl Plane {
    /// The same, shifted in it, mm.
    pub(super) fn shifted(self, u: f64, v: f64) -> Self {
        let moved = plus(times(self.u, u), times(self.v, v));
        Self { origin: plus(self.origin, moved), ..self }
    }

    /// Where a point of the plane lies in space.
    pub(super) fn point(&self, p: Point) -> Space {
        self.shifted(p.x, p.y).origin
    }

    /// A point in space in these coordinates: along the bend, towards the operator, up.
    pub(super) fn seen(&self, p: Space) -> [f64; 3] {
        let from = minus(p, self.origin);
        [dot(from, self.along), dot(from, self.u), dot(from, self.v)]
    }
}
