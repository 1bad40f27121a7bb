//! TOML text as a tree in which every key and value knows where it stands.
//!
//! Recipes and jobs are read from this tree by [`Fields`], which reports everything
//! that is missing, unknown or of the wrong kind, all in one run.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::diag::nearest;
use indexmap::IndexMap;
use std::cell::RefCell;
use std::ops::Range;
use toml::de::DeTable;
use toml::de::DeValue;

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The value.
    pub value: Value,
    /// Where it stands, quotes and brackets included.
    pub span: Span,
    /// For a text written plainly between quotes: where its letters stand.
    pub letters: Span,
}

/// A TOML value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A string.
    Text(String),
    /// An integer or float.
    Number(f64),
    /// `true` or `false`.
    Flag(bool),
    /// An array.
    List(Vec<Item>),
    /// A table.
    Table(Table),
}

/// A table in the order it was written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    entries: IndexMap<String, Entry>,
}

/// A key with its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Where the key stands.
    pub key: Span,
    /// What stands behind it.
    pub item: Item,
}

impl Table {
    /// The entries in order.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Entry)> {
        self.entries.iter().map(|(name, entry)| (name.as_str(), entry))
    }

    /// The entry of a key.
    pub fn get(&self, name: &str) -> Option<&Entry> {
        self.entries.get(name)
    }
}

impl Item {
    /// What kind of value this is, in words with an article.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "a text",
            Value::Number(_) => "a number",
            Value::Flag(_) => "a yes or no",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }

    /// The text, when it is one.
    pub fn text(&self) -> Option<&str> {
        if let Value::Text(text) = &self.value { Some(text) } else { None }
    }
}

/// Reads a document.
///
/// # Errors
/// Every place where the text is not TOML.
pub fn read(source: SourceId, text: &str) -> Result<Table, Vec<Finding>> {
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return convert_table(source, table.get_ref(), text);
    }
    let finding = |error: toml::de::Error| {
        let at = error.span().unwrap_or(0..0);
        Finding::stop("not-toml", format!("this is not TOML: {}", error.message()))
            .at(span(source, at), "")
            .help("texts and quantities stand in quotes: `reach = \"30 mm\"`")
    };
    Err(errors.into_iter().map(finding).collect())
}

fn span(source: SourceId, at: Range<usize>) -> Span {
    Span { source, start: at.start, end: at.end }
}

fn convert_table(source: SourceId, table: &DeTable, text: &str) -> Result<Table, Vec<Finding>> {
    let mut entries = IndexMap::new();
    for (key, value) in table {
        let item = convert(source, value.get_ref(), value.span(), text)?;
        let key_span = span(source, key.span());
        entries.insert(key.get_ref().to_string(), Entry { key: key_span, item });
    }
    Ok(Table { entries })
}

fn convert(
    source: SourceId,
    value: &DeValue,
    at: Range<usize>,
    text: &str,
) -> Result<Item, Vec<Finding>> {
    let here = span(source, at.clone());
    let number = |text: &str| text.replace('_', "").parse::<f64>().unwrap_or(f64::NAN);
    let mut letters = here;
    let value = match value {
        DeValue::String(string) => {
            let raw = &text[at.clone()];
            if raw.len() == string.len() + 2 && raw[1..].starts_with(&**string) {
                letters = span(source, at.start + 1..at.end - 1);
            }
            Value::Text(string.to_string())
        }
        DeValue::Integer(integer) if integer.radix() != 10 => {
            let parsed = i64::from_str_radix(integer.as_str(), integer.radix());
            Value::Number(parsed.map_or(f64::NAN, |n| n as f64))
        }
        DeValue::Integer(integer) => Value::Number(number(integer.as_str())),
        DeValue::Float(float) => Value::Number(number(float.as_str())),
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(_) => {
            return Err(vec![
                Finding::stop("wrong-kind", "a date has no place here")
                    .at(here, "")
                    .help("put it in quotes if it is meant as a text"),
            ]);
        }
        DeValue::Array(items) => Value::List(
            items
                .iter()
                .map(|i| convert(source, i.get_ref(), i.span(), text))
                .collect::<Result<_, _>>()?,
        ),
        DeValue::Table(table) => Value::Table(convert_table(source, table, text)?),
    };
    if let Value::Number(n) = value
        && !n.is_finite()
    {
        return Err(vec![
            Finding::stop("not-finite", "this is not a finite number")
                .at(here, "")
                .help("write an ordinary number"),
        ]);
    }
    Ok(Item { value, span: here, letters })
}

/// Where findings are gathered while a document is read.
#[derive(Debug, Default)]
pub struct Findings(RefCell<Vec<Finding>>);

impl Findings {
    /// Keeps a finding.
    pub fn add(&self, finding: Finding) {
        self.0.borrow_mut().push(finding);
    }

    /// All that were kept, in order.
    pub fn take(self) -> Vec<Finding> {
        self.0.into_inner()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.borrow().is_empty()
    }
}

/// Reads the entries of one table and remembers which were asked for.
pub struct Fields<'a> {
    table: &'a Table,
    /// Where the table, or the key it stands behind, is: for what is missing in it.
    pub here: Span,
    findings: &'a Findings,
    asked: RefCell<Vec<String>>,
}

impl<'a> Fields<'a> {
    /// The entries of a table that stands at `here`.
    pub fn new(table: &'a Table, here: Span, findings: &'a Findings) -> Self {
        Self { table, here, findings, asked: RefCell::default() }
    }

    /// The entries of an item, which must be a table.
    pub fn of(item: &'a Item, findings: &'a Findings) -> Option<Self> {
        match &item.value {
            Value::Table(table) => Some(Self::new(table, item.span, findings)),
            _ => {
                findings.add(wrong_kind(item, "a table"));
                None
            }
        }
    }

    /// Keeps a finding.
    pub fn add(&self, finding: Finding) {
        self.findings.add(finding);
    }

    /// The collector behind.
    pub fn findings(&self) -> &'a Findings {
        self.findings
    }

    /// Whether a key is there; it counts as asked for.
    pub fn has(&self, name: &str) -> bool {
        self.get(name).is_some()
    }

    /// The item of a key, when it is there.
    pub fn get(&self, name: &str) -> Option<&'a Item> {
        self.entry(name).map(|entry| &entry.item)
    }

    /// The entry of a key, when it is there.
    pub fn entry(&self, name: &str) -> Option<&'a Entry> {
        self.asked.borrow_mut().push(name.to_owned());
        self.table.get(name)
    }

    /// The item of a key; a finding when it is missing. `example` is what could
    /// stand there, or a `[[table]]`.
    pub fn need(&self, name: &str, example: &str) -> Option<&'a Item> {
        let item = self.get(name);
        if item.is_none() {
            self.add(
                Finding::stop("missing-key", format!("`{name}` is missing here"))
                    .at(self.here, "")
                    .help(match example.starts_with("[[") {
                        true => format!("add {example}"),
                        false => format!("add `{name} = {example}`"),
                    }),
            );
        }
        item
    }

    /// A text that may be left out.
    pub fn text(&self, name: &str) -> Option<&'a str> {
        let item = self.get(name)?;
        let text = item.text();
        if text.is_none() {
            self.add(wrong_kind(item, "a text"));
        }
        text
    }

    /// A text that must be there.
    pub fn needed_text(&self, name: &str, example: &str) -> Option<&'a str> {
        self.need(name, example)?;
        self.text(name)
    }

    /// A yes or no; no when it is left out.
    pub fn flag(&self, name: &str) -> bool {
        match self.get(name) {
            None => false,
            Some(Item { value: Value::Flag(flag), .. }) => *flag,
            Some(item) => {
                self.add(wrong_kind(item, "`true` or `false`"));
                false
            }
        }
    }

    /// A whole number from 0 to `most`, when it is there.
    pub fn count(&self, name: &str, most: u32) -> Option<u32> {
        let item = self.get(name)?;
        match item.value {
            Value::Number(n) if n.fract() == 0.0 && (0.0..=f64::from(most)).contains(&n) => {
                Some(n as u32)
            }
            _ => {
                let headline = format!("`{name}` must be a whole number from 0 to {most}");
                self.add(
                    Finding::stop("wrong-kind", headline)
                        .at(item.span, "")
                        .help(format!("write `{name} = 1`")),
                );
                None
            }
        }
    }

    /// A list; empty when it is left out.
    pub fn list(&self, name: &str) -> &'a [Item] {
        match self.get(name) {
            None => &[],
            Some(Item { value: Value::List(items), .. }) => items,
            Some(item) => {
                let mut finding = wrong_kind(item, "a list, `[ … ]`");
                if matches!(item.value, Value::Table(_)) {
                    finding = finding.help(format!("write `[[{name}]]`, with two brackets"));
                }
                self.add(finding);
                &[]
            }
        }
    }

    /// The entries of a table within; none when it is left out.
    pub fn entries(&self, name: &str) -> Vec<(&'a str, &'a Entry)> {
        match self.get(name) {
            None => Vec::new(),
            Some(Item { value: Value::Table(table), .. }) => table.iter().collect(),
            Some(item) => {
                self.add(wrong_kind(item, "a table"));
                Vec::new()
            }
        }
    }

    /// Reports every key that was never asked for.
    pub fn finish(self) {
        let asked = self.asked.into_inner();
        for (name, entry) in self.table.iter() {
            if asked.iter().any(|a| a == name) {
                continue;
            }
            let help = match nearest(name, asked.iter().map(String::as_str)) {
                Some(near) => format!("write `{near}`"),
                None => format!("here may stand {}", listed(&asked)),
            };
            self.findings.add(
                Finding::stop("unknown-key", format!("`{name}` means nothing here"))
                    .at(entry.key, "")
                    .help(help),
            );
        }
    }
}

fn listed(names: &[String]) -> String {
    let mut names: Vec<String> = names.iter().map(|n| format!("`{n}`")).collect();
    names.sort();
    names.dedup();
    names.join(", ")
}

/// The finding for a value of the wrong kind.
pub fn wrong_kind(item: &Item, wanted: &str) -> Finding {
    Finding::stop("wrong-kind", format!("{wanted} is needed here, not {}", item.kind()))
        .at(item.span, "")
        .help(match item.value {
            Value::Number(_) => "put the value in quotes, with its unit",
            _ => "see the recipe reference in the README",
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;

    fn read_text(text: &str) -> Result<Table, Vec<Finding>> {
        read(Sources::default().add("x.toml", text), text)
    }

    #[test]
    fn values_know_where_they_stand() {
        let text = "a = \"30 mm\"\nb = 'x\\y'\nc = \"tab\\t\"\n";
        let table = read_text(text).unwrap();
        let letters = |name: &str| {
            let span = table.get(name).unwrap().item.letters;
            &text[span.start..span.end]
        };
        assert_eq!(letters("a"), "30 mm");
        assert_eq!(letters("b"), "x\\y");
        assert_eq!(letters("c"), "\"tab\\t\"");
    }

    #[test]
    fn all_that_is_wrong_is_said_at_once() {
        let text = "raech = 3\nflag = \"yes\"\ncount = 1.5\n";
        let table = read_text(text).unwrap();
        let findings = Findings::default();
        let here = Span { source: Sources::default().add("", ""), start: 0, end: 0 };
        let fields = Fields::new(&table, here, &findings);
        assert_eq!(fields.needed_text("reach", "\"30 mm\""), None);
        assert!(!fields.flag("flag"));
        assert_eq!(fields.count("count", 10), None);
        fields.finish();
        let codes: Vec<_> = findings.take().iter().map(|f| f.code).collect();
        assert_eq!(codes, ["missing-key", "wrong-kind", "wrong-kind", "unknown-key"]);
    }

    #[test]
    fn broken_text_is_refused_with_its_place() {
        let found = read_text("a = \nb = \"x\n").unwrap_err();
        assert!(found.len() >= 2, "{found:?}");
        assert!(found.iter().all(|f| f.code == "not-toml" && !f.marks.is_empty()));
        assert_eq!(read_text("a = nan").unwrap_err()[0].code, "not-finite");
        assert_eq!(read_text("a = 1e999").unwrap_err()[0].code, "not-finite");
        assert_eq!(read_text("a = 2020-01-01").unwrap_err()[0].code, "wrong-kind");
        let deep = format!("a = {}1{}", "[".repeat(5000), "]".repeat(5000));
        assert!(read_text(&deep).is_err());
    }
}
