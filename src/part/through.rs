//! What goes through the holes of a set.

use crate::formula::Value;
use crate::part::values::Values;
use crate::recipe::HoleSet;
use crate::recipe::Meant;
use crate::table::Row;
use std::sync::Arc;

/// The row of a table that goes through the holes of a set; `None` after a finding.
pub(super) fn row(set: &HoleSet, values: &Values) -> Option<Option<Arc<Row>>> {
    let Some(meant) = &set.through else { return Some(None) };
    Some(match values.meant(meant)? {
        Some(Value::Row(row)) => Some(row),
        Some(_) => None,
        None => values.tables.row("bolt", &meant.word).cloned(),
    })
}

/// What goes through, by the name of its input; by that of its row where it is a member of a list.
pub(super) fn called(meant: &Meant, row: Option<&Row>, set: &HoleSet, values: &Values) -> String {
    let is_input = values.params.at(set.span.source).get(&meant.word).is_some();
    match row.filter(|_| !is_input || values.is_local(&meant.word)) {
        Some(row) => row.name().to_owned(),
        None => values.params.outside(set.span.source, &meant.word),
    }
}

/// The diameter of what goes through: of a bolt, or of the bolt in the ball of a rod end.
pub(super) fn pin(row: &Row) -> Option<f64> {
    ["diameter", "bore"].iter().find_map(|field| row.quantity(field)).map(|q| q.value)
}
