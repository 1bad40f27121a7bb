//! What the page says of the sheets: how full each is, with a picture, and each kind in all.

use crate::report_page::Page;
use crate::report_page::counted;
use crate::report_page::table::Table;
use crate::write::escaped;
use serde_json::Value;
use std::fmt::Write;

impl Page<'_> {
    pub(super) fn sheets(&self) -> String {
        let mut table = Table::new(
            "sheet-table",
            "Sheets: share of the used length within the outlines of parts, its upper bound with \
             these parts, and the largest rectangular remnant",
            &[
                "Sheet",
                "Size",
                "Length used",
                "Used",
                "Upper bound",
                "Remnant",
                "Cut length",
                "Pierces",
                "Min. gap",
            ],
        );
        let mut pictures = String::new();
        for sheet in self.list(&self.report, "sheets") {
            let file = sheet["file"].as_str().unwrap_or_default();
            let name = file.trim_start_matches("sheets/").trim_end_matches(".dxf");
            let both = |size: &Value| {
                let (long, wide) = (self.length(size.get(0)), self.length(size.get(1)));
                // The unit once: `480 × 330 mm`.
                let long = long.split(' ').next().unwrap_or_default();
                format!("{long} × {wide}")
            };
            let size = both(&sheet["size_mm"]);
            // The share of the used length where that is known, and the bound beside it.
            let used = sheet.get("used");
            let percent = |value: Option<&Value>| {
                value
                    .and_then(Value::as_f64)
                    .map_or_else(|| "–".to_owned(), |p| format!("{p:.1} %"))
            };
            let share = used.map_or(sheet.get("yield_percent"), |used| used.get("gross_percent"));
            table.row([
                name.to_owned(),
                size.clone(),
                self.length(used.and_then(|used| used.get("length_mm"))),
                percent(share),
                percent(used.and_then(|used| used.get("upper_bound_percent"))),
                sheet.get("remnant_mm").map_or_else(|| "–".to_owned(), both),
                self.long(sheet["cut_length_mm"].as_f64().unwrap_or(0.0)),
                sheet["pierces"].to_string(),
                self.length(sheet.get("min_gap_mm")),
            ]);
            let pieces = self.list(sheet, "placed").len();
            let alt = format!("Sheet {name}, {size}, with {pieces} pieces on it");
            let svg = file.replace(".dxf", ".svg");
            let _ = write!(
                pictures,
                "<figure class=\"sheet\">\n{}<figcaption>{}</figcaption>\n</figure>\n",
                self.picture(&svg, &alt),
                escaped(&alt)
            );
        }
        table.text() + &self.kinds() + &pictures
    }

    /// How each kind of sheet was nested.
    fn kinds(&self) -> String {
        let mut kinds = String::from("<ul>\n");
        for nest in self.list(&self.report, "nests") {
            let used = nest["sheets"].as_u64().unwrap_or(0);
            if used == 0 {
                continue;
            }
            let least = nest["min_sheets"].as_u64();
            let least = least.map_or_else(String::new, |n| format!(", at least {n} needed"));
            let percent = |key: &str| nest[key].as_f64().unwrap_or(0.0);
            let _ = writeln!(
                kinds,
                "<li>{}: {}{least}; {:.1} % used in total, upper bound {:.1} %</li>",
                escaped(nest["sheet"].as_str().unwrap_or_default()),
                counted(used as usize, "sheet"),
                percent("gross_percent"),
                percent("upper_bound_percent"),
            );
        }
        kinds.push_str("</ul>\n");
        kinds
    }
}
