//! The list for the bench.

use crate::bill::Task;
use serde::Serialize;

/// A row of the list.
#[derive(Serialize)]
pub(super) struct BenchRow<'a> {
    number: usize,
    stage: &'static str,
    of: &'a str,
    quantity: u32,
    what: &'a str,
}

/// The rows, numbered from 1 in the order of the work.
pub(super) fn rows(tasks: &[Task]) -> impl Iterator<Item = BenchRow<'_>> {
    tasks.iter().enumerate().map(|(i, task)| BenchRow {
        number: i + 1,
        stage: task.stage.word(),
        of: &task.of,
        quantity: task.quantity,
        what: &task.what,
    })
}
