//! The section of the page on the machine: its picture, and the clearances between its bodies.

use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::table::Cell;
use crate::report_page::table::Table;

/// The drawing of the machine.
const DRAWING: [&str; 2] = ["drawings/machine.svg", "drawings/machine.pdf"];

/// The caution below the table.
const CAUTION: &str = "Distances between the bodies that the job names, never overstated. \
                       Play, deflection, bolt heads and welds are not included: this does not prove \
                       that a machine is clear.";

impl Page<'_> {
    /// The machine; empty if a job has none.
    pub(super) fn machine(&self) -> Html {
        let rows = &self.report.clearances;
        let [svg, pdf] = DRAWING;
        let has = |name: &str| self.files.iter().any(|file| file.name == name);
        let mut out = Html::default();
        if has(svg) {
            let words = "The machine in three views";
            let pdf = has(pdf).then(|| link(pdf, "Drawing, PDF"));
            let caption = el("figcaption").with(words).with(" ").with(pdf);
            let figure = of_class("figure", "whole", self.picture(svg, words));
            out = out.and(figure.with(caption));
        }
        let bolted = &self.report.bolted_together;
        if rows.is_empty() && bolted.is_empty() {
            return out;
        }
        let heads = &["Between", "and", "Clearance", "Required", "Result"];
        let mut table = Table::new("clearance-table", "Smallest clearances, tightest first", heads);
        for row in rows {
            let [one, other] = row.between.clone();
            let left = self.length(Some(self.job.units.clearance(row.distance_mm)));
            let result = match (row.is_short, row.distance_mm > 0.0) {
                (true, true) => "too close",
                (true, false) => "contact",
                (false, _) => "clear",
            };
            let [one, other] = [one, other].map(|body| Cell::html(Html::worded(&body)));
            let needed = self.length(Some(row.needed_mm));
            table.row([one, other, left.into(), needed.into(), result.to_owned().into()]);
        }
        for row in bolted {
            let [one, other] = row.between.clone().map(|body| Cell::html(Html::worded(&body)));
            let words = format!("checked as joint {}", row.joint);
            table.row([one, other, Cell::default(), Cell::default(), words.into()]);
        }
        out.and(table.html()).and(of_class("p", "note", CAUTION))
    }
}
