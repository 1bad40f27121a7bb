//! A candidate sheet: placed parts that are not measured yet.

use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Sheet;
use crate::nest::task::Task;
use crate::nest::value::audit;

/// A candidate sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Candidate {
    pub(crate) stock: usize,
    pub(crate) placed: Vec<Placed>,
}

impl Candidate {
    pub(crate) fn of(sheet: &Sheet) -> Self {
        Self { stock: sheet.stock, placed: sheet.placed.clone() }
    }

    /// Whether a sheet has the same parts at the same places.
    pub(crate) fn is_like(&self, sheet: &Sheet) -> bool {
        self.stock == sheet.stock && self.placed == sheet.placed
    }

    pub(crate) fn unmeasured(&self) -> Sheet {
        let placed = self.placed.clone();
        Sheet { stock: self.stock, placed, min_gap: None, min_margin: 0.0 }
    }

    /// Whether it keeps the rules, measured with true arcs.
    pub(crate) fn keeps(&self, task: &Task) -> bool {
        let Task { items, stock, rules, .. } = task;
        audit::survey(items, &stock[self.stock], rules, &self.placed).is_ok()
    }
}

/// How many of each of so many items there are.
pub(crate) fn counts<'a>(placed: impl IntoIterator<Item = &'a Placed>, items: usize) -> Vec<u32> {
    let mut counts = vec![0; items];
    placed.into_iter().for_each(|p| counts[p.item] += 1);
    counts
}

/// How many of each of so many items are on the sheets.
pub(crate) fn counts_on(candidates: &[Candidate], items: usize) -> Vec<u32> {
    counts(candidates.iter().flat_map(|d| &d.placed), items)
}
