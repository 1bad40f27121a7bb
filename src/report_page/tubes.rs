//! What the page says of tubes: how long they are cut, what is done to their ends, and the
//! templates that are wrapped round them.

use crate::bill;
use crate::report_page::Page;
use crate::report_page::table::Table;
use crate::report_page::worded;
use std::fmt::Write;

impl Page<'_> {
    /// The tubes of links and of the frame; nothing where a job has none.
    pub(super) fn tubes(&self) -> String {
        let tubes: Vec<_> =
            bill::link_tubes(self.job).into_iter().chain(bill::coped_tubes(self.job)).collect();
        if tubes.is_empty() {
            return String::new();
        }
        let mut table = Table::new(
            "tube-table",
            "Tubes to cut, from long point to long point where ends are coped",
            &["Tube", "Section", "Pieces", "Cut length", "Ends"],
        );
        for tube in tubes {
            // A tenth of a millimetre is what a tape and a saw can do.
            let length = self.job.units.length((tube.length * 10.0).round() / 10.0);
            table.row([tube.name, tube.section, tube.quantity.to_string(), length, tube.ends]);
        }
        let mut out = table.text();
        for link in &self.report.links {
            let [shortest, longest] = link.range_mm;
            // Writing to a string cannot fail.
            let _ = writeln!(
                out,
                "<p>{}: {} pin to pin, adjustable from {} to {}</p>",
                worded(&link.name),
                self.length(Some(link.pins_mm)),
                self.length(Some(shortest)),
                self.length(Some(longest))
            );
        }
        out.push_str("<div class=\"pictures\">\n");
        for tube in &self.report.tubes {
            for end in &tube.ends {
                let alt = format!("Wrap template for the {} of {}", end.end, tube.name);
                for file in end.files.iter().filter(|file| file.ends_with(".svg")) {
                    out.push_str(&self.picture(file, &alt));
                }
            }
        }
        out.push_str("</div>\n");
        out
    }
}
