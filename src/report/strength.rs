//! Rows of the report on all loads of a job.

use crate::job::Job;
use crate::report::link_load;
use crate::report::link_load::LinkLoadRow;
use crate::report::load;
use crate::report::load::LoadRow;
use crate::solve::Solved;
use crate::strength::CAUTION;
use serde::Serialize;

/// The loads of a job and the results of them. Forces are those on a whole set.
#[derive(Clone, Debug, Serialize)]
pub struct StrengthRow {
    /// What these numbers are not; to be printed with every one of them.
    pub caution: &'static str,
    /// Every load on a part.
    pub loads: Vec<LoadRow>,
    /// Every load along a link.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<LinkLoadRow>,
}

/// The row of all loads of a job; `None` if there are no loads.
pub(super) fn whole(job: &Job, solved: &[Solved]) -> Option<StrengthRow> {
    let (loads, links) = (load::rows(job, solved), link_load::rows(job, solved));
    let is_empty = loads.is_empty() && links.is_empty();
    (!is_empty).then_some(StrengthRow { caution: CAUTION, loads, links })
}

/// The row of the loads on some parts; `None` where there are none.
pub(crate) fn row(job: &Job, solved: &[Solved]) -> Option<StrengthRow> {
    let loads = load::rows(job, solved);
    (!loads.is_empty()).then_some(StrengthRow { caution: CAUTION, loads, links: Vec::new() })
}
