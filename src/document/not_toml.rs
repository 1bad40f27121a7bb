//! What is said of a text that is not TOML: the commonest slips by name, with what to type.

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
                "word processors and web pages change \" into other signs: use a plain text editor",
            )
            .help(format!("write `{}`", straight(line).trim()));
    }
    let twice = message.contains("duplicate");
    let bare = line.split('#').next().unwrap_or_default();
    let header = bare.trim().strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
    let help = match header.map(|name| name.trim_matches(['[', ']', ' '])) {
        Some(name) if twice && LISTS.contains(&name) => {
            format!("write `[[{name}]]`, with two brackets, above each of them")
        }
        _ if twice => "remove one of them".to_owned(),
        _ if message.contains("string") || message.contains("quot") => {
            "write text in double quotes on one line, and a word inside a formula in single ones"
                .to_owned()
        }
        _ => {
            "look here and on the line before: a quote, comma or bracket may be missing".to_owned()
        }
    };
    Finding::stop("not-toml", format!("this is not TOML: {message}")).at(span(at), "").help(help)
}

/// Where the first text in quotes that are not straight stands in a line, comments apart.
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
