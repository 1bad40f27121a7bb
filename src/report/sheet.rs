//! Rows of the report on the sheets, and on how each kind was nested.

use crate::flat::to_origin;
use crate::geom::Outline;
use crate::geom::Place;
use crate::num;
use crate::num::on_grid;
use crate::place;
use crate::place::NestedSheet;
use crate::place::Searched;
use crate::quantity::Units;
use crate::report::input::Input;
use crate::report::part::PartRow;
use crate::solve::Solved;
use serde::Serialize;

/// A sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetRow {
    /// Its cut file.
    pub file: String,
    pub(crate) stock: String,
    /// The shop's name for a remnant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) remnant_used: Option<String>,
    /// Its number in the stock book, if it is from the book.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<i64>,
    pub(crate) size_mm: [f64; 2],
    /// Metal of the sheet; less than its size makes where it is a remnant with corners or holes.
    pub(crate) area_mm2: f64,
    /// Area of its keep-outs; left out where there are none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) keep_out_mm2: Option<f64>,
    /// Kept between two parts, and from a part to the edge of the sheet.
    pub(crate) gap_mm: f64,
    pub(crate) margin_mm: f64,
    /// Kept from a part to the edge of the cut-out it is in, where any are used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) cut_out_gap_mm: Option<f64>,
    /// Metal of the parts by area of the whole sheet.
    pub yield_percent: f64,
    /// From the left side to the right end of the parts.
    used_length_mm: f64,
    /// How full the used length is.
    pub used: UsedRow,
    /// The largest rectangle left at a side or a corner, at least a gap away from the parts and
    /// rounded down; `None` if it is too small to be worth keeping. One cut off straight across the
    /// sheet begins where the used length ends, so that both add up to the sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remnant_mm: Option<[f64; 2]>,
    /// Where it is, where it is not behind all parts over the whole width: its length and the used length
    /// may overlap then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remnant_place: Option<&'static str>,
    /// Its lower left corner on the sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) remnant_at_mm: Option<[f64; 2]>,
    /// The line of `stock` by which a later job uses it up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) remnant_stock: Option<String>,
    pub(crate) min_gap_mm: Option<f64>,
    min_margin_mm: f64,
    pub(crate) cut_length_mm: f64,
    pub(crate) pierces: usize,
    /// The way between the cuts, from the sheet's origin, in the order of the file.
    travel_mm: f64,
    /// Pieces nearer to the one cut before than the job asks for.
    #[serde(skip_serializing_if = "is_none")]
    pub below_heat_spacing: usize,
    /// Places where outlines are left uncut to hold their pieces.
    #[serde(skip_serializing_if = "is_none")]
    bridges: usize,
    /// Cuts that separate two pieces at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub common_cuts: Option<CommonRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) cost: Option<f64>,
    /// The kits of which it has pieces.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub kits: Vec<String>,
    /// How many of its pieces are locked where an earlier layout had them.
    #[serde(skip_serializing_if = "is_none")]
    pub locked: usize,
    /// In the order in which they come free.
    pub(crate) placed: Vec<PlacedRow>,
}

impl SheetRow {
    /// The remnant and where it is on the sheet, in words: the same wherever it is printed.
    pub(crate) fn remnant_words(&self, units: Units) -> String {
        let Some(size) = self.remnant_mm else {
            return self.remnant_not_given().unwrap_or("none").to_owned();
        };
        let place = self.remnant_place.map_or_else(String::new, |place| format!(", {place}"));
        units.both_down(size) + &place
    }

    /// Why there is no remnant, where the shape of the sheet is the reason.
    pub(crate) fn remnant_not_given(&self) -> Option<&'static str> {
        /// What a rectangle may lack by rounding, mm².
        const NEAR: f64 = 1.0;
        let [length, width] = self.size_mm;
        let lacks = self.area_mm2 <= length * width - NEAR;
        (self.remnant_mm.is_none() && lacks).then_some("not given: the sheet is not rectangular")
    }
}

/// How full the used length of a sheet is, with the margin behind it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UsedRow {
    /// From the left side of the sheet, mm.
    pub length_mm: f64,
    /// Metal of the parts.
    pub(crate) net_percent: f64,
    /// The area within their outlines.
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
    /// Different layouts on them, where the job asks for few.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layouts: Option<usize>,
    /// Lower bound of the sheets these parts need.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min_sheets: Option<u32>,
    /// The area within the outlines of the parts over that of all sheets, the last as far as it is
    /// used.
    pub gross_percent: f64,
    /// Its upper bound.
    pub upper_bound_percent: f64,
    /// Work allowed. With it, the seed, and the stages to stop at, the same
    /// layout is found again.
    pub effort: u64,
    /// Work done.
    pub(crate) effort_used: u64,
    /// Stages completed; after 0 the pieces are in rows.
    pub stages: u64,
    /// The seed.
    pub seed: u64,
}

/// A piece on a sheet: rotated about its file's origin, then shifted; `mirrored` left for
/// right before that.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct PlacedRow {
    pub(crate) part: String,
    #[serde(skip_serializing_if = "is_false")]
    pub(crate) mirrored: bool,
    pub(crate) orientation_deg: f64,
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
}

fn is_none(count: &usize) -> bool {
    *count == 0
}

fn is_false(flag: &bool) -> bool {
    !flag
}

/// A share in hundredths of a percent, never more than it is.
pub(crate) fn percent_down(share: f64) -> f64 {
    (share * 10_000.0 + ROUNDING).floor() / 100.0
}

/// An upper bound in hundredths of a percent, never less than it is.
fn percent_up(share: f64) -> f64 {
    (share * 10_000.0 - ROUNDING).ceil() / 100.0
}

/// The rounding error of a share, in hundredths of a percent.
const ROUNDING: f64 = 1e-6;

/// The row of a sheet.
pub(crate) fn row(input: &Input, nested: &NestedSheet, rows: &[PartRow]) -> SheetRow {
    let sheet = &input.job.sheets[nested.sheet];
    let stock = nested.stock(input.job);
    let sum = |of: fn(&PartRow) -> f64| nested.placed.iter().map(|p| of(&rows[p.0])).sum::<f64>();
    let area = stock.sheet.region.area();
    let reach = nested
        .placed
        .iter()
        .map(|(part, place)| input.solved[*part].flat.region.outer().moved(place).bounds().max.x)
        .fold(0.0, f64::max);
    let placed = nested.in_order().map(|piece| placed(input, piece, rows));
    let usage = &nested.usage;
    let division = nested.division(input.job);
    // A sheet with a remnant is a plain rectangle: areas are proportional to lengths.
    let longer = usage.length / division.used;
    let (bridges, again, mut left_out) = bridged(input, nested);
    let [apart, shared] = place::outline_cuts(input.solved, nested);
    left_out += apart.length - shared.length;
    let pierces = nested.placed.iter().map(|p| rows[p.0].pierces).sum::<usize>() + again;
    SheetRow {
        file: format!("{}.dxf", nested.file()),
        kits: nested.kits.clone(),
        locked: nested.locked,
        stock: sheet.name.clone(),
        remnant_used: stock.name.clone(),
        book: stock.book,
        size_mm: [on_grid(stock.length()), on_grid(stock.width())],
        area_mm2: on_grid(area),
        keep_out_mm2: (!stock.sheet.keep_outs.is_empty())
            .then(|| on_grid(stock.sheet.keep_outs.iter().map(Outline::area).sum())),
        gap_mm: on_grid(input.job.gap_on(sheet)),
        margin_mm: on_grid(input.job.margin),
        cut_out_gap_mm: input.job.cut_outs.map(|cut_outs| on_grid(cut_outs.gap)),
        yield_percent: percent_down(sum(|r| r.area_mm2) / area),
        used_length_mm: on_grid(reach),
        used: UsedRow {
            length_mm: on_grid(division.used),
            net_percent: percent_down(usage.net * longer),
            gross_percent: percent_down(usage.gross * longer),
            upper_bound_percent: percent_up(usage.max),
        },
        remnant_mm: division.remnant.map(|r| [on_grid(r.width()), on_grid(r.height())]),
        remnant_place: division.place(&stock.sheet.region.bounds()),
        remnant_at_mm: division.remnant.map(|r| [on_grid(r.min.x), on_grid(r.min.y)]),
        remnant_stock: division
            .remnant
            .map(|r| remnant_stock(&nested.name, input.job.units, r.width(), r.height())),
        min_gap_mm: nested.min_gap.map(on_grid),
        min_margin_mm: on_grid(nested.min_margin),
        cut_length_mm: on_grid(sum(|r| r.cut_length_mm) - left_out),
        pierces: pierces - apart.pierces + shared.pierces,
        travel_mm: on_grid(nested.route.travel),
        below_heat_spacing: nested.route.too_near,
        bridges,
        common_cuts: common_cuts(input.solved, nested),
        cost: stock.priced.then_some(stock.sheet.price),
        placed: placed.collect(),
    }
}

/// A piece where it was placed. The report speaks of the part as its file has it, lower left
/// corner at the origin.
fn placed(input: &Input, (part, place): &(usize, Place), rows: &[PartRow]) -> PlacedRow {
    let own = to_origin(&input.solved[*part].flat.region);
    let back = Place { shift: -own.shift, ..Place::default() };
    let whole = back.then(place);
    PlacedRow {
        part: rows[*part].name.clone(),
        mirrored: whole.mirrored,
        orientation_deg: on_grid(whole.rotation.degrees()),
        x_mm: on_grid(whole.shift.x),
        y_mm: on_grid(whole.shift.y),
    }
}

/// The bridges of a sheet, how often an outline is started again behind one of them, and the total
/// length left uncut, mm.
fn bridged(input: &Input, nested: &NestedSheet) -> (usize, usize, f64) {
    let (mut bridges, mut again, mut left_out) = (0, 0, 0.0);
    for (part, _) in &nested.placed {
        let solved = &input.solved[*part];
        let held = place::chains(input.job, solved, solved.flat.region.outer()).is_some();
        if let Some((count, gap)) = place::bridges_of(input.job, solved).filter(|_| held) {
            bridges += count as usize;
            again += count as usize - 1;
            left_out += f64::from(count) * gap;
        }
    }
    (bridges, again, left_out)
}

/// A remnant as a line of `stock`, in the units of the job.
fn remnant_stock(from: &str, units: Units, length: f64, width: f64) -> String {
    let size = |mm: f64| format!("{} {}", num::text(mm / units.in_mm(), 4), units.word());
    format!(
        "{{ name = \"remnant of {from}\", size = [\"{}\", \"{}\"], count = 1, first = true }}",
        size(length),
        size(width)
    )
}

/// The rows of the kinds of sheet on which something was to be nested. Where one sheet is all of
/// its kind, both have one figure and one bound.
pub(crate) fn nests(input: &Input, sheets: &[SheetRow]) -> Vec<NestRow> {
    let row = |(kind, searched): (usize, &Searched)| {
        let of_kind = input.nested.iter().zip(sheets).filter(|(nested, _)| nested.sheet == kind);
        let of_kind: Vec<&SheetRow> = of_kind.map(|(_, row)| row).collect();
        let [gross_percent, upper_bound_percent] = match of_kind.as_slice() {
            [one] => [one.used.gross_percent, one.used.upper_bound_percent],
            _ => [percent_down(searched.filled.gross), percent_up(searched.filled.max)],
        };
        NestRow {
            sheet: input.job.sheets[kind].name.clone(),
            sheets: of_kind.len(),
            layouts: input.job.repeat_layouts.map(|_| different(input, kind)),
            min_sheets: searched.min_sheets,
            gross_percent,
            upper_bound_percent,
            effort: searched.budget,
            effort_used: searched.units,
            stages: searched.stages,
            seed: input.seed,
        }
    };
    input.searched.iter().enumerate().map(row).collect()
}

/// How many different layouts the sheets of a kind have.
fn different(input: &Input, kind: usize) -> usize {
    let mut seen: Vec<&NestedSheet> = Vec::new();
    for nested in input.nested.iter().filter(|nested| nested.sheet == kind) {
        if !seen.iter().any(|other| other.holds_the_same(nested)) {
            seen.push(nested);
        }
    }
    seen.len()
}

/// What all sheets cost; nothing unless each has a price.
pub(crate) fn cost(input: &Input) -> Option<f64> {
    let price = |nested: &NestedSheet| {
        let stock = nested.stock(input.job);
        stock.priced.then_some(stock.sheet.price)
    };
    let prices: Option<Vec<f64>> = input.nested.iter().map(price).collect();
    prices.filter(|prices| !prices.is_empty()).map(|prices| on_grid(prices.iter().sum()))
}

/// How much shorter all cuts are because of common cuts; `None` if there are none.
pub(crate) fn saved(sheets: &[SheetRow]) -> Option<f64> {
    let common = sheets.iter().filter_map(|sheet| sheet.common_cuts.as_ref());
    let saved: Vec<f64> = common.map(|row| row.saved_mm).collect();
    (!saved.is_empty()).then(|| on_grid(saved.iter().sum()))
}

/// The common cuts of a sheet in its report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CommonRow {
    /// How many.
    pub cuts: usize,
    /// How long all of them are.
    pub length_mm: f64,
    /// How much shorter all cuts are for them.
    pub(crate) saved_mm: f64,
    /// How many pierces fewer; below 0 where there are more.
    pub(crate) saved_pierces: i64,
}

/// The row of a sheet; `None` if nothing is shared.
pub(crate) fn common_cuts(solved: &[Solved], nested: &NestedSheet) -> Option<CommonRow> {
    let [apart, shared] = place::outline_cuts(solved, nested);
    let common = &nested.route.common_cuts;
    let length: f64 = common.iter().map(|[from, to]| (*to - *from).hypot()).sum();
    (!common.is_empty()).then(|| CommonRow {
        cuts: common.len(),
        length_mm: on_grid(length),
        saved_mm: on_grid(apart.length - shared.length),
        saved_pierces: apart.pierces as i64 - shared.pierces as i64,
    })
}
