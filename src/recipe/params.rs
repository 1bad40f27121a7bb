//! The values of a part.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::formula::Scope;
use crate::formula::Value;
use crate::quantity::Dimension;
use crate::quantity::Units;
use crate::recipe::expr::Expr;
use crate::recipe::hand::HAND;
use crate::recipe::hand::Hand;
use crate::recipe::tape::TapeCheck;
use crate::recipe::whole::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;
use std::collections::BTreeMap;
use std::collections::HashMap;
use std::sync::Arc;

/// The names that have a value in one member of a repeated entry alone.
pub(crate) type Locals<'a> = &'a [(String, Value)];

/// The values of a part: every input, every derived name, all checked.
#[derive(Clone, Debug)]
pub struct Params {
    // Sorted, so that one job is always written out alike: what is kept is found by that text.
    values: BTreeMap<String, Value>,
    spans: IndexMap<String, Span>,
    units: Units,
    tape_checks: Vec<TapeCheck>,
    tape: f64,
    /// The hand of the part, where formulas know it.
    hand: Option<Value>,
    /// Whether the values differ with the hand, or those of the left hand.
    left: Option<Arc<Params>>,
    /// The values of the recipes it uses, by the sources of their texts.
    others: BTreeMap<SourceId, Arc<Params>>,
}

impl Params {
    pub(super) fn new(
        values: HashMap<String, Value>,
        spans: IndexMap<String, Span>,
        units: Units,
    ) -> Self {
        let (hand, left, others) = (None, None, BTreeMap::new());
        let values = values.into_iter().collect();
        Self { values, spans, units, tape_checks: Vec::new(), tape: 0.0, hand, left, others }
    }

    /// The same for this hand.
    pub(super) fn of_hand(self, hand: Option<Hand>) -> Self {
        Self { hand: hand.map(Hand::value), ..self }
    }

    /// The same where they are others for the left hand.
    pub(super) fn unlike(self, left: Self) -> Self {
        Self { left: Some(Arc::new(left)), ..self }
    }

    /// The same with the values of a recipe that is used, of the text `source`.
    pub(super) fn with_other(mut self, source: SourceId, other: Self) -> Self {
        let inner: Vec<_> = other.others.iter().map(|(k, v)| (*k, v.clone())).collect();
        self.others.extend(inner);
        self.others.insert(source, Arc::new(other));
        self
    }

    /// The same where the measurements of points depend on these names, of the recipe that uses
    /// this one.
    pub(super) fn depending_on(mut self, names: &[String]) -> Self {
        for check in &mut self.tape_checks {
            check.depends = names.to_vec();
        }
        let other = |of: Arc<Self>| Arc::new(of.as_ref().clone().depending_on(names));
        self.others = self.others.into_iter().map(|(source, of)| (source, other(of))).collect();
        self
    }

    /// These and those of the recipes it uses, in the order of their texts.
    pub(crate) fn with_others(&self) -> Vec<&Self> {
        [self].into_iter().chain(self.others.values().map(Arc::as_ref)).collect()
    }

    /// Whether the values differ with the hand.
    pub(crate) fn differ(&self) -> bool {
        self.left.is_some()
    }

    /// Those of the left hand.
    pub(crate) fn left(&self) -> Self {
        let left = |params: &Self| {
            let hand = params.hand.as_ref().map(|_| Hand::Left.value());
            Self { hand, ..params.clone() }
        };
        match &self.left {
            Some(left) => left.as_ref().clone(),
            None => Self {
                others: self.others.iter().map(|(k, of)| (*k, Arc::new(left(of)))).collect(),
                ..left(self)
            },
        }
    }

    /// The values that a formula or an entry in this text is calculated with.
    pub(crate) fn at(&self, source: SourceId) -> &Self {
        self.others.get(&source).map_or(self, Arc::as_ref)
    }

    /// The hand of the part, where formulas know it.
    pub(crate) fn hand(&self) -> Option<&Value> {
        self.hand.as_ref()
    }

    /// The same with the measured points after adjustment, for a tape error of `tape`, mm.
    pub(super) fn measured(self, tape_checks: Vec<TapeCheck>, tape: f64) -> Self {
        Self { tape_checks, tape, ..self }
    }

    /// The same where points in space are what `see` makes of their names and coordinates.
    pub(crate) fn with_points(&self, see: impl Fn(&str, [f64; 3]) -> Value) -> Self {
        let seen = |(name, value): (&String, &Value)| (name.clone(), seen(name, value, &see));
        Self { values: self.values.iter().map(seen).collect(), ..self.clone() }
    }

    /// How the measurements of points came out.
    pub fn tape_checks(&self) -> &[TapeCheck] {
        &self.tape_checks
    }

    /// How far a measurement of a point may be off, mm.
    pub const fn tape(&self) -> f64 {
        self.tape
    }

    /// Every value by name, in no order: inputs, derived and those of the surroundings.
    pub fn all(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.values.iter().map(|(name, value)| (name.as_str(), value))
    }

    /// The units in which dimensions are shown.
    pub const fn units(&self) -> Units {
        self.units
    }

    /// The value of a name.
    ///
    /// A name such as `7:bolt` is that of a recipe that is used, see `Params::outside`.
    pub fn get(&self, name: &str) -> Option<&Value> {
        let other = |(source, name): (&str, &str)| {
            let of = self.others.iter().find(|(id, _)| id.number().to_string() == source)?;
            of.1.values.get(name)
        };
        self.values.get(name).or_else(|| other(name.split_once(':')?))
    }

    /// The name of an input or word in the text `source` outside it: with the number of the source
    /// before it where it has a value there.
    pub(crate) fn outside(&self, source: SourceId, name: &str) -> String {
        let other = self.others.get(&source);
        match other.is_some_and(|other| other.values.contains_key(name)) {
            true => format!("{}:{name}", source.number()),
            false => name.to_owned(),
        }
    }

    /// Where the given values among `names`, or behind them, were typed.
    pub fn given<'a>(&'a self, recipe: &Recipe, names: &[String]) -> Vec<(&'a str, Span)> {
        let mut wanted: Vec<String> = names.to_vec();
        let mut i = 0;
        while i < wanted.len() {
            let name = &wanted[i];
            let formulas = recipe.derived.get(name).into_iter();
            let points = recipe.points.get(name);
            let of_points = points.iter().flat_map(|point| point.formulas());
            let names = formulas.chain(of_points).flat_map(|expr| expr.formula.names());
            let points = points.iter().flat_map(|point| point.names());
            let names: Vec<&str> = names.chain(points.map(|name| name.0.as_str())).collect();
            for name in names {
                if !wanted.iter().any(|w| w == name) {
                    wanted.push(name.to_owned());
                }
            }
            i += 1;
        }
        let spans = self.spans.iter().filter(|(name, _)| wanted.contains(*name));
        spans.map(|(name, span)| (name.as_str(), *span)).collect()
    }

    /// The name in its recipe of one that [`Params::outside`] made; any other unchanged.
    pub(crate) fn inside<'n>(&self, name: &'n str) -> &'n str {
        let is_source = |text: &str| self.others.keys().any(|id| id.number().to_string() == text);
        name.split_once(':').filter(|(text, _)| is_source(text)).map_or(name, |(_, name)| name)
    }

    /// The value of a formula of the recipe, where `locals` have values besides.
    ///
    /// # Errors
    /// The finding, at the formula.
    pub fn value(&self, expr: &Expr, locals: Locals, tables: &Tables) -> Result<Value, Finding> {
        let at = self.at(expr.span.source);
        let local = |name: &str| locals.iter().find(|(n, _)| n == name).map(|(_, v)| v.clone());
        let hand = |name: &str| at.hand().filter(|_| name == HAND).cloned();
        let name = |name: &str| {
            local(name).or_else(|| at.values.get(name).cloned()).or_else(|| hand(name))
        };
        let known = || at.values.keys().chain(locals.iter().map(|(n, _)| n)).cloned().collect();
        let scope = Scope { name: &name, known: &known, tables };
        expr.formula.value(&scope).map_err(|error| Expr::finding(expr.span, &error))
    }

    /// The same for a formula that must be of one dimension, in base units.
    ///
    /// # Errors
    /// The finding, at the formula.
    pub fn number(
        &self,
        expr: &Expr,
        dimension: Dimension,
        locals: Locals,
        tables: &Tables,
    ) -> Result<f64, Finding> {
        expr.number(&self.value(expr, locals, tables)?, dimension)
    }
}

/// A value where the points in space in it are what `see` makes of their names and coordinates.
fn seen(name: &str, value: &Value, see: &dyn Fn(&str, [f64; 3]) -> Value) -> Value {
    match value {
        Value::Space(point) if point.seen.is_none() => see(name, point.at),
        Value::List(values) => {
            let one = |(i, value)| seen(&format!("{name}[{}]", i + 1), value, see);
            Value::List(values.iter().enumerate().map(one).collect())
        }
        other => other.clone(),
    }
}
