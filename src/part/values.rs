//! Formulas of a recipe as numbers, their faults gathered.

use crate::diag::Finding;
use crate::document::Findings;
use crate::formula::Value;
use crate::geom::Point;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::recipe::Expr;
use crate::recipe::Params;
use crate::table::Tables;

/// Longest measure of a part, mm. Our choice: a kilometre; far beyond it thousandths are lost.
const LONGEST: f64 = 1e6;

/// Evaluates formulas; what fails is reported and comes out as `None`.
pub(super) struct Values<'a> {
    pub(super) params: &'a Params,
    pub(super) tables: &'a Tables,
    pub(super) findings: &'a Findings,
}

impl Values<'_> {
    pub(super) fn value(&self, expr: &Expr) -> Option<Value> {
        self.kept(self.params.value(expr, self.tables))
    }

    pub(super) fn number(&self, expr: &Expr, dimension: Dimension) -> Option<f64> {
        self.kept(self.params.number(expr, dimension, self.tables))
    }

    /// In mm.
    pub(super) fn length(&self, expr: &Expr) -> Option<f64> {
        let mm = self.number(expr, Dimension::LENGTH)?;
        if mm.abs() <= LONGEST {
            return Some(mm);
        }
        let headline = format!("{} is too large", self.params.units().length(mm));
        self.findings.add(Finding::stop("out-of-range", headline).at(expr.span, "").help(format!(
            "check the units: at most {} is allowed",
            self.params.units().length(LONGEST)
        )));
        None
    }

    /// Nothing given is no rotation.
    pub(super) fn angle(&self, expr: Option<&Expr>) -> Option<Angle> {
        match expr {
            Some(expr) => self.number(expr, Dimension::ANGLE).map(Angle::from_degrees),
            None => Some(Angle::ZERO),
        }
    }

    pub(super) fn point(&self, [x, y]: &[Expr; 2]) -> Option<Point> {
        let (x, y) = (self.length(x), self.length(y));
        Some(Point::new(x?, y?))
    }

    /// A whole number from 1 to `max`.
    pub(super) fn count(&self, expr: &Expr, max: u32) -> Option<u32> {
        let n = self.number(expr, Dimension::NONE)?;
        if n.fract() == 0.0 && (1.0..=f64::from(max)).contains(&n) {
            return Some(n as u32);
        }
        self.findings.add(
            Finding::stop(
                "out-of-range",
                format!("a count is a whole number from 1 to {max}, this is {n}"),
            )
            .at(expr.span, "")
            .help("write a whole number"),
        );
        None
    }

    /// Nothing given is yes.
    pub(super) fn holds(&self, expr: Option<&Expr>) -> Option<bool> {
        let Some(expr) = expr else { return Some(true) };
        match self.value(expr)? {
            Value::Flag(flag) => Some(flag),
            other => {
                let headline = format!("`when` is yes or no, but this is {}", other.kind());
                self.findings.add(
                    Finding::stop("formula", headline)
                        .at(expr.span, "")
                        .help("compare two values, such as `tube > 0 mm`"),
                );
                None
            }
        }
    }

    fn kept<T>(&self, result: Result<T, Finding>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(finding) => {
                self.findings.add(finding);
                None
            }
        }
    }
}

/// The value as a length in mm, when it is one.
pub(super) fn as_length(value: &Value) -> Option<f64> {
    match value {
        Value::Quantity(q) if q.dimension == Dimension::LENGTH => Some(q.value),
        _ => None,
    }
}
