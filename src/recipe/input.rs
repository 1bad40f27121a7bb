//! The inputs of a recipe: what must be said about a part.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::quantity::Dimension;
use crate::recipe::expr::Expr;

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
    /// One or more numbers of this kind.
    List(Box<Kind>),
}

/// One input.
#[derive(Clone, Debug)]
pub struct Input {
    /// What it takes.
    pub kind: Kind,
    /// What it is when nothing is said.
    pub default: Option<Typed>,
    /// Smallest value allowed.
    pub min: Option<Expr>,
    /// Largest value allowed.
    pub max: Option<Expr>,
    /// One sentence.
    pub about: String,
    /// Where its name stands.
    pub span: Span,
}

/// A value as it was typed, read according to the kind of its input.
#[derive(Clone, Debug)]
pub enum Typed {
    /// A formula, possibly just a quantity.
    Formula(Expr),
    /// A word: a choice, or the name of a row.
    Word(String, Span),
}

impl Typed {
    /// The names it may stand for or ask for.
    pub(super) fn names(&self) -> Vec<String> {
        match self {
            Self::Formula(expr) => expr.formula.names().into_iter().map(str::to_owned).collect(),
            Self::Word(word, _) => vec![word.clone()],
        }
    }

    /// Where it stands.
    pub fn span(&self) -> Span {
        match self {
            Self::Formula(expr) => expr.span,
            Self::Word(_, span) => *span,
        }
    }
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
            Self::List(each) => format!("{}s", each.words()),
        }
    }

    /// The kind of each value: of those in a list, else of the value itself.
    pub(super) fn of_each(&self) -> &Self {
        match self {
            Self::List(each) => each,
            single => single,
        }
    }

    /// A typed value, read as this kind; a finding when it cannot be one.
    pub fn typed(&self, item: &Item, findings: &Findings) -> Option<Typed> {
        match (self, &item.value) {
            (Self::Choice(_) | Self::Row(_), Value::Text(text)) => {
                Some(Typed::Word(text.trim().to_owned(), item.letters))
            }
            (Self::Choice(_) | Self::Row(_), _) => {
                findings.add(wrong_kind(item, "a name in quotes"));
                None
            }
            (Self::List(_), _) => Expr::read_list(item, findings).map(Typed::Formula),
            _ => Expr::read(item, findings).map(Typed::Formula),
        }
    }
}

const NUMBERS: &[(&str, Dimension)] = &[
    ("length", Dimension::LENGTH),
    ("angle", Dimension::ANGLE),
    ("ratio", Dimension::NONE),
    ("force", Dimension::FORCE),
];

impl Input {
    pub(super) fn read(name: &str, entry: &Entry, findings: &Findings) -> Option<Self> {
        let fields = Fields::of(&entry.item, findings)?;
        let kind = fields.needed_text("kind", "\"length\"");
        let kind = kind.and_then(|word| kind_of(word, &fields));
        let about = fields.needed_text("about", "\"what it is\"").unwrap_or_default().to_owned();
        let limit = |name: &str| fields.get(name).and_then(|i| Expr::read(i, findings));
        let (min, max) = (limit("min"), limit("max"));
        let default = fields.get("default");
        let default = match (&kind, default) {
            (Some(kind), Some(item)) => kind.typed(item, findings),
            _ => None,
        };
        fields.finish();
        let kind = kind?;
        let limited = min.is_some() || max.is_some();
        if limited && !matches!(kind.of_each(), Kind::Number(..) | Kind::Count) {
            findings.add(
                Finding::stop("wrong-kind", format!("`{name}` cannot have limits"))
                    .at(entry.key, "")
                    .help("only numbers have `min` and `max`"),
            );
        }
        Some(Self { kind, default, min, max, about, span: entry.key })
    }
}

/// The kind of a number, by its word.
fn number(word: &str) -> Option<Kind> {
    let known = NUMBERS.iter().find(|(name, _)| *name == word);
    let count = (word == "count").then_some(Kind::Count);
    known.map(|(name, dimension)| Kind::Number(*dimension, name)).or(count)
}

fn kind_of(word: &str, fields: &Fields) -> Option<Kind> {
    let list = || word.strip_suffix('s').and_then(number).map(|each| Kind::List(Box::new(each)));
    if let Some(kind) = number(word).or_else(list) {
        return Some(kind);
    }
    match word {
        "flag" => Some(Kind::Flag),
        "choice" => {
            fields.need("of", "[\"one\", \"other\"]")?;
            let words = fields.list("of").iter().map(|i| i.text().map(str::to_owned));
            let words: Option<Vec<String>> = words.collect();
            if words.as_ref().is_none_or(Vec::is_empty) {
                let span = fields.get("of").map_or(fields.here, |i| i.span);
                let headline = "a choice needs a list of words";
                fields.add(
                    Finding::stop("wrong-kind", headline)
                        .at(span, "")
                        .help("write `of = [\"one\", \"other\"]`"),
                );
            }
            words.map(Kind::Choice)
        }
        // Whether there is such a table is known only when the recipe is used.
        table => Some(Kind::Row(table.to_owned())),
    }
}
