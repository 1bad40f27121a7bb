//! The limits in a row of the table `process` for a sheet.

use crate::table::row::Row;

/// A limit of a process: the larger of a share of the thickness and a fixed length.
#[derive(Clone, Copy, Debug)]
pub struct ProcessLimit {
    /// Field of the share.
    ratio: &'static str,
    /// Field of the length, where there is one.
    min: Option<&'static str>,
}

impl ProcessLimit {
    /// Smallest diameter of a hole.
    pub const HOLE: Self = Self { ratio: "min_hole_ratio", min: Some("min_hole") };
    /// Minimum width of a slot.
    pub const SLOT: Self = Self { ratio: "min_slot_ratio", min: None };
    /// Minimum metal between two cuts.
    pub const WEB: Self = Self { ratio: "min_web_ratio", min: Some("min_web") };
    /// Minimum gap between parts on a sheet.
    pub const GAP: Self = Self { ratio: "gap_ratio", min: Some("min_gap") };

    /// The limit in a sheet of this thickness, mm.
    pub fn at(self, process: &Row, thickness: f64) -> f64 {
        (process.measure(self.ratio) * thickness).max(self.length(process))
    }

    /// The thickest sheet in which a dimension, mm, is within the limit; `None` if no sheet is thin
    /// enough.
    pub fn thickest(self, process: &Row, measure: f64) -> Option<f64> {
        let thickest = measure / process.measure(self.ratio);
        (measure >= self.length(process) && thickest > 0.0 && thickest.is_finite())
            .then_some(thickest)
    }

    fn length(self, process: &Row) -> f64 {
        self.min.map_or(0.0, |field| process.measure(field))
    }
}
