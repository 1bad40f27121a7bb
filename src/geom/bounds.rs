//! The upright rectangle round something.

use kurbo::Point;

/// An upright rectangle that holds something; `least` is its lower left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Smallest x and y.
    pub least: Point,
    /// Largest x and y.
    pub most: Point,
}

impl Bounds {
    /// Holds nothing yet.
    pub const EMPTY: Self = Self {
        least: Point::new(f64::INFINITY, f64::INFINITY),
        most: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    /// Grown to hold a point as well.
    #[must_use]
    pub fn with(self, p: Point) -> Self {
        Self {
            least: Point::new(self.least.x.min(p.x), self.least.y.min(p.y)),
            most: Point::new(self.most.x.max(p.x), self.most.y.max(p.y)),
        }
    }

    /// Grown to hold another as well.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.with(other.least).with(other.most)
    }

    /// Grown by a margin on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        Self {
            least: Point::new(self.least.x - by, self.least.y - by),
            most: Point::new(self.most.x + by, self.most.y + by),
        }
    }

    /// Extent along x.
    pub fn width(&self) -> f64 {
        self.most.x - self.least.x
    }

    /// Extent along y.
    pub fn height(&self) -> f64 {
        self.most.y - self.least.y
    }

    /// Its middle.
    pub fn centre(&self) -> Point {
        self.least.midpoint(self.most)
    }

    /// How far two rectangles are apart, in mm; 0 when they touch.
    pub fn distance(&self, other: &Self) -> f64 {
        let dx = (other.least.x - self.most.x).max(self.least.x - other.most.x).max(0.0);
        let dy = (other.least.y - self.most.y).max(self.least.y - other.most.y).max(0.0);
        crate::num::hypot(dx, dy)
    }
}
