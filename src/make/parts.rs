//! The parts that files are made of, and those that are left out.

use crate::solve::Machine;
use crate::solve::Solved;

/// The parts of a job of which files are made, with the data common to all of them.
#[derive(Clone, Copy)]
pub struct Parts<'a> {
    /// Those that are made.
    pub solved: &'a [Solved],
    /// Their positions in the machine of the job, if it has one.
    pub machine: Option<&'a Machine>,
    /// Those that are stopped.
    pub left_out: &'a LeftOut,
}

/// Parts that are stopped, while others of the job are made.
#[derive(Clone, Debug, Default)]
pub struct LeftOut {
    /// Their names, as the job has them.
    pub names: Vec<String>,
    /// Those that could be developed, to be drawn with their findings.
    pub drawn: Vec<Solved>,
}
