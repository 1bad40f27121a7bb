//! Every value that a finding offers is typed where it is marked: then the finding is gone, and no stop or
//! caution has come in its place.

use crate::texts::bad_input::files;
use crate::texts::bad_input::find_in_job;
use crate::texts::bad_input::find_in_recipe;
use platewright::diag::Finding;
use platewright::diag::SourceId;
use platewright::diag::Sources;
use platewright::table::Tables;
use std::ops::Range;

/// Where the whole value lies in which something is marked: with its quotes where it is a text.
fn value(text: &str, marked: Range<usize>) -> Range<usize> {
    let line = text[..marked.start].rfind('\n').map_or(0, |at| at + 1);
    for quote in ['"', '\''] {
        let open = text[line..marked.start].match_indices(quote).count();
        if open % 2 == 1 || text[marked.start..].starts_with(quote) {
            let from = match text[marked.start..].starts_with(quote) {
                true => marked.start,
                false => line + text[line..marked.start].rfind(quote).unwrap(),
            };
            let to = from + 1 + text[from + 1..].find(quote).unwrap();
            return from..to + 1;
        }
    }
    marked
}

/// The text with a value in place of what a finding marks first in it; none where it marks nothing there.
fn fixed(text: &str, source: SourceId, finding: &Finding, value_of: &str) -> Option<String> {
    let mark = finding.marks.first().filter(|mark| mark.span.source == source)?;
    let at = value(text, mark.span.start..mark.span.end);
    Some(format!("{}\"{value_of}\"{}", &text[..at.start], &text[at.end..]))
}

/// The findings of a check after a change, where it finds more than before it.
fn new<'a>(before: &[Finding], after: &'a [Finding]) -> Vec<&'a Finding> {
    let count = |all: &[Finding], of: &Finding| all.iter().filter(|f| f.code == of.code).count();
    after.iter().filter(|of| count(after, of) > count(before, of)).collect()
}

/// Inputs whose limit is offered, where the limit alone is not enough: what else the recipe asks of the
/// part is found next; and a reading without a sense that fits nothing.
const TRADED: [&str; 6] = [
    "jobs/as-built-gap-in-degrees",
    "jobs/below-min",
    "jobs/family-value-out-of-range",
    "jobs/gauge-too-thin",
    "jobs/inch-words",
    "recipes/holes-like-out-of-range",
];

/// A text that is checked: its sources, which of them it is, and what is found.
type Read = (Sources, SourceId, Vec<Finding>);

/// How many values were typed, those that did not help, and the texts in which each of the values of a
/// finding brings another.
fn follow(
    kind: &str,
    find: impl Fn(&str, SourceId, &str, &mut Sources) -> Vec<Finding>,
) -> (usize, String, Vec<String>) {
    let (mut typed, mut lost, mut traded) = (0, String::new(), Vec::new());
    for (name, text) in &files(kind) {
        let read = |text: &str| -> Read {
            let mut sources = Sources::default();
            let source = sources.add(format!("{name}.toml"), text);
            let found = find(name, source, text, &mut sources);
            (sources, source, found)
        };
        let (sources, source, found) = read(text);
        for finding in &found {
            let mut brought = Vec::new();
            for fix in &finding.fixes {
                let Some(next) = fixed(text, source, finding, &fix.value) else { continue };
                typed += 1;
                let line = sources.line_and_column(finding.marks[0].span).0;
                let after = read(&next);
                if is_left(finding, line, &after) {
                    lost += &format!("{kind}/{name}: {}: `{}`\n", finding.headline, fix.value);
                }
                let new = new(&found, &after.2).into_iter().map(|new| new.headline.clone());
                brought.push(new.collect::<Vec<_>>());
            }
            // Of the same number in several units one at least is good.
            if !brought.is_empty() && brought.iter().all(|new| !new.is_empty()) {
                traded.push(format!("{kind}/{name}: {}: {brought:?}", finding.headline));
            }
        }
    }
    (typed, lost, traded)
}

/// Whether a finding that was on a line is there still.
fn is_left(finding: &Finding, line: usize, (sources, source, after): &Read) -> bool {
    after.iter().any(|left| {
        let at = left.marks.first().filter(|mark| mark.span.source == *source);
        left.code == finding.code
            && at.is_some_and(|mark| sources.line_and_column(mark.span).0 == line)
    })
}

/// Whether values were typed, none in vain, and only those brought a stop or a caution that are known to.
fn assert_good((typed, lost, traded): (usize, String, Vec<String>), kind: &str) {
    assert!(lost.is_empty(), "\n{lost}");
    assert!(typed >= 5, "only {typed}");
    let is_of = |name: &str, said: &String| said.starts_with(&format!("{name}: "));
    let unknown = traded.iter().filter(|said| !TRADED.iter().any(|name| is_of(name, said)));
    let unknown: Vec<&String> = unknown.collect();
    assert!(unknown.is_empty(), "{unknown:#?}");
    let of_kind = TRADED.iter().filter(|name| name.starts_with(kind));
    let good: Vec<_> =
        of_kind.filter(|name| !traded.iter().any(|said| is_of(name, said))).collect();
    assert!(good.is_empty(), "no longer: {good:?}");
}

#[test]
fn a_value_that_is_offered_for_a_recipe_clears_its_finding_and_brings_none() {
    let tables = Tables::shipped();
    let followed = follow("recipes", |name, source, text, sources| {
        find_in_recipe(name, source, text, &tables, sources)
    });
    assert_good(followed, "recipes");
}

#[test]
fn a_value_that_is_offered_for_a_job_clears_its_finding_and_brings_none() {
    assert_good(follow("jobs", find_in_job), "jobs");
}
