//! Hardware: bolts with washers and nuts, links.

use crate::bill;
use crate::bill::Hardware;
use crate::num::counted;
use crate::quantity::Units;
use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::table::Table;
use crate::solve;
use std::slice;

/// The columns of each item.
const HEADS: [&str; 6] = ["Item", "Qty", "Washers", "Nuts", "Grip", "Note"];

impl Page<'_> {
    /// The hardware of the whole job, with the parts each item is for.
    pub(super) fn hardware(&self) -> Html {
        let hardware = bill::hardware(self.job, self.solved);
        if hardware.is_empty() {
            let none = "No hardware: no hole names its bolt, nut or rod end, and there is no link.";
            return el("p").with(none).into();
        }
        let caption = "Bolt length: grip, two washers, nut and two turns of thread beyond it; \
                       washers and nuts are those of the bolts in their row; rod ends, jam nuts \
                       and bungs are those of the links";
        let heads: Vec<&str> = HEADS.into_iter().chain(["For"]).collect();
        let mut table = Table::new("hardware-table", caption, &heads);
        for item in &hardware {
            table.row(cells(item, self.job.units).into_iter().chain([item.parts.join(", ")]));
        }
        table.without_empty().html()
    }

    /// The hardware of all pieces of a part; empty if it has none.
    pub(super) fn own_hardware(&self, part: usize) -> Html {
        let solved = &self.solved[part];
        let hardware = bill::through(self.job, self.solved, slice::from_ref(solved));
        if hardware.is_empty() {
            return Html::default();
        }
        let pieces = counted(solve::pieces(self.job, solved) as usize, "piece");
        let caption = format!("Hardware for {pieces} of {}", solved.name);
        let mut table = Table::new(&format!("hardware-{}", solved.name), &caption, &HEADS);
        for item in &hardware {
            table.row(cells(item, self.job.units));
        }
        el("div").at("class", "block").with(table.without_empty().html()).into()
    }
}

/// The cells of an item, in the order of their heads.
fn cells(item: &Hardware, units: Units) -> [String; 6] {
    // A bolt is chosen by tenths of a millimetre.
    let grip = |both: [f64; 2]| {
        let [min, max] = both.map(|mm| units.taped(mm));
        if min == max { max } else { format!("{min} to {max}") }
    };
    let count = |count: u32| if count == 0 { String::new() } else { count.to_string() };
    let size = match item.length.is_empty() {
        true => item.thread.clone(),
        false => format!("{} × {}", item.thread, item.length),
    };
    [
        format!("{} {size}", item.kind.word()),
        item.quantity.to_string(),
        count(item.washers),
        count(item.nuts),
        item.grips.map_or_else(String::new, grip),
        item.remark(),
    ]
}
