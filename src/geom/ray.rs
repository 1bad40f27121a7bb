//! Directions in the plane.

use crate::num::Angle;
use kurbo::Vec2;

/// The direction at an angle, anticlockwise from x; of length 1.
pub(crate) fn heading(angle: Angle) -> Vec2 {
    Vec2::new(angle.cos(), angle.sin())
}

/// The direction at so many degrees.
pub(crate) fn ray(degrees: f64) -> Vec2 {
    heading(Angle::from_degrees(degrees))
}
