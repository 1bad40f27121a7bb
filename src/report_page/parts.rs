//! What the page says of the parts: pictures, bends, price, hardware.

use crate::bill;
use crate::draw;
use crate::num;
use crate::report::BendRow;
use crate::report::PartRow;
use crate::report_page::Page;
use crate::report_page::counted;
use crate::report_page::table::Table;
use crate::solve;
use crate::solve::Solved;
use crate::write::escaped;
use std::fmt::Write;

impl Page<'_> {
    pub(super) fn parts(&self) -> String {
        let mut out = String::new();
        for (solved, row) in self.solved.iter().zip(&self.report.parts) {
            out.push_str(&self.part(solved, row));
        }
        out
    }

    fn part(&self, solved: &Solved, row: &PartRow) -> String {
        let sheet = &self.job.sheets[solved.sheet];
        let (name, units) = (&solved.name, self.job.units);
        let bounds = solved.flat.region.bounds();
        let size = format!("{} × {}", units.length(bounds.width()), units.length(bounds.height()));
        let pieces = solve::pieces(self.job, solved);
        let (holes, bends) = (solved.flat.region.holes().len(), solved.part.bends.len());
        let id = format!("part-{}", escaped(name));
        // A part with a table or two pictures takes the whole width.
        let wide = if bends > 0 { " class=\"wide\"" } else { "" };
        let features: String = [(holes, "hole"), (bends, "bend")]
            .into_iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, what)| format!(", {}", counted(count, what)))
            .collect();
        let mut out = format!(
            "<article{wide} aria-labelledby=\"{id}\">\n<h3 id=\"{id}\">{}</h3>\n\
             <p>{pieces} × {} {}, {size}{features}, {} each</p>\n<div class=\"pictures\">\n",
            escaped(name),
            escaped(sheet.material.name()),
            escaped(&units.length(sheet.thickness)),
            self.mass(row.mass_kg, 3)
        );
        let alt = format!("Flat of {name}: {size}{features}");
        out.push_str(&self.flat(solved, &alt));
        if bends > 0 {
            let alt = format!("{name} formed, isometric view");
            out.push_str(&self.picture(&format!("folded/{name}.svg"), &alt));
        }
        out.push_str("</div>\n");
        if bends > 0 {
            out.push_str(&self.bends(name, row));
        }
        for hole in solved.part.faces.iter().flat_map(|face| &face.holes) {
            let finishing = draw::finishing(hole, &|mm| units.length(mm));
            let Some(after) = finishing.after() else { continue };
            let steps = escaped(&format!("{}, {after}", finishing.as_cut));
            let name = escaped(&hole.name);
            let _ = writeln!(out, "<p>Hole {name}: {steps}</p>");
        }
        out.push_str("</article>\n");
        out
    }

    /// The bends of a part in the order of making.
    fn bends(&self, name: &str, row: &PartRow) -> String {
        let mut table = Table::new(
            &format!("bends-of-{name}"),
            &format!("Bends of {name}"),
            &[
                "Bend",
                "Direction",
                "Angle",
                "Inside radius",
                "Sequence",
                "Tool",
                "Tool sections",
                "Clearance",
            ],
        );
        let units = self.job.units;
        let mut bends: Vec<&BendRow> = row.bends.iter().collect();
        let sequence = |bend: &BendRow| {
            let made = bend.made.as_ref().map(|made| made.sequence);
            made.or_else(|| bend.formed.as_ref()?.sequence)
        };
        bends.sort_by_key(|bend| sequence(bend));
        for bend in bends {
            let made = bend.made.as_ref();
            let formed = || bend.formed.as_ref()?.tool.clone();
            table.row([
                bend.name.clone(),
                bend.direction.word().to_owned(),
                format!("{}°", num::text(bend.angle_deg, 1)),
                self.length(Some(bend.inside_radius_mm)),
                sequence(bend).map_or_else(String::new, |number| number.to_string()),
                made.map(|made| made.tool.clone()).or_else(formed).unwrap_or_default(),
                made.map_or_else(String::new, |made| made.sections(units)),
                made.map_or_else(String::new, |made| made.clearance(units)),
            ]);
        }
        table.without_empty().text()
    }

    pub(super) fn cost(&self) -> String {
        let Some(rates) = self.job.rates() else {
            return "<p>No prices: the shop file gives no rates.</p>\n".into();
        };
        let currency = &rates.currency;
        let mut table = Table::new(
            "cost-table",
            &format!(
                "Minutes and price per piece and in total, in {currency}; empty where there is no rate"
            ),
            &["Part", "Pieces", "Cutting, min", "Labour, min", "Material", "Each", "Total"],
        );
        let text = |x: Option<f64>| x.map_or_else(String::new, |x| format!("{x:.2}"));
        let mut minutes = [Some(0.0); 2];
        for solved in self.solved {
            let price = bill::price(self.job, solved);
            let pieces = solve::pieces(self.job, solved);
            let all = price.each().map(|each| each * f64::from(pieces));
            let each = [price.cutting_minutes, price.hand_minutes];
            for (sum, each) in minutes.iter_mut().zip(each) {
                *sum = sum.zip(each).map(|(sum, each)| sum + each * f64::from(pieces));
            }
            table.row([
                solved.name.clone(),
                pieces.to_string(),
                text(price.cutting_minutes),
                text(price.hand_minutes),
                text(price.metal),
                text(price.each()),
                text(all),
            ]);
        }
        let none = String::new;
        let [cutting, labour] = minutes.map(text);
        let all = text(self.price_of_all());
        table.row(["All pieces".into(), none(), cutting, labour, none(), none(), all]);
        let note = "<p>Material is that of the blanks; remnants, setup and carriage are not included.</p>\n";
        table.text() + note
    }

    /// The price of all pieces; none when a rate is missing.
    pub(super) fn price_of_all(&self) -> Option<f64> {
        self.job.rates()?;
        let all = |solved: &Solved| {
            let each = bill::price(self.job, solved).each()?;
            Some(each * f64::from(solve::pieces(self.job, solved)))
        };
        self.solved.iter().map(all).sum()
    }

    pub(super) fn hardware(&self) -> String {
        let hardware = bill::hardware(self.job, self.solved);
        if hardware.is_empty() {
            return "<p>No hardware: no hole names its bolt, nut or rod end, and there is no link.</p>\n".into();
        }
        let mut table = Table::new(
            "hardware-table",
            "Bolt length: grip, two washers, nut and two turns of thread beyond it; washers and nuts are those of the bolts in their row; rod ends, jam nuts and bungs are those of the links",
            &["Item", "Quantity", "Washers", "Nuts", "Grip", "For", "Note"],
        );
        let length = |mm: f64| self.job.units.length(mm);
        let grip = |[min, max]: [f64; 2]| match min == max {
            true => length(max),
            false => format!("{} to {}", length(min), length(max)),
        };
        let count = |count: u32| if count == 0 { String::new() } else { count.to_string() };
        for row in hardware {
            let size = match row.length.is_empty() {
                true => format!("{} {}", row.kind.word(), row.thread),
                false => format!("{} {} × {}", row.kind.word(), row.thread, row.length),
            };
            table.row([
                size,
                row.quantity.to_string(),
                count(row.washers),
                count(row.nuts),
                row.grips.map_or_else(String::new, grip),
                row.parts.join(", "),
                row.note,
            ]);
        }
        table.text()
    }
}
