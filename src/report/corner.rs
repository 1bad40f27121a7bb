//! Rows of the report on a corner at which two flanges meet.

use crate::fold;
use crate::num::on_grid;
use crate::quantity::Units;
use crate::solve::Solved;
use serde::Serialize;

/// A corner: the clear distance of its two flanges, as measured on the formed part over
/// the height that both have.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct CornerRow {
    bends: [String; 2],
    specified_mm: f64,
    min_mm: f64,
    max_mm: f64,
}

impl CornerRow {
    /// The corner in words: its bends and its gap.
    pub(crate) fn words(&self, units: Units) -> String {
        let [first, second] = &self.bends;
        let [min, max] = [self.min_mm, self.max_mm].map(|mm| units.length(mm));
        let gap = if min == max { min } else { format!("{min} to {max}") };
        format!("{first} and {second} {gap}")
    }
}

/// The corners of a part.
pub(crate) fn corners(solved: &Solved) -> Vec<CornerRow> {
    let gaps = fold::corner_gaps(&solved.part, &solved.flat, &solved.folded);
    let row = |gap: fold::CornerGap| CornerRow {
        bends: gap.bends.map(|bend| solved.part.bends[bend].name.clone()),
        specified_mm: on_grid(gap.asked),
        min_mm: on_grid(gap.min),
        max_mm: on_grid(gap.max),
    };
    gaps.into_iter().map(row).collect()
}
