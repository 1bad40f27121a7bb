//! What the page says of the sheets: how full each is, with a picture, and each kind in all.

use crate::report_page::Page;
use crate::report_page::counted;
use crate::report_page::table::Table;
use crate::write::escaped;
use std::fmt::Write;

impl Page<'_> {
    pub(super) fn sheets(&self) -> String {
        let mut table = Table::new(
            "sheet-table",
            "Sheets: used length, how much of it the outlines of the parts fill, the upper bound of \
             that with these parts, and the largest rectangular remnant",
            &[
                "Sheet",
                "Size",
                "Used length",
                "Filled",
                "Upper bound",
                "Remnant",
                "Cut length",
                "Pierces",
                "Min. gap",
            ],
        );
        let mut pictures = String::new();
        for sheet in &self.report.sheets {
            let file = &sheet.file;
            let name = file.trim_start_matches("sheets/").trim_end_matches(".dxf");
            let both = |[long, wide]: [f64; 2]| {
                let (long, wide) = (self.length(Some(long)), self.length(Some(wide)));
                // The unit once: `480 × 330 mm`.
                let long = long.split(' ').next().unwrap_or_default();
                format!("{long} × {wide}")
            };
            let size = both(sheet.size_mm);
            // The share of the used length, and the bound beside it.
            let used = &sheet.used;
            table.row([
                name.to_owned(),
                size.clone(),
                self.length(Some(used.length_mm)),
                format!("{:.1} %", used.gross_percent),
                format!("{:.1} %", used.upper_bound_percent),
                sheet.remnant_mm.map_or_else(|| "–".to_owned(), both),
                self.long(sheet.cut_length_mm),
                sheet.pierces.to_string(),
                self.length(sheet.min_gap_mm),
            ]);
            let pieces = sheet.placed.len();
            let alt = format!("Sheet {name}, {size}, with {pieces} pieces on it");
            // The cut file, where there is no picture of the sheet.
            let [picture, plain] = ["-picture.svg", ".svg"].map(|end| file.replace(".dxf", end));
            let has = self.files.iter().any(|file| file.name == picture);
            let svg = if has { picture } else { plain };
            let _ = write!(
                pictures,
                "<figure class=\"sheet\">\n{}<figcaption>{}</figcaption>\n</figure>\n",
                self.picture(&svg, &alt),
                escaped(&alt)
            );
        }
        table.text() + &self.kinds() + &pictures
    }

    /// The distances that are kept on a kind of sheet.
    fn kept(&self, stock: &str) -> String {
        let Some(sheet) = self.report.sheets.iter().find(|sheet| sheet.stock == stock) else {
            return String::new();
        };
        let (gap, margin) = (self.length(Some(sheet.gap_mm)), self.length(Some(sheet.margin_mm)));
        let cut_outs = sheet.cut_out_gap_mm.map_or_else(String::new, |gap| {
            format!(", {} to the edge of a cut-out", self.length(Some(gap)))
        });
        format!("; kept: {gap} between parts, {margin} to the sheet edge{cut_outs}")
    }

    /// How each kind of sheet was nested.
    fn kinds(&self) -> String {
        let mut kinds = String::from("<ul>\n");
        for nest in &self.report.nests {
            if nest.sheets == 0 {
                continue;
            }
            let min =
                nest.min_sheets.map_or_else(String::new, |n| format!(", at least {n} needed"));
            let _ = writeln!(
                kinds,
                "<li>{}: {}{min}; {:.1} % filled, upper bound {:.1} %{}</li>",
                escaped(&nest.sheet),
                counted(nest.sheets, "sheet"),
                nest.gross_percent,
                nest.upper_bound_percent,
                self.kept(&nest.sheet),
            );
        }
        kinds.push_str("</ul>\n");
        kinds
    }
}
