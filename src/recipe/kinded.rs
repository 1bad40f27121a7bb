//! The value of a typed text, by the kind of the input.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::nearest;
use crate::formula;
use crate::formula::Value;
use crate::num;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::expr::Expr;
use crate::recipe::kind::Kind;
use crate::recipe::typed::Typed;
use crate::table::in_words;
use indexmap::IndexMap;

impl Evaluator<'_> {
    /// The value of the text typed for an input, or for a value of it. `here` is the position of
    /// the kind.
    pub(super) fn of_typed(
        &self,
        name: &str,
        kind: &Kind,
        typed: &Typed,
        here: Span,
    ) -> Option<Value> {
        match (kind, typed) {
            (_, Typed::Word(word, span)) => self.word(name, kind, [here, *span], word),
            (Kind::List(each), Typed::Formula(expr)) => {
                self.of_list(name, each, self.formula(expr)?, expr)
            }
            (_, Typed::Formula(expr)) => {
                let value = self.formula(expr)?;
                self.judged(name, kind, value, (expr.span, expr.formula.is_literal()))
            }
            (Kind::List(each), Typed::List(all, _)) => {
                let value = |(i, typed): (usize, &Typed)| {
                    self.of_typed(&format!("{name}[{}]", i + 1), each, typed, here)
                };
                let values = all.iter().enumerate().map(value).collect::<Option<Vec<Value>>>()?;
                Some(Value::List(values.into()))
            }
            (Kind::Record(kinds), Typed::Record(all, _)) => {
                let value = |(field, typed): (&String, &Typed)| {
                    let value =
                        self.of_typed(&format!("{name}.{field}"), &kinds[field], typed, here);
                    Some((field.clone(), value?))
                };
                let values = all.iter().map(value).collect::<Option<IndexMap<_, _>>>()?;
                Some(Value::Record(values.into()))
            }
            // A list is read for a list, a row for a row.
            (_, Typed::List(..) | Typed::Record(..)) => None,
        }
    }

    /// The value of a word at `span`, typed for `name`, whose kind is named `here`.
    fn word(&self, name: &str, kind: &Kind, [here, span]: [Span; 2], word: &str) -> Option<Value> {
        let (known, found): (Vec<&str>, _) = match kind {
            Kind::Choice(of) => {
                let found = of.iter().any(|o| o == word).then(|| Value::Text(word.into()));
                (of.iter().map(String::as_str).collect(), found)
            }
            Kind::Row(table) => {
                let Some(rows) = self.tables.table(table) else {
                    self.no_table(table, here);
                    return None;
                };
                let found = self.tables.row(table, word).map(|row| Value::Row(row.clone()));
                (rows.rows().map(|row| row.name()).collect(), found)
            }
            kind => {
                let headline = format!("`{word}` is not a {}", kind.words());
                let help = "separate the values of a row by commas, and rows by semicolons";
                self.findings.add(Finding::stop("wrong-kind", headline).at(span, "").help(help));
                return None;
            }
        };
        if found.is_none() {
            let help = match (nearest(word, known.iter().copied()), kind) {
                (_, Kind::Row(table)) => self.tables.instead(table, word),
                (Some(near), _) => format!("write `{near}`"),
                _ => format!("it is one of {}", known.join(", ")),
            };
            let headline = match kind {
                Kind::Row(table) => format!("there is no {} `{word}`", in_words(table)),
                _ => format!("`{word}` is not one of the choices"),
            };
            let finding = Finding::stop("unknown-row", headline).at(span, "");
            // Which of many, of a list.
            let which = name.contains('[').then(|| format!("it is `{name}`"));
            let finding = which.into_iter().fold(finding, Finding::note).help(help);
            let offered = match kind {
                Kind::Row(table) => self.tables.offered(table, word),
                _ => nearest(word, known.iter().copied()).into_iter().collect(),
            };
            // A value of a list is no whole value.
            let offered = offered.into_iter().filter(|_| !name.contains('['));
            self.findings.add(offered.fold(finding, Finding::fix));
        }
        found
    }

    /// Reports a kind that is no table's, where it is named.
    fn no_table(&self, table: &str, here: Span) {
        let plural = format!("{table}s");
        let help = match self.tables.table(&plural) {
            Some(_) => format!(
                "`{plural}` is a list of rows of a table `{table}`: give the `{plural}` table a \
                 name without the last s"
            ),
            None => format!("choose from {}", self.tables.names().collect::<Vec<_>>().join(", ")),
        };
        let headline = format!("there is no table `{table}`");
        self.findings.add(Finding::stop("unknown-table", headline).at(here, "").help(help));
    }

    /// The value as a list, if each of its values is of the kind its input takes.
    fn of_list(&self, name: &str, each: &Kind, value: Value, expr: &Expr) -> Option<Value> {
        let values = formula::members(value);
        let good = values.iter().enumerate().map(|(i, value)| {
            self.of_kind(&format!("{name}[{}]", i + 1), each, value.clone(), expr.part(i))
        });
        good.collect::<Option<Vec<Value>>>().map(|values| Value::List(values.into()))
    }

    /// The row, if it has the values that are wanted, each of its kind.
    fn of_record(
        &self,
        name: &str,
        kinds: &IndexMap<String, Kind>,
        values: &IndexMap<String, Value>,
        span: Span,
    ) -> Option<Value> {
        let value = |(field, kind): (&String, &Kind)| {
            let Some(value) = values.get(field) else {
                let headline = format!("`{name}` has no `{field}`");
                let help = format!("give it {}", kind.words());
                self.findings.add(Finding::stop("wrong-kind", headline).at(span, "").help(help));
                return None;
            };
            let value = self.of_kind(&format!("{name}.{field}"), kind, value.clone(), span);
            Some((field.clone(), value?))
        };
        let values = kinds.iter().map(value).collect::<Option<IndexMap<_, _>>>()?;
        Some(Value::Record(values.into()))
    }

    /// The value, if it is of the kind its input takes.
    pub(super) fn of_kind(
        &self,
        name: &str,
        kind: &Kind,
        value: Value,
        span: Span,
    ) -> Option<Value> {
        self.judged(name, kind, value, (span, true))
    }

    /// The same for text typed as one number or word, or as a formula: of `2-1/4`, 1.75 was not
    /// meant with a unit behind it.
    fn judged(
        &self,
        name: &str,
        kind: &Kind,
        value: Value,
        (span, is_literal): (Span, bool),
    ) -> Option<Value> {
        let (good, wanted) = match (kind, &value) {
            (Kind::Number(dimension, words), Value::Quantity(q)) => {
                let zero = q.value == 0.0 && q.dimension == Dimension::NONE;
                if zero {
                    return Some(Value::Quantity(Quantity { dimension: *dimension, ..*q }));
                }
                (q.dimension == *dimension, (*words).to_owned())
            }
            (Kind::Count, Value::Quantity(q)) => {
                let whole = q.value.fract() == 0.0 && q.value >= 0.0;
                (q.dimension == Dimension::NONE && whole, "whole number, 0 or more".to_owned())
            }
            (Kind::Flag, Value::Flag(_)) => (true, String::new()),
            (Kind::Row(table), Value::Row(row)) => (row.table() == table, kind.words()),
            (Kind::Choice(of), Value::Text(text)) => {
                (of.iter().any(|o| **o == **text), kind.words())
            }
            (Kind::Record(kinds), Value::Record(values)) => {
                return self.of_record(name, kinds, values, span);
            }
            _ => (false, kind.words()),
        };
        if good {
            return Some(value);
        }
        let wanted = with_article(&wanted);
        let headline = match (kind, &value) {
            (Kind::Count, Value::Quantity(q)) if q.dimension == Dimension::NONE => {
                format!("`{name}` must be {wanted}, not {}", q.value)
            }
            _ => format!("`{name}` is {wanted}, but this is {}", value.kind()),
        };
        let finding = Finding::stop("wrong-unit", headline).at(span, "");
        let offered = if is_literal { with_units(kind, &value) } else { Vec::new() };
        let help = match offered.as_slice() {
            [] => self.to_write(kind),
            offered => {
                let quoted: Vec<String> = offered.iter().map(|v| format!("`\"{v}\"`")).collect();
                format!("write {} there", quoted.join(" or "))
            }
        };
        let offered = offered.into_iter().filter(|_| !name.contains(['[', '.']));
        self.findings.add(offered.fold(finding.help(help), Finding::fix));
        None
    }
}

impl Evaluator<'_> {
    /// What could be written in place of a value that is not of a kind.
    fn to_write(&self, kind: &Kind) -> String {
        match kind {
            Kind::List(_) | Kind::Record(_) => format!("give it {}", kind.words()),
            Kind::Flag => "write `true` or `false` there".to_owned(),
            _ => format!("write a value such as `{}` there", kind.example(self.tables)),
        }
    }
}

/// A plain number with the units it may have been meant in.
fn with_units(kind: &Kind, value: &Value) -> Vec<String> {
    let units: &[&str] = match kind {
        Kind::Number(Dimension::LENGTH, _) => &["mm", "in"],
        Kind::Number(Dimension::ANGLE, _) => &["deg"],
        Kind::Number(Dimension::FORCE, _) => &["kN"],
        _ => &[],
    };
    match value {
        Value::Quantity(q) if q.dimension == Dimension::NONE => {
            units.iter().map(|unit| format!("{} {unit}", num::text(q.value, 4))).collect()
        }
        _ => Vec::new(),
    }
}

fn with_article(word: &str) -> String {
    let vowel = word.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {word}", if vowel { "an" } else { "a" })
}
