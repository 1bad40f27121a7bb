//! What is told about every sheet of a report, and about how it was nested.

use crate::geom::Place;
use crate::job::bridges;
use crate::job::common;
use crate::job::common::CommonRow;
use crate::job::draw;
use crate::job::lay::Laid;
use crate::job::report::PartRow;
use crate::job::report::Parts;
use crate::job::report::rounded;
use serde::Serialize;

/// A sheet.
#[derive(Clone, Debug, Serialize)]
pub struct SheetRow {
    /// Its cut file.
    pub file: String,
    stock: String,
    /// What the shop calls a remnant.
    #[serde(skip_serializing_if = "Option::is_none")]
    remnant_used: Option<String>,
    pub(super) size_mm: [f64; 2],
    /// Metal of the sheet; less than its size makes where it is a remnant with corners or holes.
    pub(super) area_mm2: f64,
    gap_mm: f64,
    margin_mm: f64,
    /// Metal of the parts by area of the whole sheet.
    pub yield_percent: f64,
    /// From the left side to the right end of the parts.
    used_length_mm: f64,
    /// How full the used length is.
    pub used: UsedRow,
    /// The largest rectangle left at a side or a corner, a gap away from the parts; none where
    /// it is too small to be worth keeping.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remnant_mm: Option<[f64; 2]>,
    /// Its lower left corner on the sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remnant_at_mm: Option<[f64; 2]>,
    /// The line of `stock` by which a later job uses it up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remnant_stock: Option<String>,
    min_gap_mm: Option<f64>,
    min_margin_mm: f64,
    pub(super) cut_length_mm: f64,
    pub(super) pierces: usize,
    /// The way between the cuts, from the sheet's origin, in the order of the file.
    travel_mm: f64,
    /// Places where rims are left uncut to hold their pieces.
    #[serde(skip_serializing_if = "is_none")]
    bridges: usize,
    /// Cuts that part two pieces at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub common_cuts: Option<CommonRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<f64>,
    /// In the order in which they come free.
    placed: Vec<PlacedRow>,
}

/// How full the used length of a sheet is, with the margin behind it.
#[derive(Clone, Debug, Serialize)]
pub struct UsedRow {
    /// Of the whole sheet.
    pub length_mm: f64,
    /// Metal of the parts.
    pub net_percent: f64,
    /// What lies within their rims.
    pub gross_percent: f64,
    /// Its upper bound with these parts on such a sheet.
    pub upper_bound_percent: f64,
}

/// How one kind of sheet was nested.
#[derive(Clone, Debug, Serialize)]
pub struct NestRow {
    /// The kind.
    pub sheet: String,
    /// Sheets used.
    pub sheets: usize,
    /// Lower bound of the sheets these parts need.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min_sheets: Option<u32>,
    /// What lies within the rims of the parts by all sheets, the last as far as it is used.
    pub gross_percent: f64,
    /// Its upper bound.
    pub upper_bound_percent: f64,
    /// Work allowed. With it, the seed, and the stages to stop at, the same
    /// layout is found again.
    pub effort: u64,
    /// Work done.
    pub effort_used: u64,
    /// Stages of the search gone through; 0 is the first answer.
    pub stages: u64,
    /// The seed.
    pub seed: u64,
}

/// A piece on a sheet: turned about its file's origin, then shifted; `mirrored` left for
/// right before that.
#[derive(Clone, Debug, Serialize)]
struct PlacedRow {
    part: String,
    #[serde(skip_serializing_if = "is_false")]
    mirrored: bool,
    orientation_deg: f64,
    x_mm: f64,
    y_mm: f64,
}

fn is_none(count: &usize) -> bool {
    *count == 0
}

fn is_false(flag: &bool) -> bool {
    !flag
}

pub(super) fn percent(share: f64) -> f64 {
    (share * 10_000.0).round() / 100.0
}

/// The row of a sheet.
pub(super) fn row(parts: &Parts, laid: &Laid, file: &str, rows: &[PartRow]) -> SheetRow {
    let sheet = &parts.job.sheets[laid.sheet];
    let stock = &sheet.stock[laid.stock];
    let sum = |of: fn(&PartRow) -> f64| laid.placed.iter().map(|p| of(&rows[p.0])).sum::<f64>();
    let area = stock.sheet.region.area();
    let reach = laid
        .placed
        .iter()
        .map(|(part, place)| parts.solved[*part].flat.region.outer().moved(place).bounds().most.x)
        .fold(0.0, f64::max);
    let placed = laid.in_order().map(|(part, place)| {
        // The report speaks of the part as its file has it, lower left corner at the origin.
        let own = draw::to_origin(&parts.solved[*part].flat.region);
        let back = Place { shift: -own.shift, ..Place::default() };
        let whole = back.then(place);
        PlacedRow {
            part: rows[*part].name.clone(),
            mirrored: whole.mirrored,
            orientation_deg: rounded(whole.turn.degrees()),
            x_mm: rounded(whole.shift.x),
            y_mm: rounded(whole.shift.y),
        }
    });
    let usage = &laid.usage;
    // A rim with bridges is begun anew behind each of them.
    let (mut bridges, mut again, mut left_out) = (0, 0, 0.0);
    for (part, _) in &laid.placed {
        let solved = &parts.solved[*part];
        let held = bridges::chains(parts.job, solved, solved.flat.region.outer()).is_some();
        if let Some((count, gap)) = bridges::of(parts.job, solved).filter(|_| held) {
            bridges += count as usize;
            again += count as usize - 1;
            left_out += f64::from(count) * gap;
        }
    }
    let [apart, shared] = common::rims(parts.solved, laid);
    left_out += apart.length - shared.length;
    let pierces = laid.placed.iter().map(|p| rows[p.0].pierces).sum::<usize>() + again;
    let stem = file.rsplit('/').next().unwrap_or(file).trim_end_matches(".dxf").to_owned();
    SheetRow {
        file: file.to_owned(),
        stock: sheet.name.clone(),
        remnant_used: stock.name.clone(),
        size_mm: [rounded(stock.length()), rounded(stock.width())],
        area_mm2: rounded(area),
        gap_mm: rounded(parts.job.gap_on(sheet)),
        margin_mm: rounded(parts.job.margin),
        yield_percent: percent(sum(|r| r.area_mm2) / area),
        used_length_mm: rounded(reach),
        used: UsedRow {
            length_mm: rounded(usage.length),
            net_percent: percent(usage.net),
            gross_percent: percent(usage.gross),
            upper_bound_percent: percent(usage.most),
        },
        remnant_mm: usage.remnant.map(|r| [rounded(r.width()), rounded(r.height())]),
        remnant_at_mm: usage.remnant.map(|r| [rounded(r.least.x), rounded(r.least.y)]),
        remnant_stock: usage.remnant.map(|r| remnant_stock(&stem, r.width(), r.height())),
        min_gap_mm: laid.least_gap.map(rounded),
        min_margin_mm: rounded(laid.least_margin),
        cut_length_mm: rounded(sum(|r| r.cut_length_mm) - left_out),
        pierces: pierces - apart.pierces + shared.pierces,
        travel_mm: rounded(laid.route.travel),
        bridges,
        common_cuts: common::row(parts.solved, laid),
        cost: stock.priced.then_some(stock.sheet.price),
        placed: placed.collect(),
    }
}

/// A remnant as a line of `stock`, no larger than it is: tenths of a millimetre left out.
fn remnant_stock(from: &str, length: f64, width: f64) -> String {
    let tenths = |mm: f64| (10.0 * mm + 1e-6).floor() / 10.0;
    format!(
        "{{ name = \"rest of {from}\", size = [\"{} mm\", \"{} mm\"], count = 1, first = true }}",
        tenths(length),
        tenths(width)
    )
}

/// The rows of the kinds of sheet on which something was to be laid.
pub(super) fn nests(parts: &Parts) -> Vec<NestRow> {
    let row = |(kind, searched): (usize, &crate::job::lay::Searched)| NestRow {
        sheet: parts.job.sheets[kind].name.clone(),
        sheets: parts.laid.iter().filter(|laid| laid.sheet == kind).count(),
        min_sheets: searched.least_sheets,
        gross_percent: percent(searched.filled.gross),
        upper_bound_percent: percent(searched.filled.most),
        effort: searched.budget,
        effort_used: searched.units,
        stages: searched.stages,
        seed: parts.seed,
    };
    parts.searched.iter().enumerate().map(row).collect()
}

/// What all sheets cost; nothing unless each has a price.
pub(super) fn cost(parts: &Parts) -> Option<f64> {
    let price = |laid: &Laid| {
        let stock = &parts.job.sheets[laid.sheet].stock[laid.stock];
        stock.priced.then_some(stock.sheet.price)
    };
    let prices: Option<Vec<f64>> = parts.laid.iter().map(price).collect();
    prices.filter(|prices| !prices.is_empty()).map(|prices| rounded(prices.iter().sum()))
}

/// How much shorter all cuts are for those in common; none where none are.
pub(super) fn saved(sheets: &[SheetRow]) -> Option<f64> {
    let common = sheets.iter().filter_map(|sheet| sheet.common_cuts.as_ref());
    let saved: Vec<f64> = common.map(|row| row.saved_mm).collect();
    (!saved.is_empty()).then(|| rounded(saved.iter().sum()))
}
