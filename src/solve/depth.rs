//! How much of a part is calculated.

use crate::job::Job;
use crate::job::Line;
use crate::solve::solved::Solved;

/// How much of a part is calculated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Its flat, and what is found in that: not the order of its bends on the tools of a shop, and no
    /// load. Such a part is to be looked at, and nothing is made of it.
    Flat,
    /// Everything.
    Whole,
}

impl Depth {
    /// The depth to which a line is calculated where so much is wanted.
    pub(super) fn of(self, line: &Line) -> Self {
        // What is left open is chosen by all that is found.
        if line.open.is_empty() { self } else { Self::Whole }
    }

    /// How deep a job's parts have been calculated: if nothing is left out, completely.
    pub(super) fn reached(self, job: &Job, line: &Line, solved: &[Solved]) -> Self {
        let is_bent = job.shop.is_some() && solved.iter().any(|s| !s.part.bends.is_empty());
        let is_loaded = line.held.is_some() || job.loads.iter().any(|load| load.part == line.name);
        if is_bent || is_loaded { self } else { Self::Whole }
    }
}
