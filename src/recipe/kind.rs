//! What kinds of values inputs take.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Item;
use crate::document::Value;
use crate::formula::is_name;
use crate::quantity::Dimension;
use crate::table::Tables;
use indexmap::IndexMap;

/// What kind of value an input takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// A number of this dimension; the words name it.
    Number(Dimension, &'static str),
    /// A whole number, 0 or more.
    Count,
    /// Yes or no.
    Flag,
    /// One of these words.
    Choice(Vec<String>),
    /// A row of this table.
    Row(String),
    /// One or more values of this kind.
    List(Box<Kind>),
    /// Values by name, in this order; only in a list.
    Record(IndexMap<String, Kind>),
}

impl Kind {
    /// In words, for listings.
    pub fn words(&self) -> String {
        match self {
            Self::Number(_, words) => (*words).to_owned(),
            Self::Count => "count".into(),
            Self::Flag => "flag".into(),
            Self::Choice(of) => of.join(" | "),
            Self::Row(table) => table.clone(),
            Self::List(each) => match &**each {
                Self::Choice(_) | Self::Record(_) => format!("list of {}", each.words()),
                each => format!("{}s", each.words()),
            },
            Self::Record(kinds) => {
                let value = |(name, kind): (&String, &Self)| format!("{name} ({})", kind.words());
                kinds.iter().map(value).collect::<Vec<_>>().join(", ")
            }
        }
    }

    /// A value of it as it could be typed.
    pub(super) fn example(&self, tables: &Tables) -> String {
        let quoted = |text: &str| format!("\"{text}\"");
        match self {
            Self::Number(Dimension::LENGTH, _) => quoted("20 mm"),
            Self::Number(Dimension::ANGLE, _) => quoted("30 deg"),
            Self::Number(Dimension::FORCE, _) => quoted("2 kN"),
            Self::Number(..) => quoted("0.5"),
            Self::Count => "2".to_owned(),
            Self::Flag => "true".to_owned(),
            Self::Choice(of) => quoted(of.first().map_or("", String::as_str)),
            Self::Row(table) => {
                let rows = tables.table(table);
                let first = rows.and_then(|table| table.rows().next().map(|row| row.name()));
                quoted(first.unwrap_or_default())
            }
            Self::List(each) => format!("[{}]", each.example(tables)),
            Self::Record(kinds) => {
                let value =
                    |(name, kind): (&String, &Self)| format!("{name} = {}", kind.example(tables));
                let values: Vec<String> = kinds.iter().map(value).collect();
                format!("{{ {} }}", values.join(", "))
            }
        }
    }

    /// The kind of each value: of those in a list, else of the value itself.
    pub(super) fn of_each(&self) -> &Self {
        match self {
            Self::List(each) => each,
            single => single,
        }
    }
}

const NUMBERS: &[(&str, Dimension)] = &[
    ("length", Dimension::LENGTH),
    ("angle", Dimension::ANGLE),
    ("ratio", Dimension::NONE),
    ("force", Dimension::FORCE),
];

/// The kind that a word names; the plural of a word a list of them.
pub(super) fn kind_of(word: &str, fields: &Fields) -> Option<Kind> {
    if word == "rows" {
        return rows(fields).map(|kinds| Kind::List(Box::new(Kind::Record(kinds))));
    }
    if word == "choice" || word == "choices" {
        fields.need("of", "[\"one\", \"other\"]")?;
        let here = fields.get("of").map_or(fields.here, |item| item.span);
        let words = choice(fields.list("of"), fields, here);
        return words.map(|choice| listed(choice, word == "choices"));
    }
    Some(match word.strip_suffix('s') {
        Some(one) if !one.is_empty() => listed(single(one), true),
        _ => single(word),
    })
}

/// A kind of one value, or a list of them.
fn listed(kind: Kind, is_list: bool) -> Kind {
    if is_list { Kind::List(Box::new(kind)) } else { kind }
}

/// The kind of one value, by its word; whether there is such a table is known only when the
/// recipe is used.
fn single(word: &str) -> Kind {
    let number = NUMBERS.iter().find(|(name, _)| *name == word);
    match (number, word) {
        (Some((name, dimension)), _) => Kind::Number(*dimension, name),
        (_, "count") => Kind::Count,
        (_, "flag") => Kind::Flag,
        (_, table) => Kind::Row(table.to_owned()),
    }
}

/// A choice among words.
fn choice(items: &[Item], fields: &Fields, here: Span) -> Option<Kind> {
    let words: Option<Vec<String>> = items.iter().map(|i| i.text().map(str::to_owned)).collect();
    if words.as_ref().is_none_or(Vec::is_empty) {
        fields.add(
            Finding::stop("wrong-kind", "a choice needs a list of words")
                .at(here, "")
                .help("write `of = [\"one\", \"other\"]`"),
        );
    }
    words.filter(|words| !words.is_empty()).map(Kind::Choice)
}

/// The values of a row: the kind of each by its name, or its words.
fn rows(fields: &Fields) -> Option<IndexMap<String, Kind>> {
    const FORM: &str = "{ x = \"length\", size = \"bolt\" }";
    let whole = fields.need("of", FORM)?;
    let refuse = |at: Span, headline: String, help: &str| {
        fields.add(Finding::stop("wrong-kind", headline).at(at, "").help(help.to_owned()));
    };
    let Value::Table(_) = &whole.value else {
        let headline = format!("the values of a row are needed here, not {}", whole.kind());
        refuse(whole.span, headline, &format!("write `of = {FORM}`"));
        return None;
    };
    let entries = fields.entries("of");
    if entries.len() < 2 {
        let headline = "a row has two values or more".to_owned();
        let help = "for one value alone use a list of its kind: `lengths`, `bolts`";
        refuse(whole.span, headline, help);
        return None;
    }
    let kind = |(name, entry): &(&str, &Entry)| {
        if !is_name(name) {
            let headline = format!("`{name}` cannot be used in a formula");
            refuse(entry.key, headline, "names have letters, digits and `_`");
            return None;
        }
        let kind = match &entry.item.value {
            Value::List(words) => choice(words, fields, entry.item.span)?,
            Value::Text(word) if !matches!(word.as_str(), "choice" | "rows") => single(word),
            _ => {
                let headline = format!("`{name}` needs a kind of value");
                let help = "write `\"length\"`, `\"bolt\"`, or the words of a choice in a list";
                refuse(entry.item.span, headline, help);
                return None;
            }
        };
        Some(((*name).to_owned(), kind))
    };
    let kinds: Vec<_> = entries.iter().filter_map(kind).collect();
    (kinds.len() == entries.len()).then(|| kinds.into_iter().collect())
}
