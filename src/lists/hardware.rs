//! The list of hardware.

use crate::bill::Hardware;
use crate::lists::cell::number;
use serde::Serialize;

/// A row of the list. A cell is empty where nothing is bought with it.
#[derive(Serialize)]
pub(super) struct HardwareRow<'a> {
    kind: &'static str,
    thread: &'a str,
    length: &'a str,
    quantity: u32,
    washers: Option<u32>,
    nuts: Option<u32>,
    #[serde(serialize_with = "number")]
    min_grip_mm: Option<f64>,
    #[serde(serialize_with = "number")]
    max_grip_mm: Option<f64>,
    parts: String,
    note: String,
}

/// The row of one kind.
pub(super) fn row(hardware: &Hardware) -> HardwareRow<'_> {
    let some = |count: u32| (count > 0).then_some(count);
    HardwareRow {
        kind: hardware.kind.word(),
        thread: &hardware.thread,
        length: &hardware.length,
        quantity: hardware.quantity,
        washers: some(hardware.washers),
        nuts: some(hardware.nuts),
        min_grip_mm: hardware.grips.map(|[min, _]| min),
        max_grip_mm: hardware.grips.map(|[_, max]| max),
        parts: hardware.parts.join(" "),
        note: hardware.remark(),
    }
}
