//! The job as a list of its parts.

use crate::report;
use crate::report::Beside;
use crate::report_page::flat_data;
use crate::serve::found;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use serde_json::Value;
use serde_json::json;

/// A job: its parts with their outlines, and what belongs to no part.
pub(super) fn list(seen: &Snapshot, name: &str, shown: &str) -> Value {
    let job = match &seen.job {
        Ok(job) => job,
        Err(unread) => {
            let row = |finding| found::row(finding, &unread.sources, shown, None);
            let state = SnapshotJob::count(&unread.findings);
            let none = Beside::default();
            return json!({
                "name": name,
                "shown": shown,
                "unread": true,
                "state": state,
                "said": none.said(state),
                "notes": 0,
                "answer": none.answer(state),
                "findings": unread.findings.iter().map(row).collect::<Vec<_>>(),
                "parts": [],
            });
        }
    };
    let parts = job.parts();
    let rest = job.found_elsewhere();
    let state = SnapshotJob::count(&job.ready.findings);
    let beside = report::beside(&job.ready.job, &job.ready.solved);
    let row = |finding| found::row(finding, &job.ready.sources, shown, None);
    // A job that makes nothing yet is neither clear nor can it be ordered.
    let all = &job.ready.job;
    let is_begun = all.lines.is_empty() && all.links.is_empty() && all.tubes.is_empty();
    let (said, answer) = match is_begun && state == [0, 0] {
        true => ("no part yet".to_owned(), "No"),
        false => (beside.said(state), beside.answer(state)),
    };
    json!({
        "name": name,
        "shown": shown,
        "about": job.ready.job.about,
        "unread": false,
        "checking": job.checking(None),
        "units": job.ready.job.units.word(),
        "state": state,
        "said": said,
        "notes": beside.count() + usize::from(is_begun),
        "answer": answer,
        "findings": rest.into_iter().map(row).collect::<Vec<_>>(),
        "parts": parts.iter().map(|part| row_of(job, *part)).collect::<Vec<_>>(),
        "caution": crate::job::CAUTION,
    })
}

fn row_of(job: &SnapshotJob, part: ListedPart) -> Value {
    let line = &job.ready.job.lines[part.line];
    // A part that cannot be drawn has no pieces to count; of one that is not ordered there are none.
    let idle = line.is_idle().then_some(0);
    let state = SnapshotJob::count(job.found(part));
    json!({
        "name": part.name,
        "recipe": line.recipe.0,
        "sheet": job.sheet(part).map(|sheet| &sheet.name),
        "pieces": part.solved.map(|s| line.quantity.saturating_mul(s.part.copies)).or(idle),
        "state": state,
        "said": job.said(part, state),
        "notes": job.notes(part),
        "checking": job.checking(Some(part)),
        "bends": part.solved.map(|solved| solved.part.bends.len()),
    })
}

/// The flats of some parts by their names, small; without those that are not drawn.
pub(super) fn flats(seen: &Snapshot, names: &[String]) -> Vec<Value> {
    let Ok(job) = &seen.job else { return Vec::new() };
    let one = |name: &String| {
        let region = &job.part(name)?.solved?.flat.region;
        let bounds = region.bounds();
        Some(json!({ "flat": flat_data(region), "size": [bounds.width(), bounds.height()] }))
    };
    names.iter().map(|name| json!(one(name))).collect()
}
