//! The settings of a job for all its parts: units, process, shop, limits.

use crate::check::Limits;
use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::job::asked::Shelf;
use crate::job::bridges::Bridges;
use crate::job::placing::CutOuts;
use crate::job::titled::Titled;
use crate::paper::Format;
use crate::quantity::Dimension;
use crate::quantity::Units;
use crate::shop;
use crate::shop::Shop;
use crate::table::Row;
use crate::table::Table;
use crate::table::Tables;
use std::sync::Arc;

/// The keys at the top of a job. Those left out are `None`.
pub(super) struct Settings {
    pub(super) units: Units,
    pub(super) paper: Option<Format>,
    pub(super) process: Option<Arc<Row>>,
    pub(super) shop: Option<Arc<Shop>>,
    pub(super) gap: Option<f64>,
    pub(super) margin: Option<f64>,
    pub(super) min_remnant: Option<f64>,
    /// Film, mm.
    pub(super) coating: f64,
    pub(super) limits: Limits,
    pub(super) bridges: Option<Bridges>,
    pub(super) common_cuts: Option<Span>,
    pub(super) repeat_layouts: Option<f64>,
    pub(super) heat_spacing: Option<f64>,
    pub(super) bend_ticks: Option<bool>,
    pub(super) etch_names: bool,
    pub(super) bench_list: bool,
    pub(super) cut_outs: Option<CutOuts>,
    pub(super) titled: Titled,
}

impl Settings {
    /// The findings, in the units of the job.
    pub(super) fn converted(&self, findings: Findings) -> Vec<Finding> {
        findings.take().into_iter().map(|finding| self.units.convert(finding)).collect()
    }

    pub(super) fn read(fields: &Fields, shelf: &Shelf, sources: &mut Sources) -> Self {
        let (findings, tables) = (fields.findings(), shelf.tables);
        // The names are replaced already.
        fields.get("names");
        let units = units(fields);
        let paper = paper(fields, units);
        let process = fields.need("process", "\"waterjet\"");
        let process = process.and_then(|i| entry::row(i, "process", tables, findings));
        let shop = fields.get("shop").and_then(|i| shop(i, shelf, sources, findings));
        let process = process.map(|row| shop.as_deref().map_or(row.clone(), |s| own(&row, s)));
        let length = |name: &str| fields.get(name).and_then(|i| entry::length(i, findings));
        let (gap, margin) = (length("gap"), length("margin"));
        let min_remnant = length("min_remnant");
        let coating = fields.get("coating").and_then(|i| entry::coating(i, tables, findings));
        let coating = coating.or(shop.as_deref().and_then(|shop| shop.coating));
        let films = coating.and_then(|coating| coating.films);
        let limits = limits(fields, process.as_deref(), shop.as_deref());
        let oven = limits.oven.filter(|_| !coating.is_some_and(|coating| coating.no_oven));
        let largest = coating.and_then(|coating| coating.largest);
        let limits = Limits { films, oven, largest, ..limits };
        wider_than_kerf(fields, process.as_deref(), units);
        let bridges = fields.get("bridges").and_then(|i| Bridges::read(i, fields));
        let common_cuts = common_cuts(fields);
        let bend_ticks = fields.get("bend_ticks").map(|_| fields.flag("bend_ticks"));
        let cut_outs = fields.get("cutouts").and_then(|i| cut_outs(i, findings));
        Self {
            units,
            paper,
            process,
            shop,
            gap,
            margin,
            min_remnant,
            coating: coating.map_or(0.0, |coating| coating.film),
            limits,
            bridges,
            common_cuts,
            repeat_layouts: repeat_layouts(fields),
            heat_spacing: length("heat_spacing"),
            bend_ticks,
            etch_names: fields.flag("etch_names"),
            bench_list: fields.flag("bench_list"),
            cut_outs,
            titled: Titled::read(fields, units),
        }
    }
}

/// A gap less than this below the kerf, mm, counts as the kerf. Our choice: values in inches are
/// rounded.
const SAME: f64 = 1e-4;

/// The cutter takes a kerf between two parts, and between a part and the edge of its cut-out.
fn wider_than_kerf(fields: &Fields, process: Option<&Row>, shown: Units) {
    let Some(process) = process else { return };
    let kerf = process.measure("kerf");
    let within = fields.get("cutouts").and_then(|item| match &item.value {
        Value::Table(table) => table.get("gap").map(|entry| &entry.item),
        _ => None,
    });
    let gaps = [("between two parts", fields.get("gap")), ("in a cut-out", within)];
    for (what, item) in gaps.into_iter().filter_map(|(what, item)| Some((what, item?))) {
        // An invalid length is reported where the gap is read.
        let Some(gap) = entry::length(item, &Findings::default()) else { continue };
        if gap < kerf - SAME {
            let mm = |x: f64| shown.length(x);
            let headline = format!(
                "a gap of {} {what} is less than the kerf of {}, {}",
                mm(gap),
                process.name(),
                mm(kerf)
            );
            // In mm whatever the job is in: rounded to inches it could be less.
            let needed = crate::num::text(kerf, 4);
            let help = format!("write `gap = \"{needed} mm\"` or more, or leave it out");
            fields.add(Finding::stop("kerf-gap", headline).at(item.span, "").help(help));
        }
    }
}

/// The cut-outs in which parts may be nested.
fn cut_outs(item: &Item, findings: &Findings) -> Option<CutOuts> {
    let fields = Fields::of(item, findings)?;
    let length = |name: &str, example: &str| {
        fields.need(name, example).and_then(|i| entry::length(i, findings))
    };
    let (min, gap) = (length("min", "\"60 mm\""), length("gap", "\"6 mm\""));
    fields.finish();
    Some(CutOuts { min: min?, gap: gap? })
}

/// The shop file a job names.
fn shop(
    item: &Item,
    shelf: &Shelf,
    sources: &mut Sources,
    findings: &Findings,
) -> Option<Arc<Shop>> {
    let Some(name) = item.text() else {
        findings.add(document::wrong_kind(item, "the name of a shop file"));
        return None;
    };
    let Some((path, text)) = (shelf.file)(name) else {
        let headline = format!("there is no shop file `{name}` that can be read");
        findings.add(Finding::stop("no-file", headline).at(item.letters, "").help(
            "name a file beside the job, or one reached from there: `shop = \"../shop.toml\"`",
        ));
        return None;
    };
    let source = sources.add(path, &text);
    match shop::read(source, &text, shelf.tables) {
        Ok(shop) => Some(Arc::new(shop)),
        Err(found) => {
            for finding in found {
                findings.add(finding.at(item.letters, "this shop"));
            }
            None
        }
    }
}

/// The hole saws at hand: those of the shop, where it names any.
pub(super) fn hole_saws(shop: Option<&Shop>, tables: &Tables) -> Vec<f64> {
    let own = shop.map(|shop| shop.hole_saws.clone()).filter(|saws| !saws.is_empty());
    let rows = || tables.table("hole-saw").into_iter().flat_map(Table::rows);
    own.unwrap_or_else(|| rows().map(|row| row.measure("diameter")).collect())
}

/// The row of a cutting process with the shop's own figures on top.
fn own(row: &Arc<Row>, shop: &Shop) -> Arc<Row> {
    let cutting = shop.cutting.iter().find(|cutting| cutting.process == row.name());
    cutting.map_or(row.clone(), |cutting| Arc::new(row.with(&cutting.fields)))
}

fn units(fields: &Fields) -> Units {
    match fields.get("units") {
        None => Units::Millimetre,
        Some(item) => match item.text() {
            Some("mm") => Units::Millimetre,
            Some("in") => Units::Inch,
            _ => {
                fields.add(
                    Finding::stop("unknown-word", "`units` is `mm` or `in`")
                        .at(item.span, "")
                        .help("write `units = \"mm\"`"),
                );
                Units::Millimetre
            }
        },
    }
}

/// The limits of every part: by the shop, and by the job.
fn limits(fields: &Fields, process: Option<&Row>, shop: Option<&Shop>) -> Limits {
    let mut cuttings = shop.into_iter().flat_map(|shop| &shop.cutting);
    let cutting = cuttings.find(|cutting| process.is_some_and(|p| p.name() == cutting.process));
    let lift = fields
        .get("lift")
        .and_then(|item| entry::measure(item, Dimension::MASS, "a mass", "kg", fields.findings()));
    Limits {
        cut: cutting.and_then(|cutting| cutting.tolerance),
        films: None,
        oven: shop.and_then(|shop| shop.oven),
        largest: None,
        lift: lift.unwrap_or(Limits::default().lift),
    }
}

/// The page size, by the units if none is given.
fn paper(fields: &Fields, units: Units) -> Option<Format> {
    let usual = if units == Units::Inch { Format::Letter } else { Format::A4 };
    let Some(item) = fields.get("paper") else { return Some(usual) };
    match item.text() {
        Some("none") => None,
        text => text.and_then(Format::named).or_else(|| {
            fields.add(
                Finding::stop("unknown-word", "`paper` is `A4`, `Letter` or `none`")
                    .at(item.span, "")
                    .help("write `paper = \"A4\"`"),
            );
            None
        }),
    }
}

/// The position of the key that asks for common cuts.
fn common_cuts(fields: &Fields) -> Option<Span> {
    fields.flag("common_cuts").then(|| fields.get("common_cuts").map(|item| item.span)).flatten()
}

/// Share of metal that repeated layouts may take more, where the job does not say: 1 %. Our choice.
const EXTRA_METAL: f64 = 0.01;

/// Maximum share of metal that repeated layouts may take more, %. Our choice.
const MAX_EXTRA: f64 = 20.0;

/// By how much more metal, as a share, layouts are repeated; `None` if they are not.
fn repeat_layouts(fields: &Fields) -> Option<f64> {
    let item = fields.get("repeat_layouts")?;
    let percent = |text: &str| text.strip_suffix('%')?.trim().parse::<f64>().ok();
    let share = match &item.value {
        Value::Flag(wanted) => return wanted.then_some(EXTRA_METAL),
        Value::Text(text) => percent(text).filter(|share| (0.0..=MAX_EXTRA).contains(share)),
        _ => None,
    };
    if share.is_none() {
        let headline = format!(
            "`repeat_layouts` is `true`, or how much more metal it may take, from 0 % to {MAX_EXTRA} %"
        );
        let finding = Finding::stop("wrong-kind", headline).at(item.span, "");
        fields.add(finding.help("write `repeat_layouts = \"1 %\"`"));
    }
    share.map(|share| share / 100.0)
}
