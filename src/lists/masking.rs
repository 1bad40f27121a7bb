//! The list of holes and threads to plug or mask before coating.

use crate::bill::Masking;
use crate::lists::cell::number;
use serde::Serialize;

/// A row of the list.
#[derive(Serialize)]
pub(super) struct MaskingRow<'a> {
    cover: &'static str,
    part: &'a str,
    place: &'a str,
    what: &'a str,
    #[serde(serialize_with = "number")]
    diameter_mm: Option<f64>,
    quantity: u32,
}

/// The row of one kind of place.
pub(super) fn row(masking: &Masking) -> MaskingRow<'_> {
    MaskingRow {
        cover: masking.cover.word(),
        part: &masking.part,
        place: &masking.place,
        what: &masking.what,
        diameter_mm: masking.diameter,
        quantity: masking.quantity,
    }
}
