//! The section of the page on tubes: their cut lengths, the work on their ends, and the wrap
//! templates.

use crate::bill;
use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::table::Table;

impl Page<'_> {
    /// The tubes of links and of the frame; empty if a job has none.
    pub(super) fn tubes(&self) -> Html {
        let tubes = bill::tubes(self.job, self.solved);
        if tubes.is_empty() {
            return Html::default();
        }
        let mut table = Table::new(
            "tube-table",
            "Tubes to cut, from long point to long point where ends are coped",
            &["Tube", "Section", "Pieces", "Cut length", "Ends"],
        );
        for tube in tubes {
            let length = self.job.units.cut_to(tube.length);
            table.row([tube.name, tube.section, tube.quantity.to_string(), length, tube.ends]);
        }
        let links = self.report.links.iter().map(|link| {
            let units = self.job.units;
            let [shortest, longest] = units.settings(link.range_mm);
            let mut words = format!(
                "{}: {} pin to pin, adjustable from {shortest} to {longest}",
                link.name,
                units.setting(link.pins_mm)
            );
            if let Some(turned) = link.turned_less() {
                let [shortest, longest] = units.settings(turned);
                words += &format!(
                    " with each end turned off its pin; by turning the tube from {shortest} to {longest}"
                );
            }
            let chosen = link.open.as_ref().map(|open| {
                let of = format!("; tube {}, chosen from {}", link.tube, open.choices);
                match open.next_lighter.as_ref().zip(open.failed_on.as_ref()) {
                    Some((lighter, why)) => format!("{of}. Next lighter, {lighter}: {why}"),
                    None => format!("{of}, the lightest"),
                }
            });
            el("li").with(words + &chosen.unwrap_or_default())
        });
        let links: Html = links.collect();
        let mut wraps = Html::default();
        for tube in &self.report.tubes {
            for end in &tube.ends {
                let words = format!("Wrap template for the {} of {}", end.end, tube.name);
                for file in end.files.iter().filter(|file| file.ends_with(".svg")) {
                    let pdf = file.replace(".svg", ".pdf");
                    let pdf =
                        self.report.files.contains(&pdf).then(|| link(&pdf, "Template 1:1, PDF"));
                    let caption = el("figcaption").with(words.as_str()).with(" ").with(pdf);
                    wraps = wraps.and(el("figure").with(self.picture(file, &words)).with(caption));
                }
            }
        }
        let mut out = table.html();
        if !links.is_empty() {
            out = out.and(of_class("ul", "plain", links));
        }
        out = out.and(self.link_loads());
        out.and(of_class("div", "wraps", wraps))
    }
}
