//! Rows of the report on the loads.

use crate::geom::Point;
use crate::job::Job;
use crate::num::on_grid;
use crate::part::Part;
use crate::report::outcome::Force;
use crate::report::outcome::JudgedLoad;
use crate::report::outcome::Outcome;
use crate::solve::Solved;
use crate::strength::Datum;
use crate::strength::Forces;
use crate::strength::Limit;
use crate::strength::Member;
use crate::strength::Section;
use crate::strength::Shape;
use crate::strength::Verdict;
use serde::Serialize;

/// A load.
#[derive(Clone, Debug, Serialize)]
pub struct LoadRow {
    /// Its case.
    pub case: String,
    /// Name of the solved part.
    pub part: String,
    /// What acts, in the words of the drawing.
    #[serde(skip)]
    pub(crate) acting: String,
    at: String,
    direction: String,
    pub(crate) held_by: String,
    pub(crate) method: &'static str,
    pub(crate) force: Force,
    shared_by: u32,
    #[serde(flatten)]
    pub(crate) outcome: Outcome,
    /// Where the limit that governs is, and what acts there.
    #[serde(skip_serializing_if = "Option::is_none")]
    section: Option<SectionRow>,
    /// The same in words, with the allowable value of each force and moment alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub section_words: Option<String>,
    /// One sentence with the load, the allowable load, the margin and the governing limit.
    pub words: String,
    pub(crate) limits: Vec<LimitRow>,
    pub(crate) shapes: Vec<ShapeRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) tube_wall: Option<LimitRow>,
    pub(crate) assumed: Vec<String>,
    pub(crate) not_judged: Vec<String>,
}

/// A way to fail.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct LimitRow {
    what: &'static str,
    /// The same, told from others of that name.
    #[serde(skip)]
    pub(crate) named: String,
    pub(crate) rule: &'static str,
    nominal: Force,
    factor: f64,
    pub(crate) allowable: Force,
    #[serde(skip_serializing_if = "Option::is_none")]
    section: Option<SectionRow>,
}

/// The section of a limit, under the load on one piece. Nothing is rounded.
#[derive(Clone, Debug, Serialize)]
struct SectionRow {
    #[serde(skip_serializing_if = "Option::is_none")]
    face: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bend: Option<String>,
    /// Its ends in the flat: in the drawing of the first face, mm.
    flat_mm: [[f64; 2]; 2],
    /// The same in the formed part, halfway through the sheet: the first face in the plane of x
    /// and y, its top side at z = 0.
    folded_mm: [[f64; 3]; 2],
    /// About the centre of its metal.
    forces: ForcesRow,
    /// The ligament that governs, and its share.
    ligament_flat_mm: [[f64; 2]; 2],
    ligament: ForcesRow,
    /// The allowable value of each alone; 0 if it is not checked.
    allowable: ForcesRow,
}

/// What acts in a section, of the free body on the load's side.
#[derive(Clone, Copy, Debug, Serialize)]
struct ForcesRow {
    /// Square to the section, in the plane of the plate; more than 0 pulls.
    normal_n: f64,
    /// Along the section.
    shear_n: f64,
    /// Square to the plate.
    across_n: f64,
    /// Bends the plate in its plane.
    bend_in_nmm: f64,
    /// Bends it out of its plane.
    bend_out_nmm: f64,
    torsion_nmm: f64,
}

impl From<&Forces> for ForcesRow {
    fn from(forces: &Forces) -> Self {
        Self {
            normal_n: forces.normal,
            shear_n: forces.shear,
            across_n: forces.across,
            bend_in_nmm: forces.bend_in,
            bend_out_nmm: forces.bend_out,
            torsion_nmm: forces.torsion,
        }
    }
}

impl SectionRow {
    /// `face base`, `bend heel`.
    fn place(&self) -> Option<String> {
        let face = self.face.as_ref().map(|name| format!("face {name}"));
        face.or_else(|| self.bend.as_ref().map(|name| format!("bend {name}")))
    }

    fn of(section: &Section, part: &Part) -> Self {
        let (face, bend) = match section.member {
            Member::Face(face) => (Some(part.faces[face].name.clone()), None),
            Member::Bend(bend) => (None, Some(part.bends[bend].name.clone())),
        };
        let flat = |points: &[Point; 2]| points.map(|p| [p.x, p.y]);
        Self {
            face,
            bend,
            flat_mm: flat(&section.flat),
            folded_mm: section.folded,
            forces: (&section.forces).into(),
            ligament_flat_mm: flat(&section.ligament),
            ligament: (&section.share).into(),
            allowable: (&section.allowable).into(),
        }
    }
}

/// A rule of shape.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct ShapeRow {
    pub(crate) what: &'static str,
    pub(crate) rule: &'static str,
    pub(crate) is_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) min_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) max_mm: Option<f64>,
    pub(crate) kept: bool,
}

impl ShapeRow {
    pub(super) fn of(shape: &Shape) -> Self {
        Self {
            what: shape.what,
            rule: shape.rule,
            is_mm: on_grid(shape.is),
            min_mm: (!shape.max).then(|| on_grid(shape.wanted)),
            max_mm: shape.max.then(|| on_grid(shape.wanted)),
            kept: shape.kept(),
        }
    }
}

impl LoadRow {
    /// The section that governs, what was assumed and what was not judged: printed with the
    /// sentence.
    pub fn remarks(&self) -> Vec<String> {
        let governs = self.section_words.iter().map(|words| format!("Governs at {words}."));
        let assumed =
            (!self.assumed.is_empty()).then(|| format!("Assumed: {}.", self.assumed.join("; ")));
        let not_judged = self.not_judged.iter().map(|words| format!("Not judged: {words}."));
        governs.chain(not_judged).chain(assumed).collect()
    }
}

/// The rows of the loads on some parts, in their order.
pub(super) fn rows(job: &Job, solved: &[Solved]) -> Vec<LoadRow> {
    let verdicts = solved.iter().flat_map(|s| s.verdicts.iter().map(move |(_, v)| (s, v)));
    verdicts.map(|(s, verdict)| load(job, s, verdict)).collect()
}

/// The name of a limit, distinguished from others of that name: of two sections of one plate the
/// one at a slant is the plastic one.
pub(crate) fn named<'l>(limit: &Limit, mut all: impl Iterator<Item = &'l Limit>) -> String {
    let is_twin = |other: &Limit| other.what == limit.what && other.rule != limit.rule;
    match limit.rule.ends_with("plastic section") && all.any(is_twin) {
        true => format!("{}, oblique", limit.what),
        false => limit.what.to_owned(),
    }
}

/// Limits of one name with the face or bend that each is in.
fn told_apart(mut limits: Vec<LimitRow>) -> Vec<LimitRow> {
    let names: Vec<String> = limits.iter().map(|limit| limit.named.clone()).collect();
    for limit in &mut limits {
        let is_alone = names.iter().filter(|name| **name == limit.named).count() == 1;
        if let Some(place) =
            limit.section.as_ref().and_then(SectionRow::place).filter(|_| !is_alone)
        {
            limit.named += &format!(", {place}");
        }
    }
    limits
}

/// One sentence with the result of a load.
fn words(job: &Job, solved: &Solved, verdict: &Verdict) -> String {
    let what = format!("{}: {}, {}", verdict.case, solved.name, verdict.acting);
    let force = job.units.applied(verdict.force);
    match (verdict.refused(), verdict.governing(), verdict.margin()) {
        (None, Some(limit), Some(_)) => format!(
            "{what}, {force}; allowed {}, margin {} %: {} ({})",
            job.units.allowed(verdict.allowable(limit)),
            job.units.percent_left(verdict.force, verdict.allowable(limit)),
            limit.what,
            limit.rule,
        ),
        (Some(reason), ..) => format!("{what}, {force}; not judged: {reason}; {}", reason.help()),
        _ => format!("{what}, {force}; not judged"),
    }
}

fn load(job: &Job, solved: &Solved, verdict: &Verdict) -> LoadRow {
    let pieces = f64::from(verdict.pieces);
    let governing = verdict.governing();
    let known = JudgedLoad {
        lacks: verdict.refused().map(|reason| [reason.to_string(), reason.help()]),
        governing: governing.map(|limit| [limit.what, limit.rule]),
        allowable: governing.map(|limit| verdict.allowable(limit)),
        margin: verdict.margin(),
    };
    let section = |limit: &Limit| limit.section.map(|s| SectionRow::of(&s, &solved.part));
    let limit = |limit: &Limit| LimitRow {
        what: limit.what,
        named: named(limit, verdict.limits.iter()),
        rule: limit.rule,
        nominal: Force::of(limit.nominal * pieces),
        factor: on_grid(limit.factor),
        allowable: Force::of(limit.allowable() * pieces),
        section: section(limit),
    };
    LoadRow {
        case: verdict.case.clone(),
        part: solved.name.clone(),
        acting: verdict.acting.clone(),
        at: verdict.at.clone(),
        direction: verdict.direction.clone(),
        held_by: verdict.held.clone(),
        method: verdict.method.name(),
        force: Force::of(verdict.force),
        shared_by: verdict.pieces,
        outcome: Outcome::of(verdict.force, known, job.units),
        section: governing.and_then(section),
        section_words: governing.and_then(|limit| {
            let datum = solved.flat.region.bounds().min;
            let seen = Datum { part: &solved.part, datum, units: job.units };
            limit.section_words(verdict.method, &seen)
        }),
        words: words(job, solved, verdict),
        limits: told_apart(verdict.limits.iter().map(limit).collect()),
        shapes: verdict.shapes.iter().map(ShapeRow::of).collect(),
        tube_wall: verdict.wall.as_ref().map(limit),
        assumed: verdict.assumed.clone(),
        not_judged: verdict.not_judged.clone(),
    }
}
