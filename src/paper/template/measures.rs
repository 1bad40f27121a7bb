//! Dimensions that the pages of a template share.

/// Margin of a page, mm: what common printers cannot reach, and more.
pub(super) const MARGIN: f64 = 12.0;

/// Room at the right of a page for the upright bar, mm.
pub(super) const COLUMN: f64 = 11.0;

/// Height of capitals, mm.
pub(super) const HEIGHT: f64 = 2.5;

/// How far the cross at a centre reaches over the hole, mm.
pub(super) const PAST: f64 = 1.2;
