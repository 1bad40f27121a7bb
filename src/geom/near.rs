//! When two points are one.

/// Two points nearer than this, in mm, are one point. Far below what any machine
/// can cut, far above the rounding of a chain of constructions. Our choice.
pub const NEAR: f64 = 1e-6;
