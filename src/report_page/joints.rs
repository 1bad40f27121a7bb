//! The section of the page on the joints.

use crate::num;
use crate::report::JointRow;
use crate::report_page::Page;
use crate::report_page::bends::block;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::table::Table;

/// The caution below the tables.
const CAUTION: &str = "Lengths are nominal; holes are assumed at minimum size, coated, and at \
                       the limits of their position zones. Preload, slip, bending of the bolts and \
                       loads along them are not judged.";

impl Page<'_> {
    /// The joints; empty if a job has none.
    pub(super) fn joints(&self) -> Html {
        let rows = &self.report.joints;
        if rows.is_empty() {
            return Html::default();
        }
        let heads = &[
            "Joint",
            "Qty",
            "Bolts per joint",
            "Bolt",
            "Stack, from the head",
            "Length",
            "Screwed into",
        ];
        let mut table = Table::new("joint-table", "Bolts by joint", heads);
        for row in rows {
            table.row([
                row.name.clone(),
                row.quantity.to_string(),
                row.bolts.to_string(),
                row.bolt.clone(),
                row.stack.clone(),
                row.length_from.clone().unwrap_or_default(),
                row.thread.clone().unwrap_or_default(),
            ]);
        }
        let out = table.without_empty().html().and(self.alignment());
        rows.iter().fold(out, |out, row| out.and(words(row))).and(of_class("p", "note", CAUTION))
    }

    /// The joints of a part, with the least clearance of its holes; nothing where it is in none.
    pub(super) fn joints_of(&self, part: &str) -> Html {
        let rows = self.report.joints.iter().filter(|row| row.parts.iter().any(|of| of == part));
        let line = |row: &JointRow| {
            let margins = row.alignment.iter().map(|of| of.margin_mm);
            let least = margins.min_by(f64::total_cmp).map_or_else(String::new, |margin| {
                format!("; clearance of its holes {} in the worst case", self.room(margin))
            });
            let words = format!(": {}{least}", row.bolt);
            el("li").with(link("#joints", &row.name)).with(words)
        };
        let lines: Html = rows.map(line).collect();
        if lines.is_empty() {
            return lines;
        }
        block("Joints", of_class("ul", "plain", lines))
    }

    /// How the holes line up; empty if no joint has two plates.
    fn alignment(&self) -> Html {
        let heads = &[
            "Joint",
            "Holes",
            "and",
            "Clearance",
            "Position zones",
            "Offset as drawn",
            "Remaining clearance",
        ];
        let mut table = Table::new("joint-holes-table", "Alignment of holes, worst case", heads);
        let mut any = false;
        for row in &self.report.joints {
            for of in &row.alignment {
                any = true;
                let [one, other] = of.holes.clone();
                table.row([
                    row.name.clone(),
                    one,
                    other,
                    self.length(Some(of.clearance_mm)),
                    self.length(Some(of.zones_mm)),
                    self.length(Some(of.offset_mm)),
                    self.length(Some(of.margin_mm)),
                ]);
            }
        }
        if any { table.html() } else { Html::default() }
    }
}

/// The drilling of a joint, its bearing, and the properties not judged.
fn words(row: &JointRow) -> Html {
    let mut lines: Vec<String> = row.drilling.clone();
    lines.extend(row.bearing.iter().map(|of| {
        let allowed = of
            .allowed_mpa
            .map_or_else(String::new, |mpa| format!(", {} MPa allowed", num::text(mpa, 1)));
        format!("Bearing in the laminate {} MPa{allowed}.", num::text(of.stress_mpa, 1))
    }));
    lines.extend(
        row.not_judged.iter().map(|what| format!("Not judged: {}.", what.replace('`', ""))),
    );
    if lines.is_empty() {
        return Html::default();
    }
    let items: Html = lines.into_iter().map(|line| el("li").with(line)).collect();
    let heading = el("h3").with(format!("Joint {}", row.name));
    of_class("div", "keep", heading).with(el("ol").with(items)).into()
}
