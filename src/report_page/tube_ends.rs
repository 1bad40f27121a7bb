//! The section of the page on the ends of tubes.

use crate::job::ENDS;
use crate::report::PerDegreeRow;
use crate::report::TubeEndRow;
use crate::report_page::Page;
use crate::report_page::bends::block;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::table::Table;

/// What is done to the weld of a cap.
const GROUND: &str = "weld ground flush";

impl Page<'_> {
    /// The ends of tubes that a part belongs to, and what is to be known of it there.
    pub(super) fn tube_end_of(&self, part: &str) -> Html {
        let line = |row: &TubeEndRow| {
            let cap = row.cap.as_ref().filter(|cap| cap.part == part).map(|cap| match cap.ground {
                true => format!("cap; {GROUND}"),
                false => "cap".to_owned(),
            });
            let plates = row.cheeks.as_ref().filter(|cheeks| cheeks.part == part);
            let plates = plates.map(|cheeks| {
                let apart = cheeks.set_mm.unwrap_or(cheeks.gap_mm[1]);
                format!("plates {} apart, bare face to bare face", self.length(Some(apart)))
            });
            let tab = row.tabs.iter().find(|tab| tab.part == part).map(|_| "tab".to_owned());
            let what: Vec<String> = cap.into_iter().chain(plates).chain(tab).collect();
            let at = link("#tube-ends", &format!("{} of {}", row.end, row.tube));
            (!what.is_empty()).then(|| el("li").with(at).with(format!(": {}", what.join(", "))))
        };
        let lines: Html = self.report.tube_ends.iter().filter_map(line).collect();
        if lines.is_empty() {
            return lines;
        }
        block("Tube ends", of_class("ul", "plain", lines))
    }

    /// The ends of tubes with everything that belongs to them; empty if a job names none.
    pub(super) fn tube_ends(&self) -> Html {
        let rows = &self.report.tube_ends;
        if rows.is_empty() {
            return Html::default();
        }
        let heads = &[
            "Tube",
            "End",
            "Cap",
            "Allowance for cap",
            "Wall under cap",
            "Plate spacing",
            "Bung or stub",
        ];
        let mut table = Table::new("tube-end-table", "What belongs to each tube end", heads);
        for row in rows {
            table.row(self.cells(row));
        }
        let out = table.without_empty().html();
        rows.iter().fold(out, |out, row| out.and(self.tabs(row)))
    }

    fn cells(&self, row: &TubeEndRow) -> [String; 7] {
        let length = |mm: f64| self.length(Some(mm));
        let cap = row.cap.as_ref();
        let off = cap.map_or_else(String::new, |cap| match cap.is_inside {
            true => "none: cap inside".to_owned(),
            false => length(cap.cut_allowance_mm),
        });
        let landing = cap.and_then(|cap| cap.landing_mm);
        let landing = landing.map_or_else(String::new, |[drawn, least]| {
            format!("{}, minimum {}", length(drawn), length(least))
        });
        let cheeks = row.cheeks.as_ref().map_or_else(String::new, |cheeks| {
            let [drawn, widest] = cheeks.gap_mm.map(length);
            format!("{}: {drawn}, {widest} for the widest tube", cheeks.part)
        });
        let inside = row.inside.as_ref().map_or_else(String::new, |inside| {
            let [drawn, least] = inside.clearance_mm.map(length);
            let deep =
                inside.depth_mm.map_or_else(String::new, |mm| format!("{} deep, ", length(mm)));
            format!("{}: {deep}clearance on diameter {drawn}, minimum {least}", inside.what)
        });
        [
            row.tube.clone(),
            row.end.to_owned(),
            cap.map_or_else(String::new, |cap| match cap.ground {
                true => format!("{}, {GROUND}", cap.part),
                false => cap.part.clone(),
            }),
            off,
            landing,
            cheeks,
            inside,
        ]
    }

    /// The effect of one degree at each place of a tab.
    fn per_degree(&self, rows: &[PerDegreeRow]) -> String {
        let one = |row: &PerDegreeRow| format!("{} {}", self.shop_fine(row.off_mm), row.at);
        rows.iter().map(one).collect::<Vec<_>>().join(", ")
    }

    /// The tabs round an end, and the strip for them.
    fn tabs(&self, row: &TubeEndRow) -> Html {
        if row.tabs.is_empty() {
            return Html::default();
        }
        let heads: &[&str] = match row.end == ENDS[0] {
            true => &["Tab", "From the start of the tube", "Angle", "Level", "Error per degree"],
            false => &["Tab", "From the end of the tube", "Angle", "Level", "Error per degree"],
        };
        let caption = format!("Tabs at the {} of {}", row.end, row.tube);
        let id = format!("tabs-{}-{}", row.tube, row.end);
        let mut table = Table::new(&id, &caption, heads);
        for tab in &row.tabs {
            table.row([
                tab.part.clone(),
                self.length(Some(tab.at_mm)),
                format!("{}°", crate::num::text(tab.clock_deg, 2)),
                tab.level.to_owned(),
                self.per_degree(&tab.per_degree),
            ]);
        }
        let words = format!("Strip for the tabs at the {} of {}", row.end, row.tube);
        let pictures: Html = row
            .files
            .iter()
            .filter(|file| file.ends_with(".svg"))
            .map(|file| {
                let caption = el("figcaption").with(words.as_str());
                el("figure").with(self.picture(file, &words)).with(caption)
            })
            .collect();
        table.html().and(pictures)
    }
}
