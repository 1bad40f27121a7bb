//! What came of a job, as plain data.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::job::CAUTION;
use crate::job::Choice;
use crate::job::ClevisRow;
use crate::job::Job;
use crate::job::LinkRow;
use crate::job::NutRow;
use crate::job::Solved;
use crate::job::bent;
use crate::job::bent::BendRow;
use crate::job::draw;
use crate::job::fitted;
use crate::job::found;
use crate::job::found::FindingRow;
use crate::job::lay;
use crate::job::lay::Laid;
use crate::job::lay::LeftOver;
use crate::job::lay::Searched;
use crate::job::make::NamedFile;
use crate::job::sheets;
use crate::job::sheets::NestRow;
use crate::job::sheets::SheetRow;
use crate::job::solids::SolidRow;
use crate::job::solids::Solids;
use crate::job::strength;
use crate::job::strength::StrengthRow;
use crate::job::tools;
use crate::job::tools::ShopRow;
use crate::job::tube;
use crate::job::tube::TubeRow;
use crate::num;
use serde::Serialize;
use std::collections::BTreeMap;

/// The report. Lengths are mm, areas mm², masses kg, angles degrees, in units named by the keys.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// Name and version of this form.
    pub format: &'static str,
    /// What these numbers are not.
    pub caution: &'static str,
    /// Name of the job.
    pub job: String,
    /// Its sentence.
    pub about: String,
    /// Units of the drawings.
    pub units: &'static str,
    /// The way of cutting.
    pub process: String,
    /// The shop, where one is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shop: Option<ShopRow>,
    /// Sums over everything placed.
    pub totals: Totals,
    /// Every part.
    pub parts: Vec<PartRow>,
    /// Every link.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<LinkRow>,
    /// What came of the loads, where the job has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<StrengthRow>,
    /// The tubes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tubes: Vec<TubeRow>,
    /// Every sheet.
    pub sheets: Vec<SheetRow>,
    /// How each kind of sheet was nested.
    pub nests: Vec<NestRow>,
    /// What could not be placed.
    pub not_placed: Vec<NotPlaced>,
    /// Everything found.
    pub findings: Vec<FindingRow>,
    /// The files, by name.
    pub files: Vec<String>,
}

/// Sums over everything placed.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Totals {
    /// Different parts.
    pub parts: usize,
    /// Pieces asked for.
    pub pieces: u32,
    /// Pieces placed.
    pub placed: usize,
    /// Sheets used.
    pub sheets: usize,
    /// Share of the used sheets that becomes parts.
    pub yield_percent: f64,
    /// Mass of the parts placed.
    pub mass_kg: f64,
    /// Length of all cuts.
    pub cut_length_mm: f64,
    /// Places where the cutter starts.
    pub pierces: usize,
    /// How much shorter all cuts are because some part two pieces at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saved_by_common_cuts_mm: Option<f64>,
    /// What the sheets cost, in the shop's money; where all of them have a price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<f64>,
}

/// A part.
#[derive(Clone, Debug, Serialize)]
pub struct PartRow {
    /// Its name.
    pub name: String,
    recipe: String,
    sheet: String,
    material: String,
    thickness_mm: f64,
    quantity: u32,
    copies: u32,
    pieces: u32,
    values: BTreeMap<String, String>,
    facts: BTreeMap<String, String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    open: Option<OpenRow>,
    size_mm: [f64; 2],
    pub(super) area_mm2: f64,
    pub(super) cut_length_mm: f64,
    mass_kg: f64,
    holes: usize,
    pub(super) pierces: usize,
    marks: usize,
    bends: Vec<BendRow>,
    /// Why the bends are not made in the order of the drawing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bending: Option<String>,
    holes_to_finish: Vec<LaterRow>,
    /// Holes that are masked when the part is coated.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    masked: Vec<String>,
    /// How it fits its rod end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clevis: Option<ClevisRow>,
    /// How the nut it captures fits its tube.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub captured_nut: Option<NutRow>,
    welds: Vec<WeldRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    solid: Option<SolidRow>,
    files: Vec<String>,
}

/// What was chosen for open inputs, and why nothing lighter.
#[derive(Clone, Debug, Serialize)]
struct OpenRow {
    chosen: BTreeMap<String, String>,
    choices: usize,
    governed_by: Option<&'static str>,
    next_lighter: Option<BTreeMap<String, String>>,
    failed_on: Option<String>,
}

/// A welded edge.
#[derive(Clone, Debug, Serialize)]
struct WeldRow {
    edge: String,
    length_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    leg_mm: Option<f64>,
    sides: u32,
    all_round: bool,
    note: String,
}

/// A hole to be finished later.
#[derive(Clone, Debug, Serialize)]
struct LaterRow {
    hole: String,
    made: &'static str,
    pilot_mm: f64,
    diameter_mm: f64,
}

/// Pieces that could not be placed.
#[derive(Clone, Debug, Serialize)]
pub struct NotPlaced {
    part: String,
    quantity: u32,
}

/// All numbers of the report are rounded to this many decimals.
pub(super) fn rounded(x: f64) -> f64 {
    num::on_grid(x)
}

pub(super) fn point(p: crate::geom::Point) -> [f64; 2] {
    [rounded(p.x), rounded(p.y)]
}

/// Everything the report needs.
pub(super) struct Parts<'a> {
    pub(super) job: &'a Job,
    pub(super) solved: &'a [Solved],
    pub(super) laid: &'a [Laid],
    pub(super) left: &'a [LeftOver],
    pub(super) searched: &'a [Searched],
    pub(super) seed: u64,
    pub(super) findings: &'a [Finding],
    pub(super) sources: &'a Sources,
    /// Names of the files of each part, then of each sheet.
    pub(super) part_files: &'a [Vec<String>],
    pub(super) sheet_files: &'a [String],
    pub(super) solids: &'a Solids,
    pub(super) files: &'a [NamedFile],
}

/// The report of a job.
pub(super) fn report(parts: &Parts) -> Report {
    let rows: Vec<PartRow> = (0..parts.solved.len()).map(|i| part_row(parts, i)).collect();
    let sheets: Vec<SheetRow> = parts
        .laid
        .iter()
        .zip(parts.sheet_files)
        .map(|(l, f)| sheets::row(parts, l, f, &rows))
        .collect();
    let sheet_area: f64 = sheets.iter().map(|s| s.area_mm2).sum();
    let placed: Vec<usize> = parts.laid.iter().flat_map(|l| l.placed.iter().map(|p| p.0)).collect();
    let sum = |of: fn(&PartRow) -> f64| placed.iter().map(|i| of(&rows[*i])).sum::<f64>();
    let usage = if sheet_area > 0.0 { 100.0 * sum(|r| r.area_mm2) / sheet_area } else { 0.0 };
    let totals = Totals {
        parts: rows.len(),
        pieces: rows.iter().map(|r| r.pieces).sum(),
        placed: placed.len(),
        sheets: sheets.len(),
        yield_percent: (usage * 100.0).round() / 100.0,
        mass_kg: rounded(sum(|r| r.mass_kg)),
        cut_length_mm: rounded(sheets.iter().map(|s| s.cut_length_mm).sum()),
        pierces: sheets.iter().map(|s| s.pierces).sum(),
        saved_by_common_cuts_mm: sheets::saved(&sheets),
        cost: sheets::cost(parts),
    };
    let not_placed = parts
        .left
        .iter()
        .map(|left| NotPlaced { part: rows[left.part].name.clone(), quantity: left.quantity });
    Report {
        format: "platewright report 1",
        caution: CAUTION,
        job: parts.job.name.clone(),
        about: parts.job.about.clone(),
        units: if parts.job.units.in_mm() == 1.0 { "mm" } else { "in" },
        process: parts.job.process.name().to_owned(),
        shop: parts.job.shop.as_deref().map(|shop| tools::row(shop, &parts.job.process)),
        totals,
        not_placed: not_placed.collect(),
        parts: rows,
        links: parts.job.links.iter().map(fitted::link).collect(),
        tubes: tube::rows(parts.job, &parts.job.hole_saws),
        strength: strength::row(parts.job, parts.solved),
        sheets,
        nests: sheets::nests(parts),
        findings: parts
            .findings
            .iter()
            .map(|f| found::row(f, parts.sources, parts.job, parts.solved))
            .collect(),
        files: parts.files.iter().map(|f| f.name.clone()).collect(),
    }
}

fn part_row(parts: &Parts, index: usize) -> PartRow {
    let (job, solved) = (parts.job, &parts.solved[index]);
    let line = &job.lines[solved.line];
    let sheet = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let density = sheet.material.measure("density");
    let place = draw::to_origin(region);
    let bounds = region.bounds();
    let later = solved.part.faces.iter().flat_map(|f| &f.holes).filter_map(|hole| {
        Some(LaterRow {
            hole: hole.name.clone(),
            made: draw::making(hole.making),
            pilot_mm: rounded(hole.outline.bounds().width()),
            diameter_mm: rounded(hole.finished?),
        })
    });
    let welds = solved.part.faces.iter().flat_map(|f| &f.welds).map(|weld| WeldRow {
        edge: weld.edge.clone(),
        length_mm: rounded(weld.length),
        leg_mm: weld.leg.map(rounded),
        sides: weld.sides,
        all_round: weld.all_round,
        note: weld.note.clone(),
    });
    let values = solved.params.all().map(|(name, value)| (name.to_owned(), value.show(job.units)));
    PartRow {
        name: solved.name.clone(),
        recipe: line.recipe.0.clone(),
        sheet: sheet.name.clone(),
        material: sheet.material.name().to_owned(),
        thickness_mm: rounded(sheet.thickness),
        quantity: line.quantity,
        copies: solved.part.copies,
        pieces: lay::pieces(job, solved),
        values: values.collect(),
        facts: solved
            .part
            .facts
            .iter()
            .map(|f| (f.name.clone(), f.value.show(job.units)))
            .collect(),
        open: solved.choice.as_deref().map(open_row),
        size_mm: [rounded(bounds.width()), rounded(bounds.height())],
        area_mm2: rounded(region.area()),
        cut_length_mm: rounded(region.length()),
        mass_kg: rounded(region.area() * sheet.thickness * density),
        holes: region.holes().len(),
        pierces: 1 + region.holes().len(),
        marks: solved.flat.marks.len(),
        bends: (0..solved.part.bends.len()).map(|i| bent::row(job, solved, i, &place)).collect(),
        bending: bent::as_drawn(job, solved),
        holes_to_finish: later.collect(),
        masked: fitted::masked(job, solved),
        clevis: solved.clevis.clone(),
        captured_nut: solved.nut.clone(),
        welds: welds.collect(),
        solid: parts.solids[index].as_ref().map(|(_, row)| row.clone()),
        files: parts.part_files[index].clone(),
    }
}

fn open_row(choice: &Choice) -> OpenRow {
    let map = |values: &[(String, String)]| values.iter().cloned().collect();
    let lighter = choice.lighter.as_ref();
    OpenRow {
        chosen: map(&choice.chosen),
        choices: choice.tried,
        governed_by: lighter.map(|l| l.code),
        next_lighter: lighter.map(|l| map(&l.values)),
        failed_on: lighter.map(|l| l.headline.clone()),
    }
}
