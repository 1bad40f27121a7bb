//! The result of a packing.

use crate::nest::pack::attempt::Pattern;
use crate::nest::problem::layout::Unplaced;
use crate::nest::value::candidate::Candidate;

/// Equal sheets, and what could not be placed.
pub(crate) struct Packing {
    pub(crate) patterns: Vec<Pattern>,
    pub(crate) unplaced: Vec<Unplaced>,
}

impl Packing {
    /// The sheets, one by one.
    pub(crate) fn candidates(&self) -> Vec<Candidate> {
        let sheets = self.patterns.iter().flat_map(|p| {
            let candidate = Candidate { stock: p.stock, placed: p.placed.clone() };
            std::iter::repeat_n(candidate, p.times as usize)
        });
        sheets.collect()
    }
}
