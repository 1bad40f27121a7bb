//! Families: one line of a job told out into many parts.

use crate::diag::Finding;
use crate::document::Entry;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::job::Line;

/// Most parts in one family. Our choice: ten times an ordinary day's.
const MOST: usize = 100_000;

/// Every combination of the listed values, the last list running fastest; the name's
/// `{input}` replaced by the value.
pub(super) fn tell_out(line: &Line, each: &[(&str, &Entry)], findings: &Findings) -> Vec<Line> {
    let mut lists: Vec<(&str, &Entry, &[Item])> = Vec::new();
    for (name, entry) in each {
        match &entry.item.value {
            Value::List(items) if !items.is_empty() => lists.push((name, entry, items)),
            _ => {
                let headline = format!("`{name}` needs a list of values");
                findings.add(
                    Finding::stop("wrong-kind", headline)
                        .at(entry.item.span, "")
                        .help(format!("write `{name} = [\"…\", \"…\"]`")),
                );
                return Vec::new();
            }
        }
    }
    let total = lists.iter().try_fold(1usize, |n, (_, _, items)| n.checked_mul(items.len()));
    let Some(total) = total.filter(|n| *n <= MOST) else {
        findings.add(
            Finding::stop("too-many", format!("the family has more than {MOST} parts"))
                .at(line.here, "")
                .help("make several families of it"),
        );
        return Vec::new();
    };
    for (name, entry, _) in &lists {
        if !line.name.contains(&format!("{{{name}}}")) && lists.len() <= total {
            let varies = lists.iter().any(|(n, _, items)| n == name && items.len() > 1);
            if varies {
                let headline = format!("the name does not say which `{name}` a part has");
                findings.add(
                    Finding::stop("double-name", headline)
                        .at(line.here, "")
                        .at(entry.key, "varies here")
                        .help(format!("write `name = \"{}-{{{name}}}\"`", line.name)),
                );
                return Vec::new();
            }
        }
    }
    if let Some(unknown) = unknown_braces(&line.name, &lists) {
        let names: Vec<String> = lists.iter().map(|(name, ..)| format!("`{{{name}}}`")).collect();
        findings.add(
            Finding::stop("bad-name", format!("no list of this family is called `{unknown}`"))
                .at(line.here, "")
                .help(format!("the name may hold {}", names.join(", "))),
        );
        return Vec::new();
    }
    (0..total).map(|number| member(line, &lists, number)).collect()
}

/// What stands in braces in a name, and is none of the lists.
fn unknown_braces<'a>(name: &'a str, lists: &[(&str, &Entry, &[Item])]) -> Option<&'a str> {
    let pieces = name.split('{').skip(1).filter_map(|rest| Some(rest.split_once('}')?.0));
    let mut unknown = pieces.filter(|piece| lists.iter().all(|(list, ..)| list != piece));
    unknown.next()
}

fn member(line: &Line, lists: &[(&str, &Entry, &[Item])], number: usize) -> Line {
    let mut made = line.clone();
    let mut rest = number;
    for (name, entry, items) in lists.iter().rev() {
        let item = &items[rest % items.len()];
        rest /= items.len();
        made.name = made.name.replace(&format!("{{{name}}}"), &file_word(&typed(item)));
        made.given.retain(|(given, _)| given != name);
        made.given.push(((*name).to_owned(), Entry { key: entry.key, item: item.clone() }));
    }
    made
}

fn typed(item: &Item) -> String {
    match &item.value {
        Value::Text(text) => text.clone(),
        Value::Number(n) => crate::num::text(*n, 6),
        Value::Flag(flag) => flag.to_string(),
        Value::List(_) | Value::Table(_) => String::new(),
    }
}

/// A text as a piece of a file name: `1-1/8 in` becomes `1-1-8in`.
pub(super) fn file_word(text: &str) -> String {
    let keep = |c: char| if c.is_alphanumeric() || c == '.' || c == '_' { c } else { '-' };
    text.chars().filter(|c| *c != ' ').map(keep).collect()
}

/// Names that mean a device on some systems, whatever their ending.
const DEVICES: &[&str] = &["con", "prn", "aux", "nul"];

/// Why a name cannot be that of a file on every system; `None` when it can.
pub(super) fn unfit_for_files(name: &str) -> Option<&'static str> {
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let stem = name.split('.').next().unwrap_or_default().to_lowercase();
    let numbered = |device: &str| {
        stem.strip_prefix(device)
            .is_some_and(|n| n.len() == 1 && n.starts_with(|c: char| c.is_ascii_digit()))
    };
    if name.is_empty() {
        Some("it is empty")
    } else if name.chars().count() > 80 {
        Some("it is longer than 80 letters")
    } else if !name.chars().all(fits) {
        Some("it has a letter that some systems do not allow")
    } else if name.starts_with(['.', '-']) || name.ends_with('.') {
        Some("it starts or ends with a point or dash")
    } else if DEVICES.contains(&stem.as_str()) || numbered("com") || numbered("lpt") {
        Some("some systems keep it for a device")
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_some_system_refuses_are_unfit() {
        let long = "x".repeat(81);
        for name in
            ["", "../x", "a/b", "CON", "con.dxf", "COM1", ".x", "-x", "x.", "a b", "a:b", &long]
        {
            assert!(unfit_for_files(name).is_some(), "{name}");
        }
        for name in ["hose-tab-M6-1-1-8in", "Ärmel", "com", "a.b_c"] {
            assert_eq!(unfit_for_files(name), None, "{name}");
        }
    }
}
