//! What the shop has, to read.

use crate::cli::listing::aligned;
use crate::cli::shelf::shown;
use platewright::book::Entry;
use platewright::num;
use std::path::Path;

/// All entries in columns.
pub(super) fn text(path: &Path, entries: &[Entry]) -> String {
    if entries.is_empty() {
        return format!(
            "the book {} has no sheets: add some with `platewright stock add`\n",
            shown(path)
        );
    }
    let head = ["no.", "sheet", "size", "qty", "price", "kind", "name", "from"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(entries.iter().map(|entry| cells(entry).to_vec()));
    aligned(&rows)
}

fn cells(entry: &Entry) -> [String; 8] {
    let price = price(entry);
    let text = |text: &str| if text.is_empty() { "-".to_owned() } else { text.to_owned() };
    let shape = if entry.corners.is_rectangle() { "" } else { " overall" };
    [
        entry.id.unwrap_or_default().to_string(),
        entry.kind(),
        format!("{}{shape}", entry.size()),
        entry.quantity.to_string(),
        text(price.as_deref().unwrap_or_default()),
        if entry.remnant { "remnant" } else { "whole" }.to_owned(),
        text(&entry.name),
        text(&entry.from),
    ]
}

/// What one costs, where that is known: `58.00 EUR`.
pub(super) fn price(entry: &Entry) -> Option<String> {
    Some(num::money(entry.price?, &entry.currency))
}

/// One entry in a line.
pub(super) fn line(entry: &Entry) -> String {
    let kind = if entry.remnant { "remnant" } else { "whole sheet" };
    let count = entry.quantity;
    format!(
        "no. {}: {}, {}, {kind}, {count} in stock",
        entry.id.unwrap_or_default(),
        entry.kind(),
        entry.size()
    )
}
