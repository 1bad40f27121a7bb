//! How much of a part is calculated.

use crate::job::Job;
use crate::job::Line;
use crate::solve::solved::Solved;

/// How much of a part is calculated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Its flat, and the findings on that: without the bend sequence on the tools of a shop, and
    /// without loads. Such a part is only viewed, not made.
    Flat,
    /// Everything.
    Whole,
}

impl Depth {
    /// The depth to which a line is calculated for a required depth.
    pub(super) fn of(self, line: &Line) -> Self {
        // An open input is chosen by all findings.
        if line.open.is_empty() { self } else { Self::Whole }
    }

    /// How deep a job's parts have been calculated: if nothing is left out, completely.
    pub(super) fn reached(self, job: &Job, line: &Line, solved: &[Solved]) -> Self {
        let is_bent = job.shop.is_some() && solved.iter().any(|s| !s.part.bends.is_empty());
        let is_loaded = line.held.is_some() || job.loads.iter().any(|load| load.part == line.name);
        if is_bent || is_loaded { self } else { Self::Whole }
    }
}
