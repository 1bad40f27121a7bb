//! The data of a report.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::job::Job;
use crate::place::NestedSheet;
use crate::place::NotPlaced;
use crate::place::Searched;
use crate::solve::Machine;
use crate::solve::Solved;

/// Everything the report needs.
pub(crate) struct Input<'a> {
    pub(crate) job: &'a Job,
    pub(crate) solved: &'a [Solved],
    /// The bodies in the machine of the job; rows of parts and sheets do not need them.
    pub(crate) machine: Option<&'a Machine>,
    pub(crate) nested: &'a [NestedSheet],
    pub(crate) left: &'a [NotPlaced],
    pub(crate) searched: &'a [Searched],
    pub(crate) seed: u64,
    pub(crate) findings: &'a [Finding],
    /// The names of the parts that are stopped.
    pub(crate) left_out: &'a [String],
    pub(crate) sources: &'a Sources,
}
