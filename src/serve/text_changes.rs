//! What texts say, and what differs between two, in words.

use crate::serve::text::tables;
use toml_edit::Document;
use toml_edit::Item;

/// Changes that are named; more are counted. Our choice.
const NAMED: usize = 3;

/// How a sentence on differences begins.
pub(super) const IN_FILE: &str = "changed in the file: ";

/// A value that differs: its path in words, and what it was and is.
pub(super) type Change = (String, Option<String>, Option<String>);

/// The values in which two texts differ: those that are new or others, then those that are gone.
pub(super) fn changes(was: &str, now: &str) -> Vec<Change> {
    let (before, after) = (values_by_path(was), values_by_path(now));
    let find = |all: &[(String, String)], path: &str| {
        all.iter().find(|(other, _)| other == path).map(|(_, value)| value.clone())
    };
    let mut all: Vec<Change> = Vec::new();
    for (path, value) in &after {
        let old = find(&before, path);
        if old.as_ref() != Some(value) {
            all.push((path.clone(), old, Some(value.clone())));
        }
    }
    let gone = before.iter().filter(|(path, _)| find(&after, path).is_none());
    all.extend(gone.map(|(path, old)| (path.clone(), Some(old.clone()), None)));
    all
}

/// What differs between two texts, in a sentence.
pub(super) fn differences(was: &str, now: &str) -> String {
    let said = |(path, old, new): Change| match (old, new) {
        (Some(old), Some(new)) => format!("{path} {old} → {new}"),
        (None, Some(new)) => format!("{path} {new}"),
        _ => format!("{path} removed"),
    };
    let mut said: Vec<String> = changes(was, now).into_iter().map(said).collect();
    let more = said.len().saturating_sub(NAMED);
    said.truncate(NAMED);
    let more = if more > 0 { format!(", and {more} more") } else { String::new() };
    match said.is_empty() {
        true => format!("{IN_FILE}only comments or spacing"),
        false => format!("{IN_FILE}{}{more}", said.join("; ")),
    }
}

/// Everything a text says, by its path in words, in order: `part tab-tow: reach`.
fn values_by_path(text: &str) -> Vec<(String, String)> {
    let mut all = Vec::new();
    if let Ok(document) = Document::parse(text) {
        for (key, item) in document.as_table().iter() {
            within(text, key, item, &mut all);
        }
    }
    all
}

fn within(text: &str, path: &str, item: &Item, all: &mut Vec<(String, String)>) {
    let tables = tables(item);
    if let Some(table) = item.as_table_like() {
        for (key, inner) in table.iter() {
            let end = if path.ends_with(": ") { key.to_owned() } else { format!(" {key}") };
            within(text, &format!("{path}{end}"), inner, all);
        }
    } else if !tables.is_empty() && tables.iter().all(|table| table.get("name").is_some()) {
        for table in tables {
            let name = table.get("name").and_then(Item::as_str).unwrap_or_default();
            for (key, inner) in table.iter() {
                let start = format!("{path} {name}: ");
                match inner.as_table_like() {
                    Some(_) if key == "given" => within(text, &start, inner, all),
                    _ => within(text, &format!("{start}{key}"), inner, all),
                }
            }
        }
    } else if let Some(span) = item.span() {
        let shown = item.as_str().map_or_else(|| text[span].to_owned(), str::to_owned);
        all.push((path.to_owned(), shown));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "process = \"laser\"\n[[part]]\nname = \"a\"\ngiven = { reach = \"30 mm\" }\n[[part]]\nname = \"b\"\n[part.given]\nbolt = \"M6\"\n";

    #[test]
    fn what_a_text_says_has_a_path_in_words() {
        let all = values_by_path(JOB);
        let has = |path: &str, value: &str| all.contains(&(path.to_owned(), value.to_owned()));
        assert!(has("process", "laser") && has("part a: reach", "30 mm"), "{all:?}");
        assert!(has("part b: bolt", "M6"), "{all:?}");
    }
}
