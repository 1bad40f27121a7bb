//! The budget of the search for a better layout, and its watchers.

use crate::nest::Progress;
use crate::nest::Sheet;
use crate::nest::usual_units;
use std::ops::ControlFlow;

/// The budget of the nest, and the receiver of its progress.
pub struct Search<'a> {
    /// Units of work for each kind of sheet, in the order of the job; the last one counts
    /// for all that follow. Empty for the usual ones.
    pub units: Vec<u64>,
    /// Units of work for all kinds together, shared out by their pieces; counts before
    /// `units`.
    pub shared: Option<u64>,
    /// Number of stages after which the search on each kind of sheet ends, given like the units;
    /// empty to let it run.
    pub stop: Vec<u64>,
    /// Another seed, another search.
    pub seed: u64,
    /// Called with the index of the kind of sheet and the progress of its search; may stop it.
    pub watch: &'a (dyn Fn(usize, &Progress) -> ControlFlow<()> + Sync),
    /// Receives the index of a kind of sheet and its best layout during the search, if there is a
    /// viewer.
    pub found: Option<&'a FoundOn<'a>>,
}

/// The sheets of the best layout of a kind during the search, not measured yet.
pub type Best = Vec<Sheet>;

/// The viewer of layouts of a kind of sheet during the search, not measured yet.
pub type FoundOn<'a> = dyn Fn(usize, &[Sheet]) + Sync + 'a;

impl Search<'_> {
    /// The first answer alone.
    pub fn none() -> Self {
        Self { units: vec![0], ..Self::usual() }
    }

    /// The usual budget, without a watcher.
    pub fn usual() -> Self {
        Self {
            units: Vec::new(),
            shared: None,
            stop: Vec::new(),
            seed: 0,
            watch: &|_, _| ControlFlow::Continue(()),
            found: None,
        }
    }

    /// Units of work for a kind of sheet that is to take this number of all the pieces.
    pub(crate) fn units_of(&self, kind: usize, pieces: u32, all: u32) -> u64 {
        if let Some(shared) = self.shared {
            let part = u128::from(shared) * u128::from(pieces) / u128::from(all.max(1));
            return part as u64;
        }
        let given = self.units.get(kind).or(self.units.last());
        given.copied().unwrap_or_else(|| usual_units(pieces))
    }

    /// The stage at which the search on a kind of sheet ends; `None` when it may run.
    pub(crate) fn stop_of(&self, kind: usize) -> Option<u64> {
        self.stop.get(kind).or(self.stop.last()).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shared_is_a_cap_on_the_whole() {
        let search = Search { shared: Some(1_000), units: vec![7], ..Search::usual() };
        let shares = [30, 50, 19, 0, 1].map(|pieces| search.units_of(0, pieces, 100));
        assert_eq!(shares, [300, 500, 190, 0, 10]);
        let max = Search { shared: Some(u64::MAX), ..Search::usual() };
        assert_eq!(max.units_of(0, 1, 2) + max.units_of(1, 1, 2), u64::MAX - 1);
        let each = Search { units: vec![7, 9], ..Search::usual() };
        assert_eq!([0, 1, 2].map(|kind| each.units_of(kind, 1, 3)), [7, 9, 9]);
    }
}
