//! Where a block is put: mirrored, scaled alike both ways, turned, shifted.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;

/// A map of the plane that leaves circles round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Motion {
    /// Where the unit along x goes.
    x: Vec2,
    /// Where the unit along y goes.
    y: Vec2,
    /// Where the origin goes.
    shift: Vec2,
}

impl Motion {
    /// Nothing moves.
    pub(super) const NONE: Self =
        Self { x: Vec2::new(1.0, 0.0), y: Vec2::new(0.0, 1.0), shift: Vec2::ZERO };

    /// By so much along both axes.
    pub(super) fn shifted(shift: Vec2) -> Self {
        Self { shift, ..Self::NONE }
    }

    /// Stretched along the axes.
    pub(super) fn scaled(along_x: f64, along_y: f64) -> Self {
        Self { x: Vec2::new(along_x, 0.0), y: Vec2::new(0.0, along_y), ..Self::NONE }
    }

    /// Turned about the origin, anticlockwise.
    pub(super) fn rotated(rotation: Angle) -> Self {
        let (sin, cos) = (rotation.sin(), rotation.cos());
        Self { x: Vec2::new(cos, sin), y: Vec2::new(-sin, cos), ..Self::NONE }
    }

    /// This first, then `next`.
    pub(super) fn then(&self, next: &Self) -> Self {
        let way = |v: Vec2| next.x * v.x + next.y * v.y;
        Self { x: way(self.x), y: way(self.y), shift: way(self.shift) + next.shift }
    }

    /// Where a point goes.
    pub(super) fn apply(&self, p: Point) -> Point {
        (self.x * p.x + self.y * p.y + self.shift).to_point()
    }

    /// Where an edge goes; mirroring turns its bulge round.
    pub(super) fn edge(&self, edge: &Edge) -> Edge {
        let mirrored = self.x.cross(self.y) < 0.0;
        let bulge = if mirrored { -edge.bulge } else { edge.bulge };
        Edge { from: self.apply(edge.from), to: self.apply(edge.to), bulge }
    }
}
