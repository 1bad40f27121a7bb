//! What the report says of a finding.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use crate::job::Job;
use crate::solve::Solved;
use serde::Serialize;

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingRow {
    severity: Weight,
    code: &'static str,
    headline: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    /// The parts it is about, by name; none when it is about the job.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parts: Vec<String>,
    notes: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
}

/// The row of a finding.
pub(crate) fn row(
    finding: &Finding,
    sources: &Sources,
    job: &Job,
    solved: &[Solved],
) -> FindingRow {
    let place = finding.marks.first().map(|mark| {
        let (line, column) = sources.line_and_column(mark.span);
        format!("{}:{line}:{column}", sources.name(mark.span.source))
    });
    FindingRow {
        severity: finding.weight,
        code: finding.code,
        headline: finding.headline.clone(),
        place,
        parts: parts(finding, job, solved),
        notes: finding.notes.clone(),
        help: finding.help.clone(),
    }
}

/// The names of the parts that a finding is about: those in which the checks found it, else
/// those that its headline names.
fn parts(finding: &Finding, job: &Job, solved: &[Solved]) -> Vec<String> {
    // What is found alike in members of a family is said once, at the first of them.
    let of_family = |span| job.lines.iter().any(|line| line.here == span);
    let marked = |span| of_family(span) || finding.marks.iter().any(|mark| mark.span == span);
    let like = |f: &Finding| {
        f.code == finding.code
            && f.headline == finding.headline
            && f.marks.iter().all(|mark| marked(mark.span))
    };
    let names = |about: &dyn Fn(&&Solved) -> bool| -> Vec<String> {
        solved.iter().filter(about).map(|s| s.name.clone()).collect()
    };
    let found = names(&|s| s.found.iter().any(like));
    if !found.is_empty() {
        return found;
    }
    names(&|s| finding.headline.contains(&format!("`{}`", s.name)))
}
