//! Places in a line, by a pitch or over a span.

use crate::diag::Finding;
use crate::part::values::Values;
use crate::recipe::Amount;
use crate::recipe::Spacing;

/// Maximum number of holes in one direction of a pattern. Our choice: a perforated plate is another
/// trade.
pub(super) const MAX: u32 = 200;

/// Rounding of a span over a pitch: a span of exactly three pitches has three gaps.
const ROUNDING: f64 = 1e-9;

/// Places in a line, even about 0; `None` when something was reported.
pub(super) fn spread(spacing: &Spacing, values: &Values) -> Option<Vec<f64>> {
    let (n, pitch) = match spacing {
        Spacing::Pitch(count, pitch) => (values.count(count, MAX)?, values.length(pitch)?),
        Spacing::Over(amount, span) => {
            let counted = counted(amount, values)?;
            let span = values.span("hole", counted.unwrap_or(2), span)?;
            let n = on_span(amount, counted, span, values)?;
            (n, span / f64::from(n.max(2) - 1))
        }
    };
    Some((0..n).map(|i| (f64::from(i) - f64::from(n - 1) / 2.0) * pitch).collect())
}

/// The number if it is given; otherwise it follows from a span.
pub(super) fn counted(amount: &Amount, values: &Values) -> Option<Option<u32>> {
    match amount {
        Amount::Count(count) => values.count(count, MAX).map(Some),
        Amount::AtMost(_) | Amount::AtLeast(_) => Some(None),
    }
}

/// The number on a span in mm: `counted` if it is given.
pub(super) fn on_span(
    amount: &Amount,
    counted: Option<u32>,
    span: f64,
    values: &Values,
) -> Option<u32> {
    if counted.is_some() {
        return counted;
    }
    let gaps = match amount {
        Amount::AtLeast(pitch) => {
            (span / values.positive("hole", "min_pitch", pitch)? + ROUNDING).floor()
        }
        Amount::AtMost(pitch) | Amount::Count(pitch) => {
            (span / values.positive("hole", "max_pitch", pitch)? - ROUNDING).ceil().max(0.0)
        }
    };
    if gaps + 1.0 <= f64::from(MAX) {
        return Some(gaps as u32 + 1);
    }
    let headline = format!("a row has at most {MAX} holes; this would be {}", gaps + 1.0);
    let finding = Finding::stop("out-of-range", headline).at(amount.expr().span, "");
    values.findings.add(finding.help("make the pitch larger"));
    None
}
