//! Rows of the report on plugging and masking before coating.

use crate::bill;
use crate::bill::Masking;
use crate::num::on_grid;
use crate::report::input::Input;
use serde::Serialize;

/// A kind of place to be kept free of coating.
#[derive(Clone, Debug, Serialize)]
pub struct MaskingRow {
    /// `plug` or `mask`.
    pub cover: &'static str,
    /// The part or the link.
    pub part: String,
    /// The hole, the nut or the end of the link.
    pub place: String,
    /// The item, with its size.
    pub what: String,
    /// Diameter, where it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diameter_mm: Option<f64>,
    /// In all pieces.
    pub quantity: u32,
}

/// The rows of a job.
pub(super) fn rows(input: &Input) -> Vec<MaskingRow> {
    let row = |masking: Masking| MaskingRow {
        cover: masking.cover.word(),
        part: masking.part,
        place: masking.place,
        what: masking.what,
        diameter_mm: masking.diameter.map(on_grid),
        quantity: masking.quantity,
    };
    bill::masking(input.job, input.solved).into_iter().map(row).collect()
}
