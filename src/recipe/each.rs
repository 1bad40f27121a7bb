//! Entries that are repeated: one for each value of a list.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;

/// The name of the number of a member, from 1, in the formulas of a repeated entry.
pub const NUMBER: &str = "number";

/// `each = { x = "running(pitches)", d = "diameters" }`: the entry is repeated for each value of
/// the lists, which are stepped through together; in its formulas the names have those values.
#[derive(Clone, Debug)]
pub struct Each {
    /// The names, and the lists of their values.
    pub lists: Vec<(String, Expr)>,
    /// The positions of the names.
    pub(super) keys: Vec<Span>,
    /// The whole table.
    pub span: Span,
}

impl Each {
    /// The `each` of an entry, where it has one; `None` when it cannot be read.
    pub(super) fn read(measures: &Measures) -> Option<Option<Self>> {
        let Some(item) = measures.0.get("each") else { return Some(None) };
        let findings = measures.0.findings();
        Fields::of(item, findings)?;
        let entries = measures.0.entries("each");
        if entries.is_empty() {
            measures.0.add(
                Finding::stop("missing-key", "`each` needs at least one list")
                    .at(item.span, "")
                    .help("write `each = { x = \"running(pitches)\" }`"),
            );
            return None;
        }
        let list = |(name, entry): &(&str, &Entry)| {
            Some(((*name).to_owned(), Expr::read(&entry.item, findings)?))
        };
        let lists: Vec<(String, Expr)> = entries.iter().filter_map(list).collect();
        let keys = entries.iter().map(|(_, entry)| entry.key).collect();
        let whole = lists.len() == entries.len();
        whole.then_some(Some(Self { lists, keys, span: item.span }))
    }
}
