//! A finding at the field that caused it, with values to type instead.

use crate::diag::Finding;
use crate::diag::Fix;
use crate::diag::Mark;
use crate::diag::Sources;
use crate::diag::Span;
use crate::diag::Weight;
use crate::job::Line;
use crate::recipe::Kind;
use crate::serve::form::Form;
use serde::Serialize;

/// The field whose change brought a finding about, where that is known.
pub(super) type CausedBy<'a> = &'a dyn Fn(&Finding) -> Option<String>;

/// A finding as the page shows it.
#[derive(Debug, Serialize)]
pub(super) struct FoundRow {
    weight: Weight,
    code: &'static str,
    headline: String,
    notes: Vec<String>,
    help: Option<String>,
    /// Its number in the picture of the part, `F1`; none of one that has none.
    label: Option<String>,
    /// The field it is at; `None` if it concerns no single one.
    field: Option<String>,
    /// What to type there, each a field and a value.
    fixes: Vec<[String; 2]>,
    /// Line and column in the job.
    place: Option<[usize; 2]>,
    /// Where it is at no field: what is in the job at that place, and what may be put there instead.
    marked: Option<String>,
    instead: Vec<String>,
}

/// The key and the value of a help that is one assignment and nothing else: write `reach = "14 mm"`.
fn written(help: &str) -> Option<[String; 2]> {
    let typed = help.strip_prefix("write `")?.strip_suffix('`')?;
    let (key, value) = typed.split_once(" = ")?;
    let value = value.strip_prefix('"')?.strip_suffix('"')?;
    let is_plain = key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    (is_plain && !value.contains(['"', '`'])).then(|| [key.to_owned(), value.to_owned()])
}

/// The value that a finding names for a field, or for the value it points at.
pub(super) fn value_for(finding: &Finding, field: &str) -> Option<String> {
    let is_it = |fix: &&Fix| fix.key.as_deref().is_none_or(|key| key == field);
    let fix = finding.fixes.iter().find(is_it).map(|fix| fix.value.clone());
    let named = || finding.help.as_deref().and_then(written).filter(|[key, _]| key == field);
    fix.or_else(|| named().map(|[_, value]| value))
}

impl FoundRow {
    /// The same with its number in the picture of a part.
    pub(super) fn labelled(self, label: Option<String>) -> Self {
        Self { label, ..self }
    }
}

/// The row of a finding at its field, if it concerns a single one.
pub(super) fn row(
    finding: &Finding,
    sources: &Sources,
    shown: &str,
    field: Option<String>,
) -> FoundRow {
    let own = |fix: &Fix| Some([fix.key.clone().or_else(|| field.clone())?, fix.value.clone()]);
    let mut fixes: Vec<[String; 2]> = finding.fixes.iter().filter_map(own).collect();
    let is_in_job = |mark: &Mark| sources.name(mark.span.source) == shown;
    // A key of a recipe may have the name of an input, and is not meant by it.
    if fixes.is_empty() && finding.marks.first().is_none_or(is_in_job) {
        fixes.extend(finding.help.as_deref().and_then(written));
    }
    let in_job = finding.marks.iter().find(|mark| is_in_job(mark));
    let place = in_job.map(|mark| {
        let (line, column) = sources.line_and_column(mark.span);
        [line, column]
    });
    let marked = in_job.filter(|_| field.is_none()).and_then(|mark| {
        let Span { source, start, end } = mark.span;
        sources.text(source).get(start..end).map(str::to_owned)
    });
    let plain = finding.fixes.iter().filter(|fix| fix.key.is_none() && marked.is_some());
    let instead = plain.map(|fix| fix.value.clone()).collect();
    let repeated = crate::diag::repeated(finding.repeats);
    FoundRow {
        weight: finding.weight,
        code: finding.code,
        headline: finding.headline.clone(),
        notes: finding.notes.iter().cloned().chain(repeated).collect(),
        help: finding.help.clone(),
        label: None,
        field,
        fixes,
        place,
        marked,
        instead,
    }
}

/// The field of a part that a finding is at: the one whose change brought it about, else the input
/// it points at. The first mark is the value to change; where several have no words to tell them apart,
/// all of them made it so, and the one counts whose new value is known, else a size before a row of a
/// table, what is given before what holds without it, and of sizes the one that makes the least else.
pub(super) fn field(
    finding: &Finding,
    sources: &Sources,
    line: &Line,
    (form, caused_by): (Option<&Form>, CausedBy),
) -> Option<String> {
    let at = |mark: &Mark| input_at(mark.span, sources, line, form);
    let first = finding.marks.iter().position(|mark| at(mark).is_some());
    // The correction is typed at the first mark.
    if first.is_some() && finding.fixes.iter().any(|fix| fix.key.is_none()) {
        return at(&finding.marks[first?]);
    }
    if let Some(cause) = caused_by(finding) {
        return Some(cause);
    }
    let (first, rest) = finding.marks[first?..].split_first()?;
    let alike = rest.iter().take_while(|mark| first.label.is_empty() && mark.label.is_empty());
    std::iter::once(first).chain(alike).filter_map(at).min_by_key(|key| {
        let asked = form.and_then(|form| form.inputs.iter().find(|asked| asked.key == *key));
        let is_fixed = finding.fixes.iter().any(|fix| fix.key.as_ref() == Some(key));
        let is_size = asked.is_some_and(|asked| matches!(asked.kind, Kind::Number(..)));
        // A value the job gives, in preference to a default.
        let is_given = line.given.iter().any(|(name, _)| name == key);
        (!is_fixed, !is_given, !is_size, asked.map_or(0, |asked| asked.named))
    })
}

/// The input of a part that a place belongs to.
fn input_at(at: Span, sources: &Sources, line: &Line, form: Option<&Form>) -> Option<String> {
    let holds = |of: Span| of.source == at.source && of.start <= at.start && at.end <= of.end;
    let all = line.given.iter().chain(&line.open);
    let mut typed = all.filter(|(_, entry)| holds(entry.item.span) || holds(entry.key));
    let own = typed.next().map(|(name, _)| name.clone());
    let of_recipe = || {
        let form = form.filter(|form| form.source == sources.name(at.source))?;
        form.input_at(at.start).map(str::to_owned)
    };
    own.or_else(of_recipe)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_help_that_is_one_assignment_is_a_value_to_use() {
        let known = |help: &str| written(help).map(|[key, value]| format!("{key} {value}"));
        assert_eq!(known("write `reach = \"14 mm\"`").as_deref(), Some("reach 14 mm"));
        for help in [
            "write `4.5 mm`",
            "write `reach = 14`",
            "write `a = \"1 mm\"` or `b = \"2 mm\"`",
            "raise `reach`, or write `x = \"1\"`",
            "write `from = { a = \"1 mm\" }`",
        ] {
            assert_eq!(known(help), None, "{help}");
        }
    }
}
