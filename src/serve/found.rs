//! A finding at the field that caused it, with what to type as values.

use crate::diag::Finding;
use crate::diag::Fix;
use crate::diag::Sources;
use crate::diag::Span;
use crate::diag::Weight;
use crate::job::Line;
use crate::serve::form::Form;
use serde::Serialize;

/// A finding as the page shows it.
#[derive(Debug, Serialize)]
pub(super) struct FoundRow {
    weight: Weight,
    code: &'static str,
    headline: String,
    notes: Vec<String>,
    help: Option<String>,
    /// The field it stands at; none where it is about no single one.
    field: Option<String>,
    /// What to type there, each a field and a value.
    fixes: Vec<[String; 2]>,
    /// Line and column in the job.
    place: Option<[usize; 2]>,
}

/// The row of a finding that stands at a field; at none where it is about no single one.
pub(super) fn row(
    finding: &Finding,
    sources: &Sources,
    shown: &str,
    field: Option<String>,
) -> FoundRow {
    let own = |fix: &Fix| Some([fix.key.clone().or_else(|| field.clone())?, fix.value.clone()]);
    let fixes = finding.fixes.iter().filter_map(own).collect();
    let in_job = finding.marks.iter().find(|mark| sources.name(mark.span.source) == shown);
    let place = in_job.map(|mark| {
        let (line, column) = sources.line_and_column(mark.span);
        [line, column]
    });
    let repeated = crate::diag::repeated(finding.repeats);
    FoundRow {
        weight: finding.weight,
        code: finding.code,
        headline: finding.headline.clone(),
        notes: finding.notes.iter().cloned().chain(repeated).collect(),
        help: finding.help.clone(),
        field,
        fixes,
        place,
    }
}

/// The input of a part that the first mark belongs to: a value that is given, one that is open, or what the
/// recipe says of it.
pub(super) fn field(
    finding: &Finding,
    sources: &Sources,
    line: &Line,
    form: Option<&Form>,
) -> Option<String> {
    let holds =
        |of: Span, at: Span| of.source == at.source && of.start <= at.start && at.end <= of.end;
    finding.marks.iter().find_map(|mark| {
        let all = line.given.iter().chain(&line.open);
        let mut typed = all
            .filter(|(_, entry)| holds(entry.item.span, mark.span) || holds(entry.key, mark.span));
        let own = typed.next().map(|(name, _)| name.clone());
        let of_recipe = || {
            let form = form.filter(|form| form.source == sources.name(mark.span.source))?;
            form.input_at(mark.span.start).map(str::to_owned)
        };
        own.or_else(of_recipe)
    })
}
