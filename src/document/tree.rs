//! The tree: tables, keys and values, each with its place.

use crate::diag::Span;
use indexmap::IndexMap;

/// A value and its position in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The value.
    pub value: Value,
    /// Its position, quotes and brackets included.
    pub span: Span,
    /// For a text written plainly between quotes: the position of its letters.
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
    pub(super) entries: IndexMap<String, Entry>,
}

/// A key with its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The position of the key.
    pub key: Span,
    /// What is behind it.
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

impl Entry {
    /// Whether it is a table with a header, `[name]`, rather than in braces.
    pub(super) fn is_headed(&self) -> bool {
        let header = &self.item.span;
        matches!(self.item.value, Value::Table(_))
            && self.key.start >= header.start
            && self.key.end <= header.end
    }

    /// Whether its header names the table that it is in as well: `[rates.cutting]`.
    pub(super) fn is_within(&self) -> bool {
        self.is_headed() && self.key.start > self.item.span.start + "[".len()
    }
}

impl FromIterator<(String, Entry)> for Table {
    fn from_iter<I: IntoIterator<Item = (String, Entry)>>(entries: I) -> Self {
        Self { entries: entries.into_iter().collect() }
    }
}

impl Item {
    /// What kind of value this is, in words with an article.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "text",
            Value::Number(_) => "a number",
            Value::Flag(_) => "`true` or `false`",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }

    /// As it could be typed, on one line.
    pub(crate) fn written(&self) -> String {
        let joined = |all: Vec<String>| all.join(", ");
        match &self.value {
            Value::Text(text) => {
                let sign = |c: char| match c {
                    '"' | '\\' => format!("\\{c}"),
                    c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
                    c => c.to_string(),
                };
                format!("\"{}\"", text.chars().map(sign).collect::<String>())
            }
            Value::Number(number) => number.to_string(),
            Value::Flag(flag) => flag.to_string(),
            Value::List(items) => {
                format!("[{}]", joined(items.iter().map(Self::written).collect()))
            }
            Value::Table(table) if table.entries.is_empty() => "{}".to_owned(),
            Value::Table(table) => {
                let entry =
                    |(name, entry): (&str, &Entry)| format!("{name} = {}", entry.item.written());
                format!("{{ {} }}", joined(table.iter().map(entry).collect()))
            }
        }
    }

    /// The text, when it is one.
    pub fn text(&self) -> Option<&str> {
        if let Value::Text(text) = &self.value { Some(text) } else { None }
    }

    /// Its items, where it is a list.
    pub(crate) fn list(&self) -> Option<&[Self]> {
        if let Value::List(items) = &self.value { Some(items) } else { None }
    }

    /// A text in parts, at a sign that is in no brackets, each with its place. Of anything else one part without text.
    pub(crate) fn split(&self, sign: char) -> Vec<Self> {
        let text = self.text().unwrap_or_default();
        let (mut depth, mut from, mut parts) = (0i32, 0, Vec::new());
        for (at, c) in text.char_indices().chain([(text.len(), sign)]) {
            match c {
                '(' | '[' => depth += 1,
                ')' | ']' => depth -= 1,
                _ => {}
            }
            if at == text.len() || (c == sign && depth <= 0) {
                let letters = self.letters.part(from..at);
                let part = Value::Text(text[from..at].to_owned());
                parts.push(Self { value: part, span: letters, letters });
                from = at + c.len_utf8();
            }
        }
        parts
    }
}
