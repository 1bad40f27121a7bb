//! What the page says of the parts: pictures, bends, price, hardware.

use crate::job::Solved;
use crate::job::lay;
use crate::job::lists;
use crate::job::page::Page;
use crate::job::page::table::Table;
use crate::write::escaped;
use serde_json::Value;
use std::fmt::Write;

impl Page<'_> {
    pub(super) fn parts(&self) -> String {
        let rows = self.list(&self.report, "parts");
        let mut out = String::new();
        for (solved, row) in self.solved.iter().zip(rows) {
            out.push_str(&self.part(solved, row));
        }
        out
    }

    fn part(&self, solved: &Solved, row: &Value) -> String {
        let sheet = &self.job.sheets[solved.sheet];
        let (name, units) = (&solved.name, self.job.units);
        let bounds = solved.flat.region.bounds();
        let size = format!("{} × {}", units.length(bounds.width()), units.length(bounds.height()));
        let pieces = lay::pieces(self.job, solved);
        let (holes, bends) = (solved.flat.region.holes().len(), solved.part.bends.len());
        let id = format!("part-{}", escaped(name));
        let mut out = format!(
            "<article aria-labelledby=\"{id}\">\n<h3 id=\"{id}\">{}</h3>\n\
             <p>{pieces} × {} {}, {size}, {} holes, {} bends, {:.3} kg each</p>\n<div class=\"pictures\">\n",
            escaped(name),
            escaped(sheet.material.name()),
            escaped(&units.length(sheet.thickness)),
            holes,
            bends,
            row["mass_kg"].as_f64().unwrap_or(0.0)
        );
        let alt = format!("Flat of {name}: {size}, {holes} holes, {bends} bends");
        out.push_str(&self.flat(solved, &alt));
        if bends > 0 {
            let alt = format!("{name} folded, seen from a corner");
            out.push_str(&self.picture(&format!("folded/{name}.svg"), &alt));
        }
        out.push_str("</div>\n");
        if bends > 0 {
            let mut table = Table::new(
                &format!("bends-of-{name}"),
                &format!("Bends of {name}"),
                &["Bend", "Direction", "Turn", "Inside radius", "Order", "Tool"],
            );
            let mut bends: Vec<&Value> = self.list(row, "bends").iter().collect();
            bends.sort_by_key(|bend| bend["made"]["order"].as_u64());
            for bend in bends {
                let text = |key: &str| bend[key].as_str().unwrap_or_default().to_owned();
                let made = &bend["made"];
                table.row([
                    text("name"),
                    text("direction"),
                    format!("{}°", bend["turn_deg"].as_f64().unwrap_or(0.0)),
                    self.length(bend.get("inside_radius_mm")),
                    made["order"].as_u64().map_or_else(String::new, |n| n.to_string()),
                    made["tool"].as_str().unwrap_or_default().to_owned(),
                ]);
            }
            out.push_str(&table.text());
        }
        for later in self.list(row, "later") {
            let text = |key: &str| escaped(later[key].as_str().unwrap_or_default());
            let _ = writeln!(
                out,
                "<p>Later: {} hole {} from {} to {}</p>",
                text("made"),
                text("hole"),
                self.length(later.get("pilot_mm")),
                self.length(later.get("diameter_mm"))
            );
        }
        out.push_str("</article>\n");
        out
    }

    pub(super) fn cost(&self) -> String {
        let Some(rates) = self.job.rates() else {
            return "<p>The shop file names no rates, so nothing is priced.</p>\n".into();
        };
        let currency = &rates.currency;
        let mut table = Table::new(
            "cost-table",
            &format!(
                "Minutes and price of one piece, and of all, in {currency}; what has no rate is left empty"
            ),
            &["Part", "Pieces", "Cutting, min", "Hands, min", "Metal", "Each", "All"],
        );
        let text = |x: Option<f64>| x.map_or_else(String::new, |x| format!("{x:.2}"));
        let mut sum = Some(0.0);
        for solved in self.solved {
            let price = lists::price(self.job, solved);
            let pieces = lay::pieces(self.job, solved);
            let all = price.each().map(|each| each * f64::from(pieces));
            sum = sum.zip(all).map(|(sum, all)| sum + all);
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
        table.row(["All parts".into(), none(), none(), none(), none(), none(), text(sum)]);
        let note = "<p>Metal is that of the flats; what is left of the sheets, setting up and carriage are not in it.</p>\n";
        table.text() + note
    }

    pub(super) fn hardware(&self) -> String {
        let hardware = lists::hardware(self.job, self.solved);
        if hardware.is_empty() {
            return "<p>No hole of these parts says what goes through it, and there is no link.</p>\n".into();
        }
        let mut table = Table::new(
            "hardware-table",
            "Bolts by grip, two washers, nut and two turns of thread beyond it; rod ends, jam nuts and bungs of the links",
            &["Thread and length", "Quantity", "Washers", "Nuts", "Grip", "For", "Note"],
        );
        for row in hardware {
            let size = match row.length.is_empty() {
                true => format!("{} {}", row.kind, row.thread),
                false => format!("{} {} × {}", row.kind, row.thread, row.length),
            };
            table.row([
                size,
                row.quantity.to_string(),
                row.washers.to_string(),
                row.nuts.to_string(),
                row.grip.map_or_else(String::new, |mm| self.job.units.length(mm)),
                row.parts.join(", "),
                row.note,
            ]);
        }
        table.text()
    }
}
