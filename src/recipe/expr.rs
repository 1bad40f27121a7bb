//! A formula and where it stands.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::formula;
use crate::formula::Formula;
use crate::formula::FormulaError;
use crate::quantity;
use crate::quantity::QuantityError;
use crate::quantity::Reading;

/// A formula and where it stands.
#[derive(Clone, Debug)]
pub struct Expr {
    /// The formula.
    pub formula: Formula,
    /// Its letters, without the quotes.
    pub span: Span,
}

impl Expr {
    /// The formula an item holds; a finding when it holds none.
    pub fn read(item: &Item, findings: &Findings) -> Option<Self> {
        let constant = |value| Some(Self { formula: Formula::constant(value), span: item.span });
        match &item.value {
            Value::Number(n) => constant(formula::Value::number(*n)),
            Value::Flag(flag) => constant(formula::Value::Flag(*flag)),
            Value::Text(text) => match Self::parse(text) {
                Ok(formula) => Some(Self { formula, span: item.letters }),
                Err(error) => {
                    findings.add(Self::finding(item.letters, &error));
                    None
                }
            },
            _ => {
                findings.add(wrong_kind(item, "a formula"));
                None
            }
        }
    }

    /// A formula; or a gauge, of the metal that is named or else of the sheet's. A single
    /// quantity is told apart for better words about its slips.
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

    /// The finding for an error of the formula at `span`.
    pub(super) fn finding(span: Span, error: &FormulaError) -> Finding {
        Finding::stop("formula", error.fault.to_string())
            .at(span.part(error.at.clone()), "")
            .help(error.help())
    }
}
