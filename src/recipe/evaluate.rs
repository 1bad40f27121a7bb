//! The values of the inputs and derived names of one part.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Findings;
use crate::formula;
use crate::formula::Fault;
use crate::formula::FormulaError;
use crate::formula::Scope;
use crate::formula::Value;
use crate::quantity::Quantity;
use crate::recipe::expr::Expr;
use crate::recipe::hand::HAND;
use crate::recipe::input::Input;
use crate::recipe::kind::Kind;
use crate::recipe::surroundings::IMPLICIT;
use crate::recipe::surroundings::Surroundings;
use crate::recipe::tape::TapeCheck;
use crate::recipe::typed::Typed;
use crate::recipe::whole::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;
use std::cell::Cell;
use std::cell::RefCell;
use std::collections::HashMap;

enum State {
    Busy,
    Failed,
    Done(Value),
}

/// Evaluates formulas of a recipe; what fails is added to the findings and comes out as `None`.
pub(super) struct Evaluator<'a> {
    pub(super) recipe: &'a Recipe,
    pub(super) typed: &'a IndexMap<String, Typed>,
    pub(super) surroundings: &'a Surroundings,
    pub(super) tables: &'a Tables,
    pub(super) findings: &'a Findings,
    states: RefCell<HashMap<String, State>>,
    /// A name that was used before it had a value.
    wanted: RefCell<Option<String>>,
    /// How the measurements of points came out.
    pub(super) tape_checks: RefCell<Vec<TapeCheck>>,
}

/// A limit of an input that a value breaks.
pub(super) struct Broken<'i> {
    /// Of the value in its list; 0 for a single one.
    pub(super) index: usize,
    /// The value.
    pub(super) is: Quantity,
    /// The limit.
    pub(super) bound: Quantity,
    /// Its formula.
    pub(super) limit: &'i Expr,
    /// Whether it is the lowest value allowed.
    pub(super) lowest: bool,
}

/// A longer circle of names is not written out in full. Our choice.
const LONGEST_CIRCLE: usize = 8;

impl<'a> Evaluator<'a> {
    /// Evaluates `typed` in these surroundings.
    pub(super) fn new(
        recipe: &'a Recipe,
        typed: &'a IndexMap<String, Typed>,
        surroundings: &'a Surroundings,
        tables: &'a Tables,
        findings: &'a Findings,
    ) -> Self {
        let (states, wanted) = (RefCell::default(), RefCell::default());
        let tape_checks = RefCell::default();
        Self { recipe, typed, surroundings, tables, findings, states, wanted, tape_checks }
    }

    /// The same with another value of one input; errors are added to `findings`.
    pub(super) fn with<'b>(
        &'b self,
        name: &str,
        value: Value,
        findings: &'b Findings,
    ) -> Evaluator<'b> {
        let states = HashMap::from([(name.to_owned(), State::Done(value))]);
        let at = Evaluator::new(self.recipe, self.typed, self.surroundings, self.tables, findings);
        at.states.replace(states);
        at
    }

    /// The values of all names, as far as they have one.
    pub(super) fn all(&self) -> HashMap<String, Value> {
        let names = self.recipe.names();
        names.filter_map(|name| Some((name.clone(), self.value(name)?))).collect()
    }

    /// The limits of an input that a value, or one in a list, breaks. A limit that has no value
    /// was reported.
    pub(super) fn broken_limits<'i>(
        &self,
        name: &str,
        input: &'i Input,
        value: &Value,
    ) -> Vec<Broken<'i>> {
        let limits = [(input.min.as_ref(), true), (input.max.as_ref(), false)];
        let mut broken = Vec::new();
        for (limit, lowest) in limits {
            let Some(limit) = limit else { continue };
            let bound = self.formula(limit);
            let bound = bound.and_then(|b| self.of_kind(name, input.kind.of_each(), b, limit.span));
            let Some(Value::Quantity(bound)) = bound else { continue };
            let slack = 1e-9 * bound.value.abs().max(1.0);
            for (index, value) in formula::members(value.clone()).iter().enumerate() {
                let Value::Quantity(is) = value else { continue };
                let kept = match lowest {
                    true => is.value >= bound.value - slack,
                    false => is.value <= bound.value + slack,
                };
                if !kept {
                    broken.push(Broken { index, is: *is, bound, limit, lowest });
                }
            }
        }
        broken
    }

    /// How many values a list has and how many it needs, where these differ. A count that has no
    /// value was reported.
    pub(super) fn miscounted(
        &self,
        name: &str,
        input: &Input,
        value: &Value,
    ) -> Option<(usize, usize)> {
        let count = input.count.as_ref()?;
        let wanted = self.of_kind(name, &Kind::Count, self.formula(count)?, count.span)?;
        let Value::Quantity(wanted) = wanted else { return None };
        let (is, wanted) = (formula::members(value.clone()).len(), wanted.value as usize);
        (is != wanted).then_some((is, wanted))
    }

    /// The value of a name. The names it depends on wait in a list and not on the stack, so that no
    /// chain of formulas is too long.
    pub(super) fn value(&self, name: &str) -> Option<Value> {
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
    pub(super) fn known(&self, name: &str) -> Option<Value> {
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
        let names = self.recipe.names().cloned();
        names.chain(IMPLICIT.iter().map(|(name, _)| (*name).to_owned())).collect()
    }

    fn is_declared(&self, name: &str) -> bool {
        self.recipe.declares(name)
    }

    /// Gives a name its value.
    pub(super) fn settle(&self, name: &str, value: Value) {
        self.states.borrow_mut().insert(name.to_owned(), State::Done(value));
    }

    /// Leaves a name without a value: why was reported.
    pub(super) fn fail(&self, name: &str) {
        self.states.borrow_mut().insert(name.to_owned(), State::Failed);
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
        let point = || self.recipe.points.get(name).map(|point| point.span);
        derived.or_else(point).or_else(|| self.typed.get(name).map(Typed::span))
    }

    fn evaluate(&self, name: &str) -> Option<Value> {
        if let Some(expr) = self.recipe.derived.get(name) {
            return self.formula(expr);
        }
        if let Some(point) = self.recipe.points.get(name) {
            return self.place(name, point);
        }
        let (input, typed) = (self.recipe.inputs.get(name)?, self.typed.get(name)?);
        self.of_typed(name, &input.kind, typed, input.span)
    }

    pub(super) fn formula(&self, expr: &Expr) -> Option<Value> {
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
        let has_hand = self.surroundings.values.contains_key(HAND);
        let words = |name: &str| self.recipe.words(name, has_hand);
        match expr.formula.never(&words).map_or_else(|| expr.formula.value(&scope), Err) {
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
}
