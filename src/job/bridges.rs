//! Bridges that hold small pieces in their sheet while it is cut.

use crate::diag::Span;
use crate::document::Fields;
use crate::document::Item;
use crate::entry::length;

/// The bridges of a job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bridges {
    /// How many a piece gets.
    pub count: u32,
    /// What is left of the metal along the outline in each of them, mm.
    pub width: f64,
    /// Only pieces no longer than this get them, mm.
    pub below: f64,
}

/// A line's own settings for bridges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnBridges {
    /// How many; 0 is none.
    pub count: u32,
    /// The position of that.
    pub span: Span,
}

/// Maximum number of bridges of one piece. Our choice.
const MAX: u32 = 50;

impl Bridges {
    /// The table at the top of a job.
    pub(super) fn read(item: &Item, fields: &Fields) -> Option<Self> {
        let fields = Fields::of(item, fields.findings())?;
        let findings = fields.findings();
        fields.need("count", "2");
        let count = fields.count("count", MAX);
        let width = fields.need("width", "\"0.8 mm\"").and_then(|i| length(i, findings));
        let below = fields.need("below", "\"60 mm\"").and_then(|i| length(i, findings));
        fields.finish();
        Some(Self { count: count?, width: width?, below: below? })
    }
}

impl OwnBridges {
    /// The figure of a line.
    pub(super) fn read(fields: &Fields) -> Option<Self> {
        let span = fields.get("bridges")?.span;
        Some(Self { count: fields.count("bridges", MAX)?, span })
    }
}
