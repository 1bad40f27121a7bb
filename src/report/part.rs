//! Rows of the report on a part.

use crate::draw;
use crate::flat::to_origin;
use crate::job::Job;
use crate::num::on_grid;
use crate::part::Bead;
use crate::part::Bevel;
use crate::part::Face;
use crate::part::Flare;
use crate::part::Hole;
use crate::part::Recess;
use crate::part::Weld;
use crate::report::bend;
use crate::report::bend::BendRow;
use crate::report::beside::Beside;
use crate::report::corner;
use crate::report::corner::CornerRow;
use crate::report::fit;
use crate::report::fit::ClevisRow;
use crate::report::fit::NutRow;
use crate::report::input::Input;
use crate::report::solid::SolidRow;
use crate::solve;
use crate::solve::Choice;
use crate::solve::Solved;
use serde::Serialize;
use std::collections::BTreeMap;

/// A part.
#[derive(Clone, Debug, Serialize)]
pub struct PartRow {
    /// Its name.
    pub name: String,
    pub(crate) recipe: String,
    pub(crate) sheet: String,
    pub(crate) material: String,
    pub(crate) thickness_mm: f64,
    /// The job's own issue or the letter; `None` if no issues are kept.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub issue: Option<String>,
    /// The short hash of geometry, metal and thickness.
    pub geometry: String,
    quantity: u32,
    copies: u32,
    pub(crate) pieces: u32,
    pub(crate) values: BTreeMap<String, String>,
    pub(crate) facts: BTreeMap<String, String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) open: Option<OpenRow>,
    pub(crate) size_mm: [f64; 2],
    pub(crate) area_mm2: f64,
    pub(super) cut_length_mm: f64,
    pub(crate) mass_kg: f64,
    holes: usize,
    pub(super) pierces: usize,
    marks: usize,
    pub(crate) bends: Vec<BendRow>,
    /// Why the bends are not made in the order of the drawing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bending: Option<String>,
    /// The gaps at corners where flanges meet.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) corners: Vec<CornerRow>,
    pub(crate) holes_to_finish: Vec<LaterRow>,
    /// How it fits its rod end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clevis: Option<ClevisRow>,
    /// How the nut it captures fits its tube.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub captured_nut: Option<NutRow>,
    /// What of it is not clear beside the findings.
    #[serde(skip)]
    pub(crate) beside: Beside,
    pub(crate) welds: Vec<WeldRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) bevels: Vec<BevelRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) beads: Vec<BeadRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) solid: Option<SolidRow>,
    /// By name; empty until they are made.
    pub(crate) files: Vec<String>,
}

/// The choice of open inputs, and why nothing lighter.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct OpenRow {
    pub(crate) chosen: BTreeMap<String, String>,
    pub(crate) choices: usize,
    governed_by: Option<&'static str>,
    pub(crate) next_lighter: Option<BTreeMap<String, String>>,
    pub(crate) failed_on: Option<String>,
}

/// A welded edge.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct WeldRow {
    pub(crate) face: String,
    pub(crate) edge: String,
    /// Of the metal at the edge, without what its bends take from its ends.
    pub(crate) length_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) leg_mm: Option<f64>,
    pub(crate) sides: u32,
    pub(crate) all_round: bool,
    pub(crate) note: String,
}

/// A bevelled edge; the solid has it square.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct BevelRow {
    pub(crate) edge: String,
    pub(crate) length_mm: f64,
    angle_deg: f64,
    land_mm: f64,
    pub(crate) depth_mm: f64,
    pub(crate) sides: &'static str,
    in_solid: bool,
}

/// A bead; the solid is flat there.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct BeadRow {
    pub(crate) name: String,
    length_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) depth_mm: f64,
    section: &'static str,
    pub(crate) side: &'static str,
    in_solid: bool,
}

/// A hole to be finished later.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct LaterRow {
    pub(crate) hole: String,
    pub(crate) made: &'static str,
    /// As cut, with any finishing, in the words of the drawing.
    pub(crate) as_cut: String,
    pub(crate) finish: String,
    pub(crate) pilot_mm: f64,
    pub(crate) diameter_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) recess: Option<RecessRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    flare: Option<FlareRow>,
}

/// The lip that is formed round a hole.
#[derive(Clone, Debug, Serialize)]
struct FlareRow {
    outside_mm: f64,
    height_mm: f64,
    angle_deg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    radius_mm: Option<f64>,
    side: &'static str,
    in_solid: bool,
}

impl FlareRow {
    fn of(flare: &Flare) -> Self {
        Self {
            outside_mm: on_grid(flare.outside),
            height_mm: on_grid(flare.height),
            angle_deg: on_grid(flare.angle.degrees()),
            radius_mm: (flare.radius > 0.0).then(|| on_grid(flare.radius)),
            side: flare.side.word(),
            in_solid: true,
        }
    }
}

/// The countersink or counterbore of a hole.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct RecessRow {
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    angle_deg: Option<f64>,
    diameter_mm: f64,
    depth_mm: f64,
    side: &'static str,
}

impl RecessRow {
    fn of(recess: &Recess) -> Self {
        Self {
            kind: recess.word(),
            angle_deg: recess.angle.map(on_grid),
            diameter_mm: on_grid(recess.diameter),
            depth_mm: on_grid(recess.depth),
            side: recess.side.word(),
        }
    }
}

/// The row of a part, without its files and its solid.
pub(super) fn part_row(input: &Input, index: usize) -> PartRow {
    let (job, solved) = (input.job, &input.solved[index]);
    let line = &job.lines[solved.line];
    let sheet = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let density = sheet.material.measure("density");
    let place = to_origin(region);
    let handled = solve::handled(solved);
    let bounds = region.bounds();
    let values = solved.params.all().map(|(name, value)| (name.to_owned(), value.show(job.units)));
    let facts = solved.part.facts.iter().map(|f| (f.name.clone(), f.value.show(job.units)));
    let clevis = solved.clevis.as_ref().map(|fit| fit::clevis(job, solved, fit));
    let captured_nut = solved.nut.as_ref().map(fit::nut);
    PartRow {
        name: solved.name.clone(),
        recipe: line.recipe.0.clone(),
        sheet: sheet.name.clone(),
        material: sheet.material.name().to_owned(),
        thickness_mm: on_grid(sheet.thickness),
        issue: solved.issue.name(job).map(str::to_owned),
        geometry: solved.issue.geometry.clone(),
        quantity: line.quantity,
        copies: solved.part.copies,
        pieces: solve::pieces(job, solved),
        values: values.collect(),
        facts: facts.collect(),
        open: solved.choice.as_deref().map(open_row),
        size_mm: [on_grid(bounds.width()), on_grid(bounds.height())],
        area_mm2: on_grid(region.area()),
        cut_length_mm: on_grid(region.length()),
        mass_kg: on_grid(region.area() * sheet.thickness * density),
        holes: region.holes().len(),
        pierces: 1 + region.holes().len(),
        marks: solved.flat.marks.len(),
        bends: (0..solved.part.bends.len())
            .map(|i| bend::row(job, solved, (i, &handled), &place))
            .collect(),
        bending: bend::as_drawn(job, solved),
        corners: corner::corners(solved),
        holes_to_finish: later(job, solved),
        beside: Beside::of_rows(clevis.as_ref(), captured_nut.as_ref(), solved),
        clevis,
        captured_nut,
        welds: welds(solved),
        bevels: bevels(solved),
        beads: beads(solved),
        solid: None,
        files: Vec::new(),
    }
}

/// The welded edges.
fn welds(solved: &Solved) -> Vec<WeldRow> {
    let of_face = |(index, face): (usize, &Face)| {
        let row = |weld: &Weld| WeldRow {
            face: face.name.clone(),
            edge: weld.edge.clone(),
            length_mm: on_grid(solved.weld_length(index, weld)),
            leg_mm: weld.leg.map(on_grid),
            sides: weld.sides,
            all_round: weld.all_round,
            note: weld.note.clone(),
        };
        face.welds.iter().map(row).collect::<Vec<_>>()
    };
    solved.part.faces.iter().enumerate().flat_map(of_face).collect()
}

/// The bevelled edges.
fn bevels(solved: &Solved) -> Vec<BevelRow> {
    let row = |bevel: &Bevel| BevelRow {
        edge: bevel.edge.clone(),
        length_mm: on_grid(bevel.length()),
        angle_deg: on_grid(bevel.angle.degrees()),
        land_mm: on_grid(bevel.land),
        depth_mm: on_grid(bevel.depth),
        sides: bevel.sides.word(),
        in_solid: false,
    };
    solved.part.faces.iter().flat_map(|face| &face.bevels).map(row).collect()
}

/// The beads.
fn beads(solved: &Solved) -> Vec<BeadRow> {
    let row = |bead: &Bead| BeadRow {
        name: bead.name.clone(),
        length_mm: on_grid(bead.length()),
        width_mm: on_grid(bead.width),
        depth_mm: on_grid(bead.depth),
        section: bead.section.word(),
        side: bead.side.word(),
        in_solid: false,
    };
    solved.part.faces.iter().flat_map(|face| &face.beads).map(row).collect()
}

/// The holes that are finished after cutting.
fn later(job: &Job, solved: &Solved) -> Vec<LaterRow> {
    let row = |hole: &Hole| {
        let cut = hole.outline.bounds().width();
        let finishing = draw::finishing(hole, job.units, &|mm| job.units.length(mm));
        let finish = finishing.after()?;
        Some(LaterRow {
            hole: hole.name.clone(),
            made: hole.making.word(),
            as_cut: finishing.as_cut,
            finish,
            pilot_mm: on_grid(cut),
            diameter_mm: on_grid(hole.finished.unwrap_or(cut)),
            recess: hole.recess.as_ref().map(RecessRow::of),
            flare: hole.flare.as_ref().map(FlareRow::of),
        })
    };
    solved.part.faces.iter().flat_map(|face| &face.holes).filter_map(row).collect()
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
