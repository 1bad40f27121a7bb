//! What a row of the table `process` says of a sheet.

use crate::table::Row;

impl Row {
    /// Minimum metal between two cuts in a sheet of this thickness, mm.
    pub fn min_web(&self, thickness: f64) -> f64 {
        (self.measure("min_web_ratio") * thickness).max(self.measure("min_web"))
    }
}
