//! The socket for the head of a bolt.

use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// A head this much wider than listed still fits its socket, mm: rows in inches are rounded.
const LOOSE: f64 = 0.02;

impl Tables {
    /// Width of the head of a bolt across flats, mm. Inch heads are as wide as their nuts.
    pub fn head_flats(&self, bolt: &Row) -> Option<f64> {
        let nut = || self.row("nut", bolt.name())?.quantity("flats");
        Some(bolt.quantity("head_flats").or_else(nut)?.value)
    }

    /// The smallest socket that takes the head of a bolt: a row of the table `socket`.
    pub fn socket(&self, bolt: &Row) -> Option<&Arc<Row>> {
        let flats = self.head_flats(bolt)? - LOOSE;
        let enough = self.table("socket")?.rows().filter(|row| row.measure("flats") >= flats);
        enough.min_by(|a, b| a.measure("flats").total_cmp(&b.measure("flats")))
    }
}
