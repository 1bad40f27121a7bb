//! Shapes that are repeated round a point.

use crate::diag::Span;
use crate::document::Fields;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;

/// `around = { count = "5", about = "hub", start = "90 deg" }`: the entry is made as often as that,
/// rotated about a point in equal steps of a full turn.
#[derive(Clone, Debug)]
pub struct Around {
    /// How often.
    pub count: Expr,
    /// About which point; the origin when it is left out.
    pub about: [Expr; 2],
    /// The angle of the first, anticlockwise; 0 when left out.
    pub start: Option<Expr>,
}

impl Around {
    /// The `around` of an entry, where it has one; `None` when it cannot be read.
    pub(super) fn read(measures: &Measures) -> Option<Option<Self>> {
        let Some(item) = measures.0.get("around") else { return Some(None) };
        let inner = Measures(Fields::of(item, measures.0.findings())?);
        let (count, about) = (inner.need_count("count"), inner.point("about"));
        let start = inner.may("start");
        inner.0.finish();
        Some(Some(Self { count: count?, about: about?, start }))
    }

    /// Its key, in an entry that cannot be repeated so.
    pub(super) fn key(measures: &Measures) -> Option<Span> {
        measures.0.entry("around").map(|entry| entry.key)
    }
}
