//! What it means: a recipe and the values given for it, resolved to numbers.
//!
//! Names may be used in any order, so each is evaluated when it is first asked for;
//! a name that is asked for while it is being evaluated closes a loop.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::nearest;
use crate::document::Entry;
use crate::document::Findings;
use crate::formula::Fault;
use crate::formula::FormulaError;
use crate::formula::Scope;
use crate::formula::Value;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::quantity::Units;
use crate::recipe::expr::Expr;
use crate::recipe::given::typed_values;
use crate::recipe::input::Input;
use crate::recipe::input::Kind;
use crate::recipe::input::Typed;
use crate::recipe::params::Params;
use crate::recipe::whole::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;
use std::cell::Cell;
use std::cell::RefCell;
use std::collections::HashMap;

/// Names every formula may use without declaring them, and what they are.
pub const IMPLICIT: &[(&str, &str)] = &[
    ("thickness", "thickness of the sheet"),
    ("material", "the sheet's row in the table of materials"),
    ("bend_radius", "the usual inside radius for bending this sheet"),
    ("kerf", "width of the cut"),
    ("coating", "thickness of the coating on every face"),
];

/// The values of the [`IMPLICIT`] names for one sheet and process.
#[derive(Clone, Debug, Default)]
pub struct Surroundings {
    values: HashMap<&'static str, Value>,
    units: Units,
}

impl Surroundings {
    /// The same, for words in these units.
    #[must_use]
    pub(crate) fn in_units(self, units: Units) -> Self {
        Self { units, ..self }
    }
}

impl<const N: usize> From<[(&'static str, Value); N]> for Surroundings {
    fn from(values: [(&'static str, Value); N]) -> Self {
        Self { values: values.into(), units: Units::default() }
    }
}

/// Resolves the values of one part. `given` are the values of the job, `here` is
/// where to point when something is missing.
///
/// # Errors
/// Everything that is wrong with the values, each with its place.
pub fn resolve(
    recipe: &Recipe,
    given: &[(&str, &Entry)],
    here: Span,
    surroundings: &Surroundings,
    tables: &Tables,
) -> Result<Params, Vec<Finding>> {
    let findings = Findings::default();
    let typed = typed_values(recipe, given, here, &findings);
    let resolver = Resolver {
        recipe,
        typed: &typed,
        surroundings,
        tables,
        findings: &findings,
        states: RefCell::default(),
        wanted: RefCell::default(),
    };
    let names = recipe.inputs.keys().chain(recipe.derived.keys());
    let mut values: HashMap<String, Value> =
        names.filter_map(|name| Some((name.clone(), resolver.value(name)?))).collect();
    values.extend(
        surroundings.values.iter().map(|(name, value)| ((*name).to_owned(), value.clone())),
    );
    for (name, input) in &recipe.inputs {
        if let (Some(value), Some(typed)) = (values.get(name), typed.get(name)) {
            resolver.check_limits(name, input, value, typed.span());
        }
    }
    if findings.is_empty() {
        resolver.check_requires(here, &typed);
    }
    let findings = findings.take();
    if !findings.is_empty() {
        return Err(findings);
    }
    let spans = given.iter().map(|(name, entry)| ((*name).to_owned(), entry.item.span)).collect();
    Ok(Params::new(values, spans, surroundings.units))
}

enum State {
    Busy,
    Failed,
    Done(Value),
}

struct Resolver<'a> {
    recipe: &'a Recipe,
    typed: &'a IndexMap<String, Typed>,
    surroundings: &'a Surroundings,
    tables: &'a Tables,
    findings: &'a Findings,
    states: RefCell<HashMap<String, State>>,
    /// A name that was asked for before it had a value.
    wanted: RefCell<Option<String>>,
}

/// A longer circle of names is not written out in full. Our choice.
const LONGEST_CIRCLE: usize = 8;

impl Resolver<'_> {
    /// The value of a name. What it depends on waits in a list and not on the stack, so
    /// that no chain of formulas is too long.
    fn value(&self, name: &str) -> Option<Value> {
        let mut path = Vec::new();
        if !self.states.borrow().contains_key(name) && self.is_declared(name) {
            path.push(name.to_owned());
        }
        while let Some(name) = path.last().cloned() {
            self.states.borrow_mut().insert(name.clone(), State::Busy);
            let value = self.evaluate(&name);
            let Some(next) = self.wanted.take() else {
                let state = value.map_or(State::Failed, State::Done);
                self.states.borrow_mut().insert(name, state);
                path.pop();
                continue;
            };
            if matches!(self.states.borrow().get(&next), Some(State::Busy)) {
                self.report_loop(&mut path, &next);
            } else {
                path.push(next);
            }
        }
        self.known(name)
    }

    /// The value of a name, where it has one already; else it is noted as wanted.
    fn known(&self, name: &str) -> Option<Value> {
        if let Some(value) = self.surroundings.values.get(name) {
            return Some(value.clone());
        }
        match self.states.borrow().get(name) {
            Some(State::Done(value)) => return Some(value.clone()),
            Some(State::Failed) => return None,
            Some(State::Busy) | None => {}
        }
        if self.is_declared(name) {
            self.wanted.replace(Some(name.to_owned()));
        }
        None
    }

    fn names(&self) -> Vec<String> {
        let names = self.recipe.inputs.keys().chain(self.recipe.derived.keys()).cloned();
        names.chain(IMPLICIT.iter().map(|(name, _)| (*name).to_owned())).collect()
    }

    fn is_declared(&self, name: &str) -> bool {
        self.recipe.inputs.contains_key(name) || self.recipe.derived.contains_key(name)
    }

    /// Reports the circle at the end of a path, and takes it off.
    fn report_loop(&self, path: &mut Vec<String>, name: &str) {
        let start = path.iter().position(|n| n == name).unwrap_or(0);
        let circle = path.split_off(start);
        let mut names: Vec<&str> = circle.iter().map(String::as_str).chain([name]).collect();
        if names.len() > LONGEST_CIRCLE {
            names.splice(2..names.len() - 2, ["…"]);
        }
        let headline = format!("`{name}` depends on itself: {}", names.join(" → "));
        if let Some(span) = self.span(name) {
            let finding = Finding::stop("formula-loop", headline)
                .at(span, "")
                .help("give one of them a value of its own");
            self.findings.add(finding);
        }
        let mut states = self.states.borrow_mut();
        states.extend(circle.into_iter().map(|name| (name, State::Failed)));
    }

    fn span(&self, name: &str) -> Option<Span> {
        let derived = self.recipe.derived.get(name).map(|e| e.span);
        derived.or_else(|| self.typed.get(name).map(Typed::span))
    }

    fn evaluate(&self, name: &str) -> Option<Value> {
        if let Some(expr) = self.recipe.derived.get(name) {
            return self.formula(expr);
        }
        let (input, typed) = (self.recipe.inputs.get(name)?, self.typed.get(name)?);
        match typed {
            Typed::Word(word, span) => self.word(input, word, *span),
            Typed::Formula(expr) => {
                let value = self.formula(expr)?;
                self.of_kind(name, &input.kind, value, expr.span)
            }
        }
    }

    fn formula(&self, expr: &Expr) -> Option<Value> {
        let declared = Cell::new(false);
        let name = |name: &str| {
            declared.set(self.is_declared(name));
            self.known(name)
        };
        let known = || match declared.get() {
            true => Vec::new(),
            false => self.names(),
        };
        let scope = Scope { name: &name, known: &known, tables: self.tables };
        match expr.formula.value(&scope) {
            Ok(value) => Some(value),
            // A declared name without a value is wanted first, or has been reported already.
            Err(FormulaError { fault: Fault::Name { name, .. }, .. })
                if self.is_declared(&name) =>
            {
                None
            }
            Err(error) => {
                self.findings.add(Expr::finding(expr.span, &error));
                None
            }
        }
    }

    fn word(&self, input: &Input, word: &str, span: Span) -> Option<Value> {
        let kind = &input.kind;
        let (known, found): (Vec<&str>, _) = match kind {
            Kind::Choice(of) => {
                let found = of.iter().any(|o| o == word).then(|| Value::Text(word.into()));
                (of.iter().map(String::as_str).collect(), found)
            }
            Kind::Row(table) => {
                let Some(rows) = self.tables.table(table) else {
                    let headline = format!("there is no table `{table}`");
                    let tables: Vec<&str> = self.tables.names().collect();
                    self.findings.add(
                        Finding::stop("unknown-table", headline)
                            .at(input.span, "")
                            .help(format!("choose from {}", tables.join(", "))),
                    );
                    return None;
                };
                let found = self.tables.row(table, word).map(|row| Value::Row(row.clone()));
                (rows.rows().map(|row| row.name()).collect(), found)
            }
            _ => return None,
        };
        if found.is_none() {
            let what = if let Kind::Row(table) = kind { table } else { "choice" };
            let help = match (nearest(word, known.iter().copied()), kind) {
                (Some(near), _) => format!("write `{near}`"),
                (None, Kind::Row(table)) => format!("`platewright tables {table}` lists them"),
                _ => format!("it is one of {}", known.join(", ")),
            };
            let headline = format!("there is no {what} `{word}`");
            self.findings.add(Finding::stop("unknown-row", headline).at(span, "").help(help));
        }
        found
    }

    /// The value, if it is of the kind its input takes.
    fn of_kind(&self, name: &str, kind: &Kind, value: Value, span: Span) -> Option<Value> {
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
            _ => (false, kind.words()),
        };
        if good {
            return Some(value);
        }
        let help = match &value {
            Value::Quantity(q)
                if q.dimension == Dimension::NONE && *kind != Kind::Count && wanted == "length" =>
            {
                let number = crate::num::text(q.value, 4);
                format!("write `{name} = \"{number} mm\"` or `\"{number} in\"`")
            }
            Value::Quantity(q) if q.dimension == Dimension::NONE && wanted == "angle" => {
                format!("write `{name} = \"{} deg\"`", crate::num::text(q.value, 4))
            }
            _ => format!("give `{name}` {}", with_article(&wanted)),
        };
        let wanted = with_article(&wanted);
        let headline = format!("`{name}` is {wanted}, but this is {}", value.kind());
        self.findings.add(Finding::stop("wrong-unit", headline).at(span, "").help(help));
        None
    }

    fn check_limits(&self, name: &str, input: &Input, value: &Value, span: Span) {
        let Value::Quantity(q) = value else { return };
        for (limit, least) in [(&input.min, true), (&input.max, false)] {
            let Some(expr) = limit else { continue };
            let Some(bound) = self.formula(expr) else { continue };
            let Some(Value::Quantity(bound)) = self.of_kind(name, &input.kind, bound, expr.span)
            else {
                continue;
            };
            let slack = 1e-9 * bound.value.abs().max(1.0);
            let broken = match least {
                true => q.value < bound.value - slack,
                false => q.value > bound.value + slack,
            };
            if broken {
                let word = if least { "at least" } else { "at most" };
                let units = self.surroundings.units;
                let (is, bound) = (q.show(units), bound.show(units));
                let headline = format!("`{name}` is {is}, but must be {word} {bound}");
                self.findings.add(
                    Finding::stop("out-of-range", headline)
                        .at(span, "")
                        .at(expr.span, "the limit")
                        .help(format!("write `{name} = \"{bound}\"`")),
                );
            }
        }
    }

    fn check_requires(&self, here: Span, typed: &IndexMap<String, Typed>) {
        for require in &self.recipe.requires {
            match self.formula(&require.that) {
                None | Some(Value::Flag(true)) => {}
                Some(Value::Flag(false)) => {
                    let marks = require.that.formula.names();
                    let mut finding = Finding::stop("requirement", require.otherwise.clone());
                    let mut spans: Vec<Span> =
                        marks.iter().filter_map(|name| Some(typed.get(*name)?.span())).collect();
                    // The values of the job are the ones to change; defaults made it so.
                    spans.sort_by_key(|span| span.source != here.source);
                    for span in spans {
                        finding = finding.at(span, "");
                    }
                    if finding.marks.is_empty() {
                        finding = finding.at(here, "");
                    }
                    let values = marks.iter().filter_map(|name| {
                        Some(format!(
                            "{name} = {}",
                            self.value(name)?.show(self.surroundings.units)
                        ))
                    });
                    let values: Vec<String> = values.collect();
                    let finding = finding.at(require.that.span, "must hold");
                    self.findings.add(match values.is_empty() {
                        true => finding.help("use another sheet, or change the requirement"),
                        false => finding.note(values.join(", ")).help("change one of these values"),
                    });
                }
                Some(other) => {
                    let headline =
                        format!("a condition is yes or no, but this is {}", other.kind());
                    self.findings.add(
                        Finding::stop("formula", headline)
                            .at(require.that.span, "")
                            .help("compare two values, such as `reach > eye`"),
                    );
                }
            }
        }
    }
}

fn with_article(word: &str) -> String {
    let vowel = word.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {word}", if vowel { "an" } else { "a" })
}
