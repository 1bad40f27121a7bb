//! A value typed for a part that cannot be read: it is refused, as one of a link is.

use crate::diag::Weight;
use crate::serve::edit::Edit;
use crate::serve::snapshot::Snapshot;

/// The stop of a value that cannot be read.
const CODE: &str = "formula";

/// Why the value that an edit sets for a part is not taken, if it cannot be read in the text after it.
pub(super) fn unreadable(edit: &Edit, after: &Snapshot) -> Option<String> {
    let Edit::Set { part, key, value: Some(_), .. } = edit else { return None };
    let job = after.job.as_ref().ok()?;
    let part = job.part(part)?;
    let line = &job.ready.job.lines[part.line];
    let all = line.given.iter().chain(&line.open).filter(|(name, _)| name == key);
    let spans: Vec<_> = all.map(|(_, entry)| entry.item.span).collect();
    let is_in_it = |at: crate::diag::Span| {
        spans.iter().any(|of| of.source == at.source && of.start <= at.start && at.end <= of.end)
    };
    let found = job.found(part).into_iter().find(|finding| {
        let is_own = finding.marks.first().is_some_and(|mark| is_in_it(mark.span));
        is_own && finding.weight == Weight::Stop && finding.code == CODE
    });
    found.map(|finding| finding.headline.clone())
}
