//! The findings on a text that is not TOML: the commonest slips by name, with what to type.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use std::ops::Range;

/// Quotes that a word processor puts in place of straight double ones.
const CURLY: [char; 7] = ['“', '”', '„', '‟', '«', '»', '″'];

/// Those it puts in place of straight single ones.
const CURLY_SINGLE: [char; 5] = ['‘', '’', '‚', '‛', '′'];

/// Tables of which a job, a recipe or a shop file has a list.
const LISTS: [&str; 15] = [
    "as_built", "bar", "part", "family", "sheet", "link", "tube", "load", "weldment", "require",
    "brake", "roll", "hemming", "measured", "cutting",
];

/// The finding for the first place where a text is not TOML.
pub(super) fn finding(source: SourceId, text: &str, message: &str, at: Range<usize>) -> Finding {
    let start = text[..at.start.min(text.len())].rfind('\n').map_or(0, |end| end + 1);
    let line = text[start..].lines().next().unwrap_or_default();
    let span = |at: Range<usize>| Span { source, start: at.start, end: at.end };
    if let Some(word) = curly(line) {
        let at = span(start + word.start..start + word.end);
        return Finding::stop("not-toml", "this is not TOML: these quotes are not straight")
            .at(at, "")
            .note(
                "word processors and web pages change \" into other characters: use a plain text editor",
            )
            .help(format!("write `{}`", straight(line).trim()));
    }
    if message.contains("duplicate") {
        return twice(source, text, at);
    }
    let help = if message.contains("string") || message.contains("quot") {
        "write text in double quotes on one line, and a word inside a formula in single ones"
    } else {
        "look here and on the line before: a quote, comma or bracket may be missing"
    };
    Finding::stop("not-toml", format!("this is not TOML: {message}")).at(span(at), "").help(help)
}

/// A key or a table that is there already, and where the first is if it begins its line.
fn twice(source: SourceId, text: &str, at: Range<usize>) -> Finding {
    let span = |at: Range<usize>| Span { source, start: at.start, end: at.end };
    let name = text.get(at.clone()).unwrap_or_default();
    let begins = text[..at.start].rfind('\n').map_or(0, |end| end + 1);
    let line = text[begins..].lines().next().unwrap_or_default();
    let line = line.split('#').next().unwrap_or_default().trim();
    let is_table = line.starts_with('[');
    let is_same = |other: &str| match is_table {
        true => other.split('#').next().map(str::trim) == Some(line),
        false => {
            let rest = other.strip_prefix(name).map(str::trim_start);
            rest.is_some_and(|rest| rest.starts_with('='))
        }
    };
    let mut from = 0;
    let mut first = None;
    for other in text[..begins].split_inclusive('\n') {
        let shift = other.len() - other.trim_start().len();
        if is_same(other.trim()) {
            let start = from + shift;
            first = Some(start..start + if is_table { line.len() } else { name.len() });
        } else if !is_table && other.trim_start().starts_with('[') {
            first = None;
        }
        from += other.len();
    }
    let listed = line.trim_matches(['[', ']', ' ']);
    let help = match is_table {
        true if LISTS.contains(&listed) => {
            format!("write `[[{listed}]]`, with two brackets, above each of them")
        }
        true => "give one of them another name, or remove it".to_owned(),
        false => "remove one of them, or give it another name".to_owned(),
    };
    let headline = format!("this is not TOML: duplicate key, `{name}` is there already");
    let finding = Finding::stop("not-toml", headline).at(span(at), "").help(help);
    match first {
        Some(first) => finding.at(span(first), "the first"),
        None => finding,
    }
}

/// The position of the first text in a line with quotes that are not straight, comments apart.
fn curly(line: &str) -> Option<Range<usize>> {
    let is_curly = |c: char| CURLY.contains(&c) || CURLY_SINGLE.contains(&c);
    let mut quoted = false;
    for (at, c) in line.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '#' if !quoted => return None,
            c if !quoted && is_curly(c) => {
                let rest = &line[at + c.len_utf8()..];
                let last = rest.char_indices().find(|(_, c)| is_curly(*c) || *c == '"');
                let length = last.map_or(0, |(end, last)| end + last.len_utf8());
                return Some(at..at + c.len_utf8() + length);
            }
            _ => {}
        }
    }
    None
}

/// The line with straight double quotes.
fn straight(line: &str) -> String {
    line.replace(CURLY, "\"").replace(CURLY_SINGLE, "\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_that_are_not_straight_are_found_outside_text_and_comments() {
        for (line, found) in [
            ("recipe = “tab”", Some("“tab”")),
            ("recipe = ‘tab’  # x", Some("‘tab’")),
            ("recipe = „tab\"", Some("„tab\"")),
            ("size = [\"1 m\", “2 m]", Some("“")),
            ("about = \"it’s\" # “so”", None),
        ] {
            assert_eq!(curly(line).map(|at| &line[at]), found, "{line}");
        }
        assert_eq!(straight("a = “b” # ‘c’"), "a = \"b\" # \"c\"");
    }
}
