//! What became of the measurements of points.

use crate::diag::Span;
use crate::geom;

/// A measurement with one to check it, and how it came out.
#[derive(Clone, Debug)]
pub struct TapeCheck {
    /// The measured distance, in words: `A to C`.
    pub what: String,
    /// The point.
    pub of: String,
    /// The names it is calculated from.
    pub depends: Vec<String>,
    /// Its formula.
    pub span: Span,
    /// The measured value, mm; degrees of a direction.
    pub measured: f64,
    /// Whether it is a direction.
    pub is_direction: bool,
    /// Whether the point is one in space.
    pub in_space: bool,
    /// How it came out.
    pub outcome: geom::Outcome,
    /// How many measurements there are, beyond those needed, in the fit it belongs to.
    pub spare: usize,
}

/// Default error of a tape, mm. Our choice: a tape of class II is within 0.7 mm over 2 m, by memory
/// of Directive 2014/32/EU, annex X; reading it adds to that.
pub(super) const TAPE: f64 = 1.0;
