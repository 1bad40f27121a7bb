//! Lists of a job: parts with their costs, hardware, masking, the bench, tubes.
//!
//! Plain CSV as in RFC 4180, in the units of the job, a head, a row each, and a row of totals where
//! totals make sense. A price that the shop gives no rate for stays empty, in its row and
//! in the total.

mod bench;
mod cell;
mod hardware;
mod masking;
mod part;
mod purchases;
mod tube;

use crate::bill;
use crate::bill::Tube;
use crate::diag::Finding;
use crate::job::Job;
use crate::place::NestedSheet;
use crate::solve::Solved;
use crate::write::NamedFile;
use crate::write::csv;

/// The lists as files; one that would be empty is left out. `left_out` are parts that are stopped.
///
/// # Errors
/// When a list cannot be written, which is an error of the program.
pub(crate) fn lists(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    tubes: &[Tube],
    left_out: &[String],
) -> Result<Vec<NamedFile>, Finding> {
    let units = job.units;
    let mut files = vec![csv("parts.csv", units, part::rows(job, solved, nested))?];
    let hardware = bill::hardware(job, solved);
    if !hardware.is_empty() {
        files.push(csv("hardware.csv", units, hardware.iter().map(hardware::row))?);
    }
    let masking = bill::masking(job, solved);
    if !masking.is_empty() {
        files.push(csv("masking.csv", units, masking.iter().map(masking::row))?);
    }
    let tasks = bill::bench(job, solved);
    if !tasks.is_empty() {
        files.push(csv("bench.csv", units, bench::rows(&tasks))?);
    }
    if !tubes.is_empty() {
        files.push(csv("tubes.csv", units, tube::rows(tubes))?);
    }
    let bars = bill::bars(job, tubes);
    if !bars.is_empty() {
        files.push(csv("bars.csv", units, purchases::cuts(&bars))?);
    }
    let mut purchases = purchases::rows(job, solved, nested, &bars);
    purchases.extend(left_out.iter().map(|name| purchases::stopped(name)));
    if !purchases.is_empty() {
        files.push(csv("purchases.csv", units, purchases)?);
    }
    Ok(files)
}
