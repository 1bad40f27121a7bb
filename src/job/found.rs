//! What the report says of a finding.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use serde::Serialize;

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingRow {
    weight: Weight,
    code: &'static str,
    headline: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    notes: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
}

/// The row of a finding.
pub(super) fn row(finding: &Finding, sources: &Sources) -> FindingRow {
    let place = finding.marks.first().map(|mark| {
        let (line, column) = sources.line_and_column(mark.span);
        format!("{}:{line}:{column}", sources.name(mark.span.source))
    });
    FindingRow {
        weight: finding.weight,
        code: finding.code,
        headline: finding.headline.clone(),
        place,
        notes: finding.notes.clone(),
        help: finding.help.clone(),
    }
}
