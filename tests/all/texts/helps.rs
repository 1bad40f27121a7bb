//! The correction in a help is pasted into the bad recipe it is about: then the error is gone.
//!
//! Read are the helps that begin with "write", "add" or "make it" and a code in backquotes:
//!
//! - `KEY = VALUE` takes the place of the value of that key beside the mark, or is added there;
//! - anything else replaces the marked text;
//! - a `{ … }` after "add" is added to the list that is marked.

use crate::texts::bad_input::files;
use crate::texts::bad_input::find_in_recipe;
use platewright::diag::Finding;
use platewright::diag::SourceId;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::table::Tables;
use std::ops::Range;

/// Files in which the correction is an example: the other keys there need other values.
const EXAMPLES: &[(&str, &str)] = &[];

/// The code of a help that can be pasted, and whether it is added.
fn code(help: &str) -> Option<(&str, bool)> {
    let (rest, adds) = match help.strip_prefix("add `") {
        Some(rest) => (rest, true),
        None => (help.strip_prefix("write `")?, false),
    };
    let (code, after) = rest.split_once('`')?;
    // A second one that belongs to it, or a place elsewhere.
    let alone = !after.starts_with(" and `") && !after.starts_with(" to the face");
    alone.then_some((code, adds))
}

/// Where a TOML value ends that begins at `from`.
fn value_end(text: &str, from: usize) -> usize {
    let (mut depth, mut quote) = (0, None);
    for (i, c) in text[from..].char_indices() {
        match (quote, c) {
            (Some(q), _) if c == q => {
                quote = None;
                if depth == 0 {
                    return from + i + 1;
                }
            }
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(c),
            (None, '[' | '{') => depth += 1,
            (None, ']' | '}') if depth > 0 => {
                depth -= 1;
                if depth == 0 {
                    return from + i + 1;
                }
            }
            (None, ',' | '\n' | '#' | '}' | ']') if depth == 0 => {
                return from + text[from..from + i].trim_end().len();
            }
            _ => {}
        }
    }
    text.len()
}

/// The value of a key nearest to a mark: the last that begins before its end and reaches to it, or
/// the nearest in the same entry.
fn value_of(text: &str, key: &str, mark: &Range<usize>) -> Option<Range<usize>> {
    let stands = |at: &usize| {
        let before = text[..*at].chars().next_back();
        let after = text[at + key.len()..].trim_start_matches(' ');
        before.is_none_or(|c| " {,\n".contains(c)) && after.starts_with('=')
    };
    let places = text.match_indices(key).map(|(at, _)| at).filter(stands);
    let value = |at: usize| {
        let from = at + text[at..].find('=')? + 1;
        let from = from + text[from..].len() - text[from..].trim_start_matches(' ').len();
        Some(from..value_end(text, from))
    };
    let within = entry(text, mark);
    let known = places.filter_map(|at| Some((at, value(at)?)));
    let near = known.filter(|(at, value)| {
        (value.start <= mark.start && mark.end <= value.end) || within.contains(at)
    });
    // Text on the line of the mark comes before text that is nearer on another.
    let line = |at: usize| text[..at].matches('\n').count();
    let far = |at: usize| (line(at) != line(mark.start), at.abs_diff(mark.start));
    near.min_by_key(|(at, _)| far(*at)).map(|(_, value)| value)
}

/// What belongs to the entry of a mark: within the braces round it, else its table.
fn entry(text: &str, mark: &Range<usize>) -> Range<usize> {
    if let Some(open) = brace(text, mark) {
        return open..value_end(text, open);
    }
    let from = text[..mark.end].rfind("\n[").map_or(0, |at| at + 1);
    let to = text[mark.end..].find("\n[").map_or(text.len(), |at| mark.end + at);
    from..to
}

/// Where the innermost brace opens that is round a mark, or at its start.
fn brace(text: &str, mark: &Range<usize>) -> Option<usize> {
    let line = text[..mark.start].rfind('\n').map_or(0, |at| at + 1);
    let opens = (line..=mark.start).rev().filter(|at| text[*at..].starts_with('{'));
    opens.into_iter().find(|open| value_end(text, *open) >= mark.end)
}

/// The text with the code pasted in.
fn pasted(text: &str, code: &str, adds: bool, mark: &Range<usize>) -> String {
    let with = |range: Range<usize>, new: &str| {
        format!("{}{new}{}", &text[..range.start], &text[range.end..])
    };
    let key = code.split_once(" = ").filter(|(key, _)| !key.contains(['{', '"', '(', ' ']));
    if let Some((key, value)) = key {
        if let Some(old) = value_of(text, key, mark).filter(|_| !adds) {
            return with(old, value.trim());
        }
        if let Some(open) = brace(text, mark) {
            return with(open + 1..open + 1, &format!(" {code},"));
        }
        let line = text[mark.start..].find('\n').map_or(text.len(), |at| mark.start + at + 1);
        return with(line..line, &format!("{code}\n"));
    }
    let quoted = text[..mark.start].ends_with(['"', '\'']);
    let whole = code.starts_with(['"', '[', '{']) || code == "true";
    match quoted && whole && !text[mark.clone()].starts_with(['"', '[', '{']) {
        true => with(mark.start - 1..mark.end + 1, code),
        false if text[mark.clone()].starts_with('"') && !whole => {
            with(mark.start + 1..mark.end - 1, code)
        }
        false => with(mark.clone(), code),
    }
}

#[test]
fn what_a_help_tells_to_write_ends_the_error() {
    let tables = Tables::shipped();
    let mut pastings = 0;
    let mut report = String::new();
    for (name, text) in files("recipes") {
        let find = |text: &str| -> (Vec<Finding>, SourceId) {
            let mut sources = Sources::default();
            let source = sources.add(format!("{name}.toml"), text);
            (find_in_recipe(&name, source, text, &tables, &mut sources), source)
        };
        let (found, source) = find(&text);
        for finding in &found {
            let mark = finding.marks.iter().find(|mark| mark.span.source == source);
            let code = finding.help.as_deref().and_then(code);
            let (Some(mark), Some((code, adds))) = (mark, code) else { continue };
            let Span { start, end, .. } = mark.span;
            let new = pasted(&text, code, adds, &(start..end));
            pastings += 1;
            let (left, _) = find(&new);
            let same =
                |other: &Finding| other.code == finding.code && other.headline == finding.headline;
            let expected = EXAMPLES.contains(&(name.as_str(), finding.code));
            let count = |found: &[Finding]| found.iter().filter(|f| same(f)).count();
            let stays = count(&left) >= count(&found);
            let unread = left.iter().any(|other| other.code == "syntax");
            if (stays || unread) != expected {
                let all: Vec<&str> = left.iter().map(|f| f.headline.as_str()).collect();
                report += &format!(
                    "--- {name}: {}: `{code}`\n{}\n{new}\n",
                    finding.headline,
                    all.join("\n")
                );
            }
        }
    }
    assert!(report.is_empty(), "\n{report}");
    assert!(pastings >= 80, "only {pastings} helps were pasted");
}

#[test]
fn a_code_is_pasted_where_a_person_would() {
    let text = "[face.a]\nblank = [ { add = \"disc\", radius = \"5\" } ]\n";
    let at = |what: &str| text.find(what).map(|at| at..at + what.len()).unwrap();
    let of = |code, adds, mark: &str| pasted(text, code, adds, &at(mark));
    assert!(of("radius = \"5 mm\"", false, "5").contains("radius = \"5 mm\" } ]"));
    assert!(of("\"5 mm\"", false, "5").contains("radius = \"5 mm\" } ]"));
    assert!(of("slot", false, "disc").contains("add = \"slot\""));
    assert!(of("at = [\"0\", \"0\"]", true, "disc").contains("{ at = [\"0\", \"0\"], add"));
    assert!(of("pieces = 1", true, "[face.a]").starts_with("[face.a]\npieces = 1\n"));
}
