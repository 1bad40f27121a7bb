//! The values of a part.

use crate::diag::Finding;
use crate::diag::Span;
use crate::formula;
use crate::formula::Scope;
use crate::formula::Value;
use crate::quantity::Dimension;
use crate::quantity::Units;
use crate::recipe::expr::Expr;
use crate::recipe::tape::TapeCheck;
use crate::recipe::whole::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;
use std::collections::HashMap;

/// The names that have a value in one member of a repeated entry alone.
pub(crate) type Locals<'a> = &'a [(String, Value)];

/// The values of a part: every input, every derived name, all checked.
#[derive(Clone, Debug)]
pub struct Params {
    values: HashMap<String, Value>,
    spans: IndexMap<String, Span>,
    units: Units,
    tape_checks: Vec<TapeCheck>,
    tape: f64,
}

impl Params {
    pub(super) fn new(
        values: HashMap<String, Value>,
        spans: IndexMap<String, Span>,
        units: Units,
    ) -> Self {
        Self { values, spans, units, tape_checks: Vec::new(), tape: 0.0 }
    }

    /// The same with what became of the measures of points, which may be off by `tape`, mm.
    pub(super) fn measured(self, tape_checks: Vec<TapeCheck>, tape: f64) -> Self {
        Self { tape_checks, tape, ..self }
    }

    /// How the measures of points came out.
    pub fn tape_checks(&self) -> &[TapeCheck] {
        &self.tape_checks
    }

    /// How far a measure of a point may be off, mm.
    pub const fn tape(&self) -> f64 {
        self.tape
    }

    /// Every value by name, in no order: inputs, derived and those of the surroundings.
    pub fn all(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.values.iter().map(|(name, value)| (name.as_str(), value))
    }

    /// The units in which measures are shown.
    pub const fn units(&self) -> Units {
        self.units
    }

    /// The value of a name.
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.values.get(name)
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

    /// The value of a formula of the recipe, where `locals` have values besides.
    ///
    /// # Errors
    /// The finding, at the formula.
    pub fn value(&self, expr: &Expr, locals: Locals, tables: &Tables) -> Result<Value, Finding> {
        let local = |name: &str| locals.iter().find(|(n, _)| n == name).map(|(_, v)| v.clone());
        let name = |name: &str| local(name).or_else(|| self.values.get(name).cloned());
        let known = || self.values.keys().chain(locals.iter().map(|(n, _)| n)).cloned().collect();
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
        let wanted = match dimension {
            Dimension::LENGTH => "a length",
            Dimension::ANGLE => "an angle",
            _ => "a plain number",
        };
        let value = self.value(expr, locals, tables)?;
        formula::of_dimension(&value, dimension, wanted).map_err(|fault| {
            let help = match (&value, dimension) {
                (Value::Quantity(q), Dimension::LENGTH) if q.dimension == Dimension::NONE => {
                    format!("give it a unit: `{} mm`", crate::num::text(q.value, 3))
                }
                (Value::Quantity(q), Dimension::ANGLE) if q.dimension == Dimension::NONE => {
                    format!("give it a unit: `{} deg`", crate::num::text(q.value, 3))
                }
                _ => format!("make it {wanted}"),
            };
            Finding::stop("formula", fault.to_string()).at(expr.span, "").help(help)
        })
    }
}
