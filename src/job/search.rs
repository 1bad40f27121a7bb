//! How long to search for a better layout, and who watches.

use crate::nest::Progress;
use crate::nest::usual_units;
use std::ops::ControlFlow;

/// The budget of the nest, and who is told how it stands.
pub struct Search<'a> {
    /// Units of work for each kind of sheet, in the order of the job; the last one counts
    /// for all that follow. Empty for the usual ones.
    pub units: Vec<u64>,
    /// After so many stages the search on each kind of sheet ends, given like the units;
    /// empty to let it run.
    pub stop: Vec<u64>,
    /// Another seed, another search.
    pub seed: u64,
    /// Told, with the index of the kind of sheet, how its search stands; may stop it.
    pub watch: &'a (dyn Fn(usize, &Progress) -> ControlFlow<()> + Sync),
}

impl Search<'_> {
    /// The first answer alone.
    pub fn none() -> Self {
        Self { units: vec![0], ..Self::usual() }
    }

    /// The usual budget, and nobody watches.
    pub fn usual() -> Self {
        Self {
            units: Vec::new(),
            stop: Vec::new(),
            seed: 0,
            watch: &|_, _| ControlFlow::Continue(()),
        }
    }

    /// Units of work for a kind of sheet that is to take so many parts.
    pub fn units_of(&self, kind: usize, parts: u32) -> u64 {
        let given = self.units.get(kind).or(self.units.last());
        given.copied().unwrap_or_else(|| usual_units(parts))
    }

    /// The stage at which the search on a kind of sheet ends; `None` when it may run.
    pub fn stop_of(&self, kind: usize) -> Option<u64> {
        self.stop.get(kind).or(self.stop.last()).copied()
    }
}
