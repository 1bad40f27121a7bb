//! Places in space, and the few calculations with three coordinates that they need.

use crate::geom::place::Place;
use kurbo::Point;
use kurbo::Vec2;

/// A point or a direction in space, mm.
pub type Space = [f64; 3];

/// Where a drawing lies in space: right-handed, of unit directions.
///
/// x and y are the drawing's own; z points out of the top side of the sheet. The
/// top side lies at z = 0 and the bottom one at z = −thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Where the drawing's origin lies, mm.
    pub origin: Space,
    /// Direction of the drawing's x.
    pub x: Space,
    /// Direction of the drawing's y.
    pub y: Space,
    /// Out of the top side.
    pub z: Space,
}

impl Default for Frame {
    /// The drawing where it was drawn, seen from above.
    fn default() -> Self {
        Self { origin: [0.0; 3], x: [1.0, 0.0, 0.0], y: [0.0, 1.0, 0.0], z: [0.0, 0.0, 1.0] }
    }
}

impl Frame {
    /// Where a point of the drawing lies, `height` mm above the top side.
    pub fn point(&self, at: Point, height: f64) -> Space {
        plus(plus(self.origin, self.direction(at.to_vec2())), times(self.z, height))
    }

    /// A direction in the drawing as one in space.
    pub fn direction(&self, v: Vec2) -> Space {
        plus(times(self.x, v.x), times(self.y, v.y))
    }

    /// A point of the drawing's space, z above the top side, as one in space.
    pub fn at(&self, [x, y, z]: Space) -> Space {
        self.point(Point::new(x, y), z)
    }

    /// A point in space as the drawing sees it: x, y, and height above the top side, mm.
    pub fn seen(&self, p: Space) -> Space {
        let from = minus(p, self.origin);
        [self.x, self.y, self.z].map(|axis| dot(from, axis))
    }

    /// A frame in this one's space, at the position of `inner` in this one's coordinates.
    #[must_use]
    pub fn within(&self, inner: &Self) -> Self {
        let rotated =
            |v: Space| plus(plus(times(self.x, v[0]), times(self.y, v[1])), times(self.z, v[2]));
        Self {
            origin: plus(self.origin, rotated(inner.origin)),
            x: rotated(inner.x),
            y: rotated(inner.y),
            z: rotated(inner.z),
        }
    }

    /// The frame that undoes this one.
    #[must_use]
    pub fn back(&self) -> Self {
        let [x, y, z] = [0, 1, 2].map(|i| [self.x[i], self.y[i], self.z[i]]);
        Self { origin: self.seen([0.0; 3]), x, y, z }
    }

    /// A place in the plane as one in space.
    ///
    /// A mirrored place flips the sheet over, which is no motion within a plane: it is
    /// taken as not mirrored.
    pub fn of(place: &Place) -> Self {
        let (sin, cos) = (place.rotation.sin(), place.rotation.cos());
        Self {
            origin: [place.shift.x, place.shift.y, 0.0],
            x: [cos, sin, 0.0],
            y: [-sin, cos, 0.0],
            z: [0.0, 0.0, 1.0],
        }
    }
}

/// a + b.
pub fn plus(a: Space, b: Space) -> Space {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// a − b.
pub fn minus(a: Space, b: Space) -> Space {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// a drawn out by a number.
pub fn times(a: Space, by: f64) -> Space {
    a.map(|c| c * by)
}

/// Product of the lengths and the cosine between.
pub fn dot(a: Space, b: Space) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Square to both, right-handed.
pub fn cross(a: Space, b: Space) -> Space {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Of length 1 in the same direction.
pub fn unit(a: Space) -> Space {
    times(a, 1.0 / length(a))
}

/// Length in mm.
pub fn length(a: Space) -> f64 {
    dot(a, a).sqrt()
}
