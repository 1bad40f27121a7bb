//! What is bought and screwed: bolts with washers and nuts, links.

use crate::bill;
use crate::bill::Hardware;
use crate::quantity::Units;
use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::table::Cell;
use crate::report_page::table::Table;

/// A table of hardware with some heads.
pub(super) fn table(id: &str, caption: &str, heads: &[&'static str]) -> Table {
    Table::new(id, caption, heads)
}

/// Item, quantity, washers, nuts, grip, note of a row.
pub(super) fn cells(row: &Hardware, units: Units) -> [String; 6] {
    let length = |mm: f64| units.length(mm);
    let grip = |[min, max]: [f64; 2]| match min == max {
        true => length(max),
        false => format!("{} to {}", length(min), length(max)),
    };
    let count = |count: u32| if count == 0 { String::new() } else { count.to_string() };
    let item = match row.length.is_empty() {
        true => format!("{} {}", row.kind.word(), row.thread),
        false => format!("{} {} × {}", row.kind.word(), row.thread, row.length),
    };
    [
        item,
        row.quantity.to_string(),
        count(row.washers),
        count(row.nuts),
        row.grips.map_or_else(String::new, grip),
        row.note.clone(),
    ]
}

impl Page<'_> {
    /// The hardware of the whole job.
    pub(super) fn hardware(&self) -> Html {
        let hardware = bill::hardware(self.job, self.solved);
        if hardware.is_empty() {
            let none = "No hardware: no hole names its bolt, nut or rod end, and there is no link.";
            return el("p").with(none).into();
        }
        let mut table = table(
            "hardware-table",
            "Bolt length: grip, two washers, nut and two turns of thread beyond it; washers and nuts are those of the bolts in their row; rod ends, jam nuts and bungs are those of the links",
            &["Item", "Quantity", "Washers", "Nuts", "Grip", "Note", "For"],
        );
        for row in &hardware {
            let cells = cells(row, self.job.units).into_iter().chain([row.parts.join(", ")]);
            table.row(cells.map(Cell::from));
        }
        table.without_empty().html()
    }
}
