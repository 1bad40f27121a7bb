//! A finding at the field that caused it, with what to type as values.

use crate::diag::Finding;
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

/// The row of a finding; `of` is the line and the form of the part it is shown with.
pub(super) fn row(
    finding: &Finding,
    sources: &Sources,
    shown: &str,
    of: Option<(&Line, Option<&Form>)>,
) -> FoundRow {
    let field = of.and_then(|(line, form)| field(finding, sources, line, form));
    let fixes = field.as_deref().map_or_else(Vec::new, |field| fixes(finding, field, of));
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

/// The input that the first mark belongs to: a value that is given, one that is open, or what the
/// recipe says of it.
fn field(finding: &Finding, sources: &Sources, line: &Line, form: Option<&Form>) -> Option<String> {
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

/// The values between backticks in a help that says what to write: `key = "value"` for its own field,
/// a bare value for the field of the finding.
fn fixes(finding: &Finding, field: &str, of: Option<(&Line, Option<&Form>)>) -> Vec<[String; 2]> {
    let Some(help) = finding.help.as_deref().filter(|help| help.starts_with("write ")) else {
        return Vec::new();
    };
    let inputs = of.and_then(|(_, form)| form).map_or(&[][..], |form| &form.inputs[..]);
    let known = |name: &str| inputs.iter().any(|asked| asked.key == name);
    let quoted = |text: &str| text.trim().trim_matches('"').to_owned();
    let fix = |text: &str| match text.split_once('=') {
        Some((key, value)) => known(key.trim()).then(|| [key.trim().to_owned(), quoted(value)]),
        None => (!known(text)).then(|| [field.to_owned(), quoted(text)]),
    };
    help.split('`').skip(1).step_by(2).filter_map(fix).collect()
}
