//! Rows of the report on the work at the bench.

use crate::bill;
use crate::report::input::Input;
use serde::Serialize;

/// One task, in the order of the work.
#[derive(Clone, Debug, Serialize)]
pub struct BenchRow {
    /// `tack`, `weld`, `coat`, …
    pub stage: &'static str,
    /// The part, link, tube or weldment.
    pub of: String,
    /// How many of it.
    pub quantity: u32,
    /// The task.
    pub what: String,
}

/// The rows of a job.
pub(super) fn rows(input: &Input) -> Vec<BenchRow> {
    let tasks = bill::bench(input.job, input.solved).into_iter();
    let row = |task: bill::Task| BenchRow {
        stage: task.stage.word(),
        of: task.of,
        quantity: task.quantity,
        what: task.what,
    };
    tasks.map(row).collect()
}
