//! The sheets as pictures whose pieces lead to the cards of their parts, and as a table.

mod picture;

use crate::num::counted;
use crate::place::NestedSheet;
use crate::report::NestRow;
use crate::report::SheetRow;
use crate::report_page::Page;
use crate::report_page::figures::percent;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::laid::Piece;
use crate::report_page::laid::pieces;
use crate::report_page::table::Table;
use rayon::prelude::*;

/// Files of a sheet by their suffix, and the texts of their links.
const FILES: [(&str, &str); 3] =
    [("-picture.pdf", "Picture, PDF"), (".dxf", "DXF"), (".svg", "SVG")];

impl Page<'_> {
    /// The pictures of all sheets.
    pub(super) fn sheet_figures(&self) -> Html {
        let sheets = self.report.sheets.par_iter().zip(self.nested).enumerate().with_max_len(1);
        let figures: Vec<El> =
            sheets.map(|(i, (row, nested))| self.figure_of(i, row, nested)).collect();
        let figures: Html = figures.into_iter().collect();
        let tabs = el("div").at("id", "tabs").at("role", "tablist").at("aria-label", "Sheets");
        let words = |id: &'static str, words: &'static str| {
            el("button").at("type", "button").at("id", id).with(words)
        };
        let under = el("div").at("id", "under").flag("hidden");
        let under = under.with(words("whole", "Whole sheet")).with(words("out", "Smaller"));
        let under = under.with(words("in", "Larger")).with(el("output").at("id", "where"));
        Html::from(tabs.flag("hidden")).and(figures).and(under)
    }

    fn figure_of(&self, index: usize, row: &SheetRow, nested: &NestedSheet) -> El {
        let name = super::sheet_name(row);
        let pieces = pieces(nested, row);
        let svg = self.sheet_picture(index, row, nested, &self.laid[index]);
        let (size, count) = (self.both(row.size_mm), counted(pieces.len(), "piece"));
        let label = format!("Sheet {name}, {size}, with {count} on it");
        let stage = el("div").at("class", "stage").at("role", "group").at("aria-label", &label);
        let figure = el("figure").at("class", "sheet").at("id", format_args!("sheet-{index}"));
        let figure = figure.at("data-name", name);
        let figure =
            figure.at("data-note", format_args!("{} · {count}", percent(row.used.gross_percent)));
        let figure = figure.with(stage.with(svg)).with(self.sheet_caption(row));
        let kept: Vec<&str> = nested.keep_outs(self.job).map(|(_, name)| name).collect();
        figure.with(legend(name, &pieces, &kept))
    }

    fn sheet_caption(&self, row: &SheetRow) -> El {
        let mut facts = vec![format!("{}, {}", row.stock, self.both(row.size_mm))];
        facts.extend(row.remnant_used.as_ref().map(|name| format!("remnant “{name}”")));
        facts.push(counted(row.placed.len(), "piece"));
        facts.push(format!(
            "{} of the used {} filled, upper bound {}",
            percent(row.used.gross_percent),
            self.shop(row.used.length_mm),
            percent(row.used.upper_bound_percent)
        ));
        facts.push(format!(
            "cut {}, {}",
            self.long(row.cut_length_mm),
            counted(row.pierces, "pierce")
        ));
        let [gap, margin] = [row.gap_mm, row.margin_mm].map(|mm| self.shop_fine(mm));
        facts.push(format!("gap {gap}, margin {margin}"));
        let spans: Html = facts.into_iter().map(|fact| el("span").with(fact)).collect();
        let stem = row.file.trim_end_matches(".dxf");
        let files = FILES.map(|(ending, words)| (format!("{stem}{ending}"), words));
        let files = files.iter().filter(|(file, _)| self.report.files.contains(file));
        let files: Html = files.map(|(file, words)| link(file, words)).collect();
        el("figcaption").with(el("b").with(super::sheet_name(row))).with(spans).with(files)
    }

    /// A table of the sheets, and what each kind keeps.
    pub(super) fn sheet_table(&self) -> Html {
        let mut table = Table::new(
            "sheet-table",
            "Sheets: used length, the percentage of it filled by the outlines of the parts, the upper \
             bound of that percentage, and the largest rectangular remnant",
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
        for row in &self.report.sheets {
            let used = &row.used;
            table.row([
                super::sheet_name(row).to_owned(),
                self.both(row.size_mm),
                self.shop(used.length_mm),
                percent(used.gross_percent),
                percent(used.upper_bound_percent),
                row.remnant_words(self.job.units),
                self.long(row.cut_length_mm),
                row.pierces.to_string(),
                row.min_gap_mm.map_or_else(String::new, |gap| self.rounded_down(gap, 2)),
            ]);
        }
        table.html().and(self.kinds())
    }

    /// The distances that are kept on a kind of sheet.
    fn kept(&self, stock: &str) -> String {
        let Some(sheet) = self.report.sheets.iter().find(|sheet| sheet.stock == stock) else {
            return String::new();
        };
        let (gap, margin) = (self.shop_fine(sheet.gap_mm), self.shop_fine(sheet.margin_mm));
        let cut_outs = sheet.cut_out_gap_mm.map_or_else(String::new, |gap| {
            format!(", {} to the edge of a cut-out", self.shop_fine(gap))
        });
        format!("; distances: {gap} between parts, {margin} to the sheet edge{cut_outs}")
    }

    /// How each kind of sheet was nested.
    fn kinds(&self) -> Html {
        let item = |nest: &NestRow| {
            let min =
                nest.min_sheets.map_or_else(String::new, |n| format!(", at least {n} needed"));
            // For a single sheet the table shows how full it is.
            let filled = match nest.sheets {
                1 => String::new(),
                _ => format!(
                    "; together {} filled, upper bound {}",
                    percent(nest.gross_percent),
                    percent(nest.upper_bound_percent)
                ),
            };
            let sheets = counted(nest.sheets, "sheet");
            let kept = self.kept(&nest.sheet);
            el("li").with(format!("{}: {sheets}{min}{filled}{kept}", nest.sheet))
        };
        let kinds: Html = self.report.nests.iter().filter(|n| n.sheets > 0).map(item).collect();
        of_class("ul", "plain", kinds).into()
    }

    /// The remnants as lines to paste into the stock of a later job.
    pub(super) fn remnants(&self) -> Html {
        let mut out = Html::default();
        for (i, nest) in self.report.nests.iter().enumerate() {
            let of_kind = self.report.sheets.iter().filter(|sheet| sheet.stock == nest.sheet);
            let lines: Vec<&str> = of_kind.filter_map(|s| s.remnant_stock.as_deref()).collect();
            if lines.is_empty() {
                continue;
            }
            let id = format!("remnant-{i}");
            let heading = Html::from("For the stock of ").and(nest.sheet.as_str());
            let copy = el("button").at("type", "button").at("data-copy", &id).flag("hidden");
            let copy = copy.at("aria-label", format_args!("Copy the remnants of {}", nest.sheet));
            let text = lines.iter().map(|line| format!("  {line},\n")).collect::<String>();
            let pre = el("pre").at("id", &id).at("tabindex", 0).at("role", "region");
            let pre = pre.at("aria-label", format_args!("Remnants of {}", nest.sheet));
            let block = of_class("div", "remnants", el("h3").with(heading));
            out = out.and(
                block.with(pre.with(el("code").with(Html::lines(&text)))).with(copy.with("Copy")),
            );
        }
        out
    }
}

/// The parts by their numbers with their counts here; and the hatched areas.
fn legend(sheet: &str, pieces: &[Piece], kept: &[&str]) -> El {
    let mut parts: Vec<(&Piece, usize)> = Vec::new();
    for piece in pieces {
        match parts.iter_mut().find(|(first, _)| first.part == piece.part) {
            Some((_, count)) => *count += 1,
            None => parts.push((piece, 1)),
        }
    }
    parts.sort_by_key(|(piece, _)| piece.number);
    let item = |(piece, count): (&Piece, usize)| {
        let name = &piece.row.part;
        let item = el("li").at("data-p", piece.part).with(format!("{} ", piece.number));
        item.with(link(format_args!("#part-{name}"), name)).with(format!(" × {count}"))
    };
    let items: Html = parts.into_iter().map(item).collect();
    let hatched = format!("hatched: {}", kept.join(", "));
    let hatched = (!kept.is_empty()).then(|| el("li").with(hatched));
    let items = items.and(hatched);
    let label = format!("Parts on {sheet}, by their numbers in the order in which they are cut");
    el("ul").at("class", "legend").at("aria-label", label).with(items)
}
