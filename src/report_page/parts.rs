//! The table of all parts, beside the sheets: a row and its pieces light each other.

use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::shapes;
use crate::report_page::state::State;
use crate::report_page::table::Cell;
use crate::report_page::table::Table;

impl Page<'_> {
    /// The filters, which need the script, and the table.
    pub(super) fn part_table(&self) -> Html {
        let prices = self.job.rates().map_or_else(String::new, |rates| {
            format!("; prices of all pieces of a part, {}", rates.currency)
        });
        let mut table = Table::new(
            "part-table",
            &format!("All parts; click a name to open its card{prices}"),
            &["Part", "Qty", "Sheet", "Blank", "Bends", "Price", "Checks"],
        )
        .of("parts");
        for (part, row) in self.report.parts.iter().enumerate() {
            let [width, height] = row.size_mm;
            let checked = self.checked(part);
            let name = shapes::mini(part, &self.shapes[part]);
            let name = name.and(link(format_args!("#part-{}", row.name), &row.name));
            let bends =
                if row.bends.is_empty() { String::new() } else { row.bends.len().to_string() };
            let price = self.price_of(part);
            table.marked(
                vec![
                    ("data-p", part.to_string()),
                    ("data-sheet", row.sheet.clone()),
                    ("data-kinds", self.kinds_of(part)),
                    ("data-words", row.recipe.clone()),
                ],
                vec![
                    Cell::html(name),
                    Cell::from(row.pieces.to_string()).labelled("Qty"),
                    row.sheet.clone().into(),
                    Cell::html(format!("{} × {}", self.figure(width, 1), self.figure(height, 1)))
                        .sorted(row.area_mm2)
                        .figures(),
                    Cell::from(bends).labelled("Bends"),
                    Cell::from(price.map_or_else(String::new, |p| format!("{p:.2}")))
                        .labelled("Price"),
                    Cell::html(checked.html(&checked.words())).sorted(checked.state.rank() as f64),
                ],
            );
        }
        self.filters().and(table.without_empty().html())
    }

    fn filters(&self) -> Html {
        let option = |value: &str, words: &str| el("option").at("value", value).with(words);
        let mut options = vec![option("", "All parts")];
        for sheet in &self.job.sheets {
            if self.report.parts.iter().any(|part| part.sheet == sheet.name) {
                options.push(option(&format!("sheet:{}", sheet.name), &sheet.name));
            }
        }
        let kinds = [("bent", "Bent"), ("loaded", "With loads"), ("found", "With findings")];
        options.extend(kinds.map(|(value, words)| option(value, words)));
        let find =
            el("input").at("type", "search").at("id", "find").at("placeholder", "Find a part");
        let find = find.at("aria-label", "Find a part").at("autocomplete", "off");
        let only = el("select").at("id", "only").at("aria-label", "Show");
        el("div")
            .at("id", "filters")
            .flag("hidden")
            .with(find)
            .with(only.with(options.into_iter().collect::<Html>()))
            .with(el("output").at("id", "count"))
            .into()
    }

    /// The keys by which the filters find a row.
    fn kinds_of(&self, part: usize) -> String {
        let row = &self.report.parts[part];
        let mut loads = self.report.strength.iter().flat_map(|strength| &strength.loads);
        let loaded = loads.any(|load| load.part == row.name);
        let found = self.checked(part).state != State::Clear;
        [(!row.bends.is_empty(), "bent"), (loaded, "loaded"), (found, "found")]
            .into_iter()
            .filter_map(|(is, word)| is.then_some(word))
            .collect::<Vec<_>>()
            .join(" ")
    }
}
