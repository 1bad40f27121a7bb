//! A formula and its position in the text.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::formula;
use crate::formula::Formula;
use crate::formula::FormulaError;
use crate::num;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::QuantityError;
use crate::quantity::Reading;

/// A formula and its position in the text.
#[derive(Clone, Debug)]
pub struct Expr {
    /// The formula.
    pub formula: Formula,
    /// Its letters, without the quotes.
    pub span: Span,
}

impl Expr {
    /// The formula of an item; a finding when there is none.
    pub fn read(item: &Item, findings: &Findings) -> Option<Self> {
        let constant = |value| Some(Self { formula: Formula::constant(value), span: item.span });
        match &item.value {
            Value::Number(n) => constant(formula::Value::number(*n)),
            Value::Flag(flag) => constant(formula::Value::Flag(*flag)),
            Value::Text(text) => match Self::parse(text) {
                Ok(formula) => Some(Self { formula, span: item.letters }),
                Err(error) => {
                    let finding = Self::finding(item.letters, &error);
                    let whole = match &error.fault {
                        formula::Fault::Quantity(of) => of.fix(text),
                        _ => None,
                    };
                    findings.add(whole.into_iter().fold(finding, Finding::fix));
                    None
                }
            },
            Value::List(items) => Self::list(item, items, findings),
            Value::Table(_) => {
                findings.add(wrong_kind(item, "a formula"));
                None
            }
        }
    }

    /// The same where these names have values.
    pub(super) fn with(&self, values: &[(String, formula::Value)]) -> Self {
        Self { formula: self.formula.with(values), span: self.span }
    }

    /// The formulas of an array as one that evaluates to a list.
    fn list(whole: &Item, items: &[Item], findings: &Findings) -> Option<Self> {
        let read = |item: &Item| match &item.value {
            Value::List(_) => {
                findings.add(wrong_kind(item, "a formula"));
                None
            }
            _ => Self::read(item, findings),
        };
        if items.is_empty() {
            findings.add(
                Finding::stop("wrong-kind", "a list needs one value or more")
                    .at(whole.span, "")
                    .help("write the values in it: `[\"20 mm\", \"35 mm\"]`"),
            );
            return None;
        }
        let all: Vec<Self> = items.iter().filter_map(read).collect();
        (all.len() == items.len()).then(|| Self::joined(all, whole.span))
    }

    /// Formulas within a span as one that evaluates to a list.
    fn joined(all: Vec<Self>, span: Span) -> Self {
        let behind = |expr: Self| (expr.span.start - span.start, expr.formula);
        let formula = Formula::list(all.into_iter().map(behind).collect(), span.end - span.start);
        Self { formula, span }
    }

    /// A list of formulas separated by semicolons, as in a command line and a cell of a table; a
    /// single formula is read as such.
    pub(super) fn read_list(item: &Item, findings: &Findings) -> Option<Self> {
        let parts = item.split(';');
        if parts.len() == 1 {
            return Self::read(item, findings);
        }
        let all = parts.iter().map(|part| Self::read(part, findings));
        Some(Self::joined(all.collect::<Option<_>>()?, item.letters))
    }

    /// The position of the value of this index, if the formula is a list that is written out, else
    /// the whole.
    pub(super) fn part(&self, index: usize) -> Span {
        self.formula.part(index).map_or(self.span, |at| self.span.part(at))
    }

    /// The positions of its values, if the formula is a list that is written out.
    pub(super) fn parts(&self) -> Option<impl Iterator<Item = Span>> {
        self.formula.part(0)?;
        let at = |i: usize| self.formula.part(i).map(|at| self.span.part(at));
        Some((0..).map_while(at))
    }

    /// A formula; or a gauge, of the metal that is named or else of the sheet's. A single quantity
    /// is parsed separately for better error messages.
    fn parse(text: &str) -> Result<Formula, FormulaError> {
        let whole = |fault| FormulaError { at: 0..text.len(), fault };
        match quantity::read(text) {
            Ok(Reading::Gauge { number, metal }) => {
                let metal = metal.map_or("material.metal".into(), |metal| format!("'{metal}'"));
                Formula::read(&format!("gauge({metal}, {number})")).map_err(|e| whole(e.fault))
            }
            Err(
                slip
                @ (QuantityError::Comma(_) | QuantityError::Gauge(_) | QuantityError::Blank(_)),
            ) => Formula::read(text).map_err(|_| whole(slip.into())),
            _ => Formula::read(text),
        }
    }

    /// Its value in base units, where that must be of one dimension.
    ///
    /// # Errors
    /// The finding, at the formula.
    pub(super) fn number(
        &self,
        value: &formula::Value,
        dimension: Dimension,
    ) -> Result<f64, Finding> {
        let (wanted, unit) = match dimension {
            Dimension::LENGTH => ("a length", Some("mm")),
            Dimension::ANGLE => ("an angle", Some("deg")),
            _ => ("a plain number", None),
        };
        formula::of_dimension(value, dimension, wanted).map_err(|fault| {
            let help = match (value, unit) {
                (formula::Value::Quantity(q), Some(unit)) if q.dimension == Dimension::NONE => {
                    format!("give it a unit: `{} {unit}`", num::text(q.value, 3))
                }
                _ => format!("make it {wanted}"),
            };
            Finding::stop("formula", fault.to_string()).at(self.span, "").help(help)
        })
    }

    /// The finding for an error of the formula at `span`.
    pub(crate) fn finding(span: Span, error: &FormulaError) -> Finding {
        Finding::stop("formula", error.fault.to_string())
            .at(span.part(error.at.clone()), "")
            .help(error.help())
    }
}
