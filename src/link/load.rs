//! `[[load]]` on a link: a force along it, from pin to pin.

use crate::diag::Span;
use crate::table::Row;
use std::sync::Arc;

/// Which way a load acts along a link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Tension between its pins.
    Pull,
    /// They are pressed together.
    Push,
}

impl Way {
    /// Both, with their words in a job.
    pub(crate) const WORDS: [(&'static str, Self); 2] =
        [("pull", Self::Pull), ("push", Self::Push)];

    /// As an engineer says it.
    pub(crate) const fn acting(self) -> &'static str {
        match self {
            Self::Pull => "tension",
            Self::Push => "compression",
        }
    }
}

/// A load on a link.
#[derive(Clone, Debug)]
pub(crate) struct LinkLoad {
    /// The case it belongs to: `hard braking`.
    pub(crate) name: String,
    /// Index of the link in the job.
    pub(crate) link: usize,
    /// On each link, N.
    pub(crate) force: f64,
    /// Which ways it acts: one, or both where the job does not say.
    pub(crate) ways: Vec<Way>,
    /// A row of the table `bolt-grade`, for the pins through the ears at its ends.
    pub(crate) grade: Option<Arc<Row>>,
    /// The weld metal, and whether the job names it; `None` if none is known.
    pub(crate) filler: Option<(Arc<Row>, bool)>,
    /// Leg of the fillet round each bung, mm, where the job says.
    pub(crate) leg: Option<f64>,
    /// The position of its name.
    pub(crate) here: Span,
    /// Where the link is named.
    pub(crate) link_span: Span,
}

impl LinkLoad {
    /// Which ways, as an engineer says it.
    pub(crate) fn acting(&self) -> String {
        self.ways.iter().map(|way| way.acting()).collect::<Vec<_>>().join(" and ")
    }
}
