//! Where a drawing inside another is put: any map of the plane that keeps lines straight.

use crate::geom::edge::Edge;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// Mirrored, stretched, turned, slanted, shifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// The image of the unit along x.
    pub x: Vec2,
    /// The image of the unit along y.
    pub y: Vec2,
    /// The image of the origin.
    pub shift: Vec2,
}

impl Motion {
    /// Nothing moves.
    pub const NONE: Self =
        Self { x: Vec2::new(1.0, 0.0), y: Vec2::new(0.0, 1.0), shift: Vec2::ZERO };

    /// By these distances along both axes.
    pub fn shifted(shift: Vec2) -> Self {
        Self { shift, ..Self::NONE }
    }

    /// Stretched along the axes.
    pub fn scaled(along_x: f64, along_y: f64) -> Self {
        Self { x: Vec2::new(along_x, 0.0), y: Vec2::new(0.0, along_y), ..Self::NONE }
    }

    /// Turned about the origin, anticlockwise.
    pub fn rotated(rotation: Angle) -> Self {
        let (sin, cos) = (rotation.sin(), rotation.cos());
        Self { x: Vec2::new(cos, sin), y: Vec2::new(-sin, cos), ..Self::NONE }
    }

    /// This first, then `next`.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        let way = |v: Vec2| next.direction(v);
        Self { x: way(self.x), y: way(self.y), shift: way(self.shift) + next.shift }
    }

    /// The image of a point.
    pub fn apply(&self, p: Point) -> Point {
        (self.direction(p.to_vec2()) + self.shift).to_point()
    }

    /// The image of a direction.
    pub fn direction(&self, v: Vec2) -> Vec2 {
        self.x * v.x + self.y * v.y
    }

    /// Whether circles stay round.
    pub fn keeps_round(&self) -> bool {
        let (long, wide) = (self.x.hypot(), self.y.hypot());
        (long - wide).abs() <= 1e-9 * long && self.x.dot(self.y).abs() <= 1e-9 * long * wide
    }

    /// Whether everything lies on one line.
    pub fn flattens(&self) -> bool {
        self.x.cross(self.y).abs() <= 1e-12 * (self.x.hypot2() + self.y.hypot2())
    }

    /// The image of an edge, by a map that keeps circles round; mirroring reverses its bulge.
    pub fn edge(&self, edge: &Edge) -> Edge {
        let mirrored = self.x.cross(self.y) < 0.0;
        let bulge = if mirrored { -edge.bulge } else { edge.bulge };
        Edge { from: self.apply(edge.from), to: self.apply(edge.to), bulge }
    }
}
