//! When two corners of patches are one.

use crate::geom::NEAR;

/// Corners nearer than this on the line between two patches are one, mm: ten times
/// as far as points of an outline may lie apart and be one.
pub(super) const SAME: f64 = 10.0 * NEAR;
