//! `[names]` of a job: values that are typed once and used by name all over it.
//!
//! A text that is a name is replaced by its value; in the formulas of `given`, `open` and `each` a
//! name is replaced wherever it is a word of the formula.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Table;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::quantity;
use crate::quantity::Reading;
use crate::recipe;
use indexmap::IndexMap;

/// Keys whose texts are words for people, or names of files, of parts, and of what is in these.
pub(super) const PLAIN: &[&str] = &[
    "about", "accept", "bolts", "date", "edge", "face", "file", "from", "held", "hole", "issue",
    "link", "name", "names", "of", "part", "recipe", "shop", "table", "what",
];

/// Keys below which values are formulas.
pub(super) const FORMULAS: &[&str] = &["given", "open", "each", "points"];

/// The names of a job and their values.
#[derive(Debug, Default)]
pub(super) struct Names(IndexMap<String, Item>);

impl Names {
    /// The names of a job, and its table with their values in place; invalid names are reported.
    pub(super) fn read(job: &Table, findings: &Findings) -> (Self, Table) {
        let names = Self::named(job, findings);
        let table = match names.0.is_empty() {
            true => job.clone(),
            false => names.in_table(job, false),
        };
        (names, table)
    }

    fn named(job: &Table, findings: &Findings) -> Self {
        let mut names = Self::default();
        let Some(entry) = job.get("names") else { return names };
        let Value::Table(table) = &entry.item.value else {
            findings.add(
                wrong_kind(&entry.item, "a table")
                    .help("write `names = { rail = \"42.4 x 2.6\" }`"),
            );
            return names;
        };
        for (name, entry) in table.iter() {
            let before = findings.count();
            recipe::check_name(name, entry.key, false, findings);
            if quantity::read(&format!("1 {name}")).is_ok() {
                findings.add(
                    Finding::stop("bad-name", format!("`{name}` is a unit"))
                        .at(entry.key, "")
                        .help("choose another name"),
                );
            }
            if findings.count() > before {
                continue;
            }
            let mut later = table.iter().skip_while(|(other, _)| *other != name);
            if let Some((other, later)) = later.find(|(other, _)| uses(&entry.item, other)) {
                findings.add(not_yet(name, other, entry, later));
            } else {
                let value = names.in_item(&entry.item, true);
                names.0.insert(name.to_owned(), value);
            }
        }
        names
    }

    fn in_table(&self, table: &Table, formulas: bool) -> Table {
        let entry = |(key, entry): (&str, &Entry)| {
            let is_plain = PLAIN.contains(&key) && !formulas && !lists_tables(&entry.item);
            let item = match is_plain {
                true => entry.item.clone(),
                false => self.in_item(&entry.item, formulas || FORMULAS.contains(&key)),
            };
            (key.to_owned(), Entry { key: entry.key, item })
        };
        table.iter().map(entry).collect()
    }

    /// A value with the names in it replaced.
    pub(super) fn in_item(&self, item: &Item, formula: bool) -> Item {
        let value = match &item.value {
            Value::Text(text) => match self.0.get(text.trim()) {
                Some(named) => return placed(named, item.span, item.letters),
                None if formula => Value::Text(self.in_formula(text)),
                None => return item.clone(),
            },
            Value::List(items) => {
                Value::List(items.iter().map(|item| self.in_item(item, formula)).collect())
            }
            Value::Table(table) => Value::Table(self.in_table(table, formula)),
            Value::Number(_) | Value::Flag(_) => return item.clone(),
        };
        Item { value, ..item.clone() }
    }

    /// A formula with names replaced by their values, in brackets.
    fn in_formula(&self, text: &str) -> String {
        let mut made = String::new();
        let mut end = 0;
        for (at, word) in words(text) {
            if let Some(value) = self.0.get(word).and_then(in_brackets) {
                made.push_str(&text[end..at]);
                made.push_str(&value);
                end = at + word.len();
            }
        }
        made.push_str(&text[end..]);
        made
    }
}

/// Whether it is a list of tables: `[[part]]`, and not the name of a part.
fn lists_tables(item: &Item) -> bool {
    matches!(&item.value, Value::List(items) if items.iter().any(|item| matches!(item.value, Value::Table(_))))
}

/// The value of a name as it is in a formula; none for one that is no measure or number.
fn in_brackets(value: &Item) -> Option<String> {
    match &value.value {
        Value::Number(number) => Some(format!("({number})")),
        Value::Text(text) => {
            let measure = matches!(quantity::read(text), Ok(Reading::Quantity(_)));
            let formula = [" + ", " - ", " * ", " / ", "("].iter().any(|sign| text.contains(sign));
            (measure || formula).then(|| format!("({text})"))
        }
        _ => None,
    }
}

/// The words of a formula that may be names, with their places: no functions, no fields of rows, and
/// nothing in single quotes.
fn words(text: &str) -> Vec<(usize, &str)> {
    let is_letter = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let (mut found, mut quoted, mut at) = (Vec::new(), false, 0);
    while let Some(c) = text[at..].chars().next() {
        if c == '\'' {
            quoted = !quoted;
        }
        if !is_letter(c) {
            at += c.len_utf8();
            continue;
        }
        let length = text[at..].find(|c: char| !is_letter(c)).unwrap_or(text.len() - at);
        let (word, after) = (&text[at..at + length], text[at + length..].trim_start());
        let is_field = text[..at].ends_with('.');
        let starts = word.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_');
        if starts && !quoted && !is_field && !after.starts_with(['(', '.']) {
            found.push((at, word));
        }
        at += length;
    }
    found
}

/// Whether a value uses a name.
fn uses(item: &Item, name: &str) -> bool {
    match &item.value {
        Value::Text(text) => {
            text.trim() == name || words(text).iter().any(|(_, word)| *word == name)
        }
        Value::List(items) => items.iter().any(|item| uses(item, name)),
        Value::Table(table) => table.iter().any(|(_, entry)| uses(&entry.item, name)),
        Value::Number(_) | Value::Flag(_) => false,
    }
}

fn not_yet(name: &str, other: &str, entry: &Entry, later: &Entry) -> Finding {
    if name == other {
        return Finding::stop("formula-loop", format!("the name `{name}` is defined by itself"))
            .at(entry.item.letters, "")
            .help("write its value");
    }
    Finding::stop("formula-loop", format!("`{name}` uses `{other}`, which is defined below it"))
        .at(entry.item.letters, "")
        .at(later.key, "")
        .help(format!("move `{other}` above `{name}`"))
}

/// A value at the position of its name.
fn placed(named: &Item, span: Span, letters: Span) -> Item {
    let place = |item: &Item| placed(item, span, letters);
    let value = match &named.value {
        Value::List(items) => Value::List(items.iter().map(place).collect()),
        Value::Table(table) => {
            let entry = |(key, entry): (&str, &Entry)| {
                (key.to_owned(), Entry { key: span, item: place(&entry.item) })
            };
            Value::Table(table.iter().map(entry).collect())
        }
        value => value.clone(),
    };
    Item { value, span, letters }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_formula_are_no_functions_fields_or_quoted_words() {
        let found = |text| words(text).into_iter().map(|(_, word)| word).collect::<Vec<_>>();
        assert_eq!(found("2 * gap + max(gap2, 3 mm)"), ["gap", "gap2", "mm"]);
        assert_eq!(
            found("if fit == 'gap' then rod.gap else -gap"),
            ["if", "fit", "then", "else", "gap"]
        );
        assert_eq!(found("12mm + gap"), ["gap"]);
    }
}
