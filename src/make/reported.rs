//! The report of a job, and how it differs from what was made before.

use crate::changes;
use crate::changes::Changes;
use crate::diag::Finding;
use crate::diag::Sources;
use crate::history;
use crate::history::Made as Kept;
use crate::history::State;
use crate::job::Job;
use crate::make::parts::LeftOut;
use crate::make::parts::Parts;
use crate::package;
use crate::place::Placement;
use crate::report;
use crate::report::Input;
use crate::report::Report;
use crate::write::NamedFile;

/// What is compared with, in words.
pub(super) const AS_MADE: &str = "what was made before";

/// The same while nothing was made yet.
pub(crate) const AS_OPENED: &str = "the file as it was opened";

/// The report, without the names of files, and the record with which the next make compares.
pub(super) fn reported(
    (job, sources): (&Job, &Sources),
    Parts { solved, machine, left_out }: Parts,
    (placement, seed, found): (&Placement, u64, &[Finding]),
) -> (Report, Kept) {
    let input = Input {
        job,
        solved,
        machine,
        nested: &placement.sheets,
        left: &placement.left,
        searched: &placement.searched,
        seed,
        findings: found,
        left_out: &left_out.names,
        sources,
    };
    let mut report = report::report(&input);
    let mut state = changes::state(job, solved, &placement.sheets, found, report.totals.cost);
    package::sent(job, solved).into_iter().for_each(|(stem, i)| state.part[i].file = stem);
    let kept = kept(job, state);
    let before = kept.before.clone().map(|before| (AS_MADE, before));
    report.changes = before.map(|before| changed(job, before, &kept.now, left_out));
    (report, kept)
}

/// The file of the report as data.
pub(super) const DATA: &str = "report.json";

/// The report as data.
pub(super) fn as_json(report: &Report) -> Result<NamedFile, Vec<Finding>> {
    let mut text = serde_json::to_string_pretty(report).map_err(|e| {
        vec![Finding::internal("report", format!("the report cannot be written: {e}"))]
    })?;
    text.push('\n');
    Ok(NamedFile { name: DATA.into(), bytes: text.into_bytes() })
}

/// The record with which the next make compares.
fn kept(job: &Job, now: State) -> Kept {
    match job.past.as_ref().and_then(|past| past.made.as_ref()) {
        Some(last) => last.then(now),
        None => Kept::first(now),
    }
    .of(&job.name)
}

/// The differences from an earlier state, which is described by its words.
pub(super) fn changed(
    job: &Job,
    (with, mut before): (&str, State),
    now: &State,
    left_out: &LeftOut,
) -> Changes {
    // A stopped part needs no action: it has not been given up.
    let is_stopped = |name: &str| {
        let is_of = |line: &String| {
            name.strip_prefix(line.as_str())
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
        };
        now.part.iter().all(|part| part.name != name) && left_out.names.iter().any(is_of)
    };
    before.part.retain(|part| !is_stopped(&part.name));
    changes::changes(with, &before, now, job.units)
}

/// The file of the record of what was made.
pub(super) fn keeping(kept: &Kept) -> Result<NamedFile, Vec<Finding>> {
    let fault = |error| {
        let headline = format!("{} cannot be written: {error}", history::FILE);
        vec![Finding::internal("made", headline)]
    };
    let text = kept.text().map_err(fault)?;
    Ok(NamedFile { name: history::FILE.into(), bytes: text.into_bytes() })
}
