//! Values as typed, read by the kind of their input.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::formula::MAX_IN_LIST;
use crate::formula::TOO_LONG;
use crate::formula::is_name;
use crate::recipe::expr::Expr;
use crate::recipe::kind::Kind;
use indexmap::IndexMap;

/// A value as typed, read according to the kind of its input.
#[derive(Clone, Debug)]
pub enum Typed {
    /// A formula, possibly just a quantity.
    Formula(Expr),
    /// A word: a choice, or the name of a row.
    Word(String, Span),
    /// Words, or rows of values, as a list.
    List(Vec<Typed>, Span),
    /// Values by name: a row of a list.
    Record(IndexMap<String, Typed>, Span),
}

impl Typed {
    /// The names it may be or use.
    pub(super) fn names(&self) -> Vec<String> {
        match self {
            Self::Formula(expr) => expr.formula.names().into_iter().map(str::to_owned).collect(),
            Self::Word(word, _) => vec![word.clone()],
            Self::List(all, _) => all.iter().flat_map(Self::names).collect(),
            Self::Record(all, _) => all.values().flat_map(Self::names).collect(),
        }
    }

    /// The formulas in it.
    pub(super) fn formulas(&self) -> Vec<&Expr> {
        match self {
            Self::Formula(expr) => vec![expr],
            Self::Word(..) => Vec::new(),
            Self::List(all, _) => all.iter().flat_map(Self::formulas).collect(),
            Self::Record(all, _) => all.values().flat_map(Self::formulas).collect(),
        }
    }

    /// Its position in the text.
    pub fn span(&self) -> Span {
        match self {
            Self::Formula(expr) => expr.span,
            Self::Word(_, span) | Self::List(_, span) | Self::Record(_, span) => *span,
        }
    }

    /// The position of the value of this index, of a list that is written out; else the whole.
    pub(super) fn part(&self, index: usize) -> Span {
        match self {
            Self::Formula(expr) => expr.part(index),
            Self::List(all, span) => all.get(index).map_or(*span, Self::span),
            single => single.span(),
        }
    }

    /// As it could be typed into a job: `letters` are those of a span.
    pub fn shown(&self, letters: &dyn Fn(Span) -> String) -> String {
        let quoted = |typed: &Self| match typed {
            Self::Formula(_) | Self::Word(..) => format!("\"{}\"", typed.shown(letters)),
            _ => typed.shown(letters),
        };
        match self {
            Self::Word(word, _) => word.clone(),
            Self::Formula(expr) => match expr.parts() {
                Some(parts) => {
                    let all: Vec<_> = parts.map(|at| format!("\"{}\"", letters(at))).collect();
                    format!("[{}]", all.join(", "))
                }
                None => letters(expr.span),
            },
            Self::List(all, _) => {
                format!("[{}]", all.iter().map(quoted).collect::<Vec<_>>().join(", "))
            }
            Self::Record(all, _) => {
                let value = |(name, typed): (&String, &Self)| format!("{name} = {}", quoted(typed));
                format!("{{ {} }}", all.iter().map(value).collect::<Vec<_>>().join(", "))
            }
        }
    }
}

impl Kind {
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
            (Self::Record(kinds), _) => record(kinds, item, findings),
            (Self::List(each), value) => match (&**each, value) {
                (Self::Number(..) | Self::Count | Self::Flag, _) => {
                    Expr::read_list(item, findings).map(Typed::Formula)
                }
                (each, Value::List(items)) => list(each, items, item.span, findings),
                (Self::Record(_), Value::Text(text)) if is_name(text.trim()) => {
                    Some(Typed::Word(text.trim().to_owned(), item.letters))
                }
                (each, Value::Text(_)) => {
                    let items = item.split(';');
                    list(each, &items, item.letters, findings)
                }
                (each, _) => list(each, std::slice::from_ref(item), item.span, findings),
            },
            _ => Expr::read(item, findings).map(Typed::Formula),
        }
    }
}

/// The values of a list; an error in one gives its index.
fn list(each: &Kind, items: &[Item], whole: Span, findings: &Findings) -> Option<Typed> {
    let refuse = |headline: &str, help: String| {
        findings.add(Finding::stop("wrong-kind", headline).at(whole, "").help(help));
        None
    };
    if items.is_empty() {
        let help = format!("write the values in it: `[{}]`", example(each));
        return refuse("a list needs one value or more", help);
    }
    if items.len() > MAX_IN_LIST {
        return refuse(TOO_LONG, "split it into several parts".to_owned());
    }
    let one = |(i, item): (usize, &Item)| {
        let found = Findings::default();
        let typed = each.typed(item, &found);
        let note = |finding: Finding| finding.note(format!("value {} of the list", i + 1));
        found.take().into_iter().map(note).for_each(|finding| findings.add(finding));
        typed
    };
    let all: Vec<Typed> = items.iter().enumerate().filter_map(one).collect();
    (all.len() == items.len()).then_some(Typed::List(all, whole))
}

/// The values of a row: by name in a table, or in their order separated by commas.
fn record(kinds: &IndexMap<String, Kind>, item: &Item, findings: &Findings) -> Option<Typed> {
    let values: IndexMap<String, Option<Typed>> = match &item.value {
        Value::Table(_) => {
            let fields = Fields::of(item, findings)?;
            let value = |(name, kind): (&String, &Kind)| {
                let item = fields.need(name, &example(kind));
                (name.clone(), item.and_then(|item| kind.typed(item, findings)))
            };
            let values = kinds.iter().map(value).collect();
            fields.finish();
            values
        }
        Value::Text(_) => {
            let cells = item.split(',');
            if cells.len() != kinds.len() {
                let names: Vec<&str> = kinds.keys().map(String::as_str).collect();
                let headline = format!(
                    "this row has {}, but it needs {}: {}",
                    match cells.len() {
                        1 => "1 value".to_owned(),
                        more => format!("{more} values"),
                    },
                    kinds.len(),
                    names.join(", ")
                );
                findings.add(
                    Finding::stop("wrong-kind", headline)
                        .at(item.letters, "")
                        .help("separate the values by commas, and rows by semicolons"),
                );
                return None;
            }
            let value = |((name, kind), cell): ((&String, &Kind), &Item)| {
                (name.clone(), kind.typed(cell, findings))
            };
            kinds.iter().zip(&cells).map(value).collect()
        }
        _ => {
            findings.add(wrong_kind(item, "a row of values"));
            return None;
        }
    };
    let all = values.into_iter().map(|(name, typed)| Some((name, typed?)));
    all.collect::<Option<IndexMap<_, _>>>().map(|all| Typed::Record(all, item.span))
}

/// An example of a value of this kind.
fn example(kind: &Kind) -> String {
    match kind {
        Kind::Number(_, "length") => "\"10 mm\"".to_owned(),
        Kind::Number(_, "angle") => "\"30 deg\"".to_owned(),
        Kind::Number(_, "force") => "\"2 kN\"".to_owned(),
        Kind::Number(..) | Kind::Count => "2".to_owned(),
        Kind::Flag => "true".to_owned(),
        Kind::Choice(words) => format!("\"{}\"", words.first().map_or("…", String::as_str)),
        Kind::Row(_) => "\"…\"".to_owned(),
        Kind::List(each) => format!("[{}]", example(each)),
        Kind::Record(kinds) => {
            let value = |(name, kind): (&String, &Kind)| format!("{name} = {}", example(kind));
            format!("{{ {} }}", kinds.iter().map(value).collect::<Vec<_>>().join(", "))
        }
    }
}
