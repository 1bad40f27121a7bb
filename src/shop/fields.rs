//! Readers that the tables of a shop file share.

use crate::document::Fields;
use crate::document::Item;
use crate::entry;
use crate::quantity;
use crate::quantity::Reading;
use crate::table::Row;
use crate::table::Tables;

/// How to mend a dimension that cannot be one.
const MEASURED: &str = "write what you measured on the tool";

/// The tables of a list, each read to its end.
pub(super) fn all<T>(fields: &Fields, name: &str, one: impl Fn(&Fields) -> Option<T>) -> Vec<T> {
    let items = fields.list(name).iter();
    let read = |item: &Item| {
        let entry = Fields::of(item, fields.findings())?;
        let read = one(&entry);
        entry.finish();
        read
    };
    items.filter_map(read).collect()
}

/// A length of more than nothing that must be there.
pub(super) fn size(fields: &Fields, name: &str, example: &str) -> Option<f64> {
    let item = fields.need(name, example)?;
    entry::size(item, MEASURED, fields.findings())
}

/// The thickness of a sheet: a length of more than nothing, or a gauge of its metal.
pub(super) fn thickness(fields: &Fields, material: Option<&Row>, tables: &Tables) -> Option<f64> {
    let item = fields.need("thickness", "\"4 mm\"")?;
    match item.text().map(quantity::read) {
        Some(Ok(Reading::Gauge { .. })) => {
            entry::thickness(item, material, tables, fields.findings())
        }
        _ => entry::size(item, MEASURED, fields.findings()),
    }
}

/// A list of lengths of more than nothing; empty when it is left out.
pub(super) fn sizes(fields: &Fields, name: &str) -> Vec<f64> {
    let items = fields.list(name).iter();
    items.filter_map(|i| entry::size(i, MEASURED, fields.findings())).collect()
}
