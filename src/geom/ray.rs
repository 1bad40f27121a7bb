//! Directions in the plane.

use crate::geom::place::Place;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// The direction at an angle, anticlockwise from x; of length 1.
pub(crate) fn heading(angle: Angle) -> Vec2 {
    Vec2::new(angle.cos(), angle.sin())
}

/// A direction rotated by degrees, anticlockwise.
pub(crate) fn rotated(direction: Vec2, degrees: f64) -> Vec2 {
    Place::rotated(Angle::from_degrees(degrees), Point::ZERO).direction(direction)
}

/// The direction at an angle in degrees.
pub(crate) fn ray(degrees: f64) -> Vec2 {
    heading(Angle::from_degrees(degrees))
}
