//! The hand of a part in the formulas of its faces and bends.

/// Under `mirror = true`: `'right'` or `'left'`.
pub const HAND: &str = "hand";
