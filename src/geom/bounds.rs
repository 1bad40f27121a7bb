//! The upright rectangle round something.

use kurbo::Point;
use kurbo::Vec2;

/// An upright rectangle round something; `min` is its lower left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Smallest x and y.
    pub min: Point,
    /// Largest x and y.
    pub max: Point,
}

impl Bounds {
    /// Contains nothing.
    pub const EMPTY: Self = Self {
        min: Point::new(f64::INFINITY, f64::INFINITY),
        max: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    /// Extended to contain a point as well.
    #[must_use]
    pub fn with(self, p: Point) -> Self {
        Self {
            min: Point::new(self.min.x.min(p.x), self.min.y.min(p.y)),
            max: Point::new(self.max.x.max(p.x), self.max.y.max(p.y)),
        }
    }

    /// Extended to contain another as well.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// Grown by a margin on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        Self {
            min: Point::new(self.min.x - by, self.min.y - by),
            max: Point::new(self.max.x + by, self.max.y + by),
        }
    }

    /// Extent along x.
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    /// Extent along y.
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    /// Its centre.
    pub fn centre(&self) -> Point {
        self.min.midpoint(self.max)
    }

    /// The same elsewhere.
    #[must_use]
    pub(crate) fn shifted(self, by: Vec2) -> Self {
        Self { min: self.min + by, max: self.max + by }
    }

    /// Whether a point is in it or on its edge.
    pub fn contains(&self, p: Point) -> bool {
        self.min.x <= p.x && p.x <= self.max.x && self.min.y <= p.y && p.y <= self.max.y
    }

    /// The distance between two rectangles, in mm; 0 when they touch.
    pub fn distance(&self, other: &Self) -> f64 {
        let dx = (other.min.x - self.max.x).max(self.min.x - other.max.x).max(0.0);
        let dy = (other.min.y - self.max.y).max(self.min.y - other.max.y).max(0.0);
        crate::num::hypot(dx, dy)
    }
}
