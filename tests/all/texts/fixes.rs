//! Every value that a finding offers is typed where it is marked: then the finding is gone.

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

/// How many values were typed, and those that did not help.
fn follow(
    kind: &str,
    find: impl Fn(&str, SourceId, &str, &mut Sources) -> Vec<Finding>,
) -> (usize, String) {
    let (mut typed, mut lost) = (0, String::new());
    for (name, text) in &files(kind) {
        let read = |text: &str| {
            let mut sources = Sources::default();
            let source = sources.add(format!("{name}.toml"), text);
            let found = find(name, source, text, &mut sources);
            (sources, source, found)
        };
        let (sources, source, found) = read(text);
        for finding in &found {
            for fix in &finding.fixes {
                let Some(next) = fixed(text, source, finding, &fix.value) else { continue };
                typed += 1;
                let line = sources.line_and_column(finding.marks[0].span).0;
                let (sources, source, after) = read(&next);
                let is_left = after.iter().any(|left| {
                    let at = left.marks.first().filter(|mark| mark.span.source == source);
                    left.code == finding.code
                        && at.is_some_and(|mark| sources.line_and_column(mark.span).0 == line)
                });
                if is_left {
                    lost += &format!("{kind}/{name}: {}: `{}`\n", finding.headline, fix.value);
                }
            }
        }
    }
    (typed, lost)
}

#[test]
fn a_value_that_is_offered_for_a_recipe_clears_its_finding() {
    let tables = Tables::shipped();
    let (typed, lost) = follow("recipes", |name, source, text, sources| {
        find_in_recipe(name, source, text, &tables, sources)
    });
    assert!(lost.is_empty(), "\n{lost}");
    assert!(typed >= 5, "only {typed}");
}

#[test]
fn a_value_that_is_offered_for_a_job_clears_its_finding() {
    let (typed, lost) = follow("jobs", find_in_job);
    assert!(lost.is_empty(), "\n{lost}");
    assert!(typed >= 5, "only {typed}");
}
