//! Rows of the report on a bend.

use crate::bend::Form;
use crate::brake;
use crate::flat::BendStrip;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::num::on_grid;
use crate::report::ends::ends;
use crate::report::ends::point;
use crate::report::formed;
use crate::report::formed::FormedRow;
use crate::report::step;
use crate::report::step::StepRow;
use crate::sequence::Handling;
use crate::sequence::Stack;
use crate::sequence::Why;
use crate::solve;
use crate::solve::SideUp;
use crate::solve::Solved;
use crate::solve::ToGrain;
use serde::Serialize;

/// The side of its face to which a bend is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Direction {
    Up,
    Down,
}

impl Direction {
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
        }
    }
}

/// A bend.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct BendRow {
    pub(crate) name: String,
    pub(crate) direction: Direction,
    pub(crate) angle_deg: f64,
    pub(crate) inside_radius_mm: f64,
    method: String,
    /// The source of the allowance: part, recipe, sheet, measured, shop or metal.
    method_source: String,
    k: f64,
    allowance_mm: f64,
    /// How it is formed, where it is not simply bent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) formed: Option<FormedRow>,
    /// `None` if the outsides of both legs do not meet at a corner.
    #[serde(skip_serializing_if = "Option::is_none")]
    outside_setback_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    deduction_mm: Option<f64>,
    line_mm: [[f64; 2]; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) made: Option<MadeRow>,
    /// How it is handled; `None` if it has no place in the sequence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) step: Option<StepRow>,
}

/// What is not judged where a part is bent with a wrench: the vice beside it is not in the shop file.
const BESIDE_A_WRENCH: [&str; 2] = ["room between wrench and vice", "grip of the vice"];

/// How a bend is made in the shop.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct MadeRow {
    /// Its number in the order of bending.
    pub(crate) sequence: usize,
    pub(crate) tool: String,
    /// The face that is clamped, and which side of the sheet is up.
    pub(crate) clamp: String,
    pub(crate) top: SideUp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) v_mm: Option<f64>,
    pub(crate) formed_radius_mm: f64,
    pub(crate) min_flange_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) force_kn: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) force_short_tons: Option<f64>,
    /// By hand: the pull of a person, the lever, and the moment.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) pull_n: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) lever_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    moment_nm: Option<f64>,
    pub(crate) angle_under_load_deg: f64,
    pub(crate) overbend_deg: f64,
    /// The fixture under the nose of a folding brake.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sight_line_mm: Option<[[f64; 2]; 2]>,
    pub(crate) grain: ToGrain,
    /// Minimum clearance between part and tools; limited to the sufficient one if there is no
    /// `nearest`.
    pub(crate) clearance_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) nearest: Option<NearestRow>,
    /// What of its clearance is not judged, in words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) not_judged: Vec<&'static str>,
    /// The tools used in sections; others extend over the whole length.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) sections: Vec<SectionsRow>,
    /// The setups tried before.
    pub(crate) refused: Vec<String>,
}

/// What of the part comes nearest to which tool, and how far the bend is made by then.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct NearestRow {
    pub(crate) part: String,
    pub(crate) tool: &'static str,
    pub(crate) angle_deg: f64,
}

/// Sections of one tool side by side.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SectionsRow {
    pub(crate) tool: &'static str,
    pub(crate) lengths_mm: Vec<f64>,
    /// From the left end of the bend line, or the lower end of a vertical one.
    begin_mm: f64,
    /// Their positions on the bend line.
    line_mm: [[f64; 2]; 2],
}

/// The row of a bend, which is handled in its order as said; `place` brings the flat to where its
/// file has it.
pub(crate) fn row(
    job: &Job,
    solved: &Solved,
    (bend, handled): (usize, &[Handling]),
    place: &Place,
) -> BendRow {
    let at = handled.iter().position(|handling| handling.bend == bend);
    let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
    let corner = drawn.bend.form() == Form::Bent;
    BendRow {
        name: drawn.name.clone(),
        direction: if drawn.up { Direction::Up } else { Direction::Down },
        angle_deg: on_grid(drawn.bend.angle().degrees()),
        inside_radius_mm: on_grid(drawn.bend.radius()),
        method: drawn.bend.method().to_string(),
        method_source: drawn.by.to_string(),
        k: on_grid(drawn.bend.k()),
        allowance_mm: on_grid(drawn.bend.allowance()),
        formed: formed::row(job, solved, bend, place),
        outside_setback_mm: corner.then(|| on_grid(drawn.bend.setback())),
        deduction_mm: corner.then(|| on_grid(drawn.bend.deduction())),
        line_mm: ends(&strip.line.moved(place)),
        made: made(job, solved, bend, place),
        step: at.map(|at| step::row(solved, at + 1, &handled[at], place)),
    }
}

/// How a bend is made, where the shop and its order are known.
pub(crate) fn made(job: &Job, solved: &Solved, bend: usize, place: &Place) -> Option<MadeRow> {
    let setup = solve::setup(job, solved, bend)?;
    let (part, shop, chosen) = (&solved.part, setup.shop, &setup.step.setup);
    let (strip, room) = (&solved.flat.bends[bend], setup.step.tooling.room);
    let is_wrench = shop.brakes[chosen.brake].is_wrench();
    Some(MadeRow {
        sequence: setup.order,
        tool: chosen.tool_words(shop, job.units),
        clamp: part.faces[chosen.hold].name.clone(),
        top: setup.side_up,
        v_mm: setup.v.map(on_grid),
        formed_radius_mm: on_grid(setup.radius),
        min_flange_mm: on_grid(setup.min_flange),
        force_kn: setup.force.map(on_grid),
        force_short_tons: setup.force.map(|f| on_grid(brake::short_tons(f))),
        pull_n: setup.pull.map(|pull| on_grid(pull.force)),
        lever_mm: setup.pull.map(|pull| on_grid(pull.lever)),
        moment_nm: setup.pull.map(|pull| on_grid(pull.moment)),
        angle_under_load_deg: on_grid(chosen.under_load.degrees()),
        overbend_deg: on_grid(setup.over_bend),
        sight_line_mm: setup.sight_line.map(|line| ends(&line.moved(place))),
        grain: setup.grain,
        clearance_mm: on_grid(room.mm),
        nearest: room.nearest.map(|(what, tool, at)| NearestRow {
            part: what.words(part),
            tool,
            angle_deg: on_grid(at.degrees()),
        }),
        not_judged: if is_wrench { BESIDE_A_WRENCH.to_vec() } else { Vec::new() },
        sections: setup.stacks.iter().map(|stack| sections(strip, stack, place)).collect(),
        refused: setup.step.refused.iter().map(|r| r.words(part, shop, job.units)).collect(),
    })
}

fn sections(strip: &BendStrip, (stack, stands): &(&Stack, Edge), place: &Place) -> SectionsRow {
    let (line, stands) = (strip.line.moved(place), stands.moved(place));
    let first = |a: Point, b: Point| {
        on_grid(a.x) < on_grid(b.x) || on_grid(a.x) == on_grid(b.x) && a.y < b.y
    };
    let (line, [from, to]) = match first(line.from, line.to) {
        true => (line, [stands.to, stands.from]),
        false => (line.reversed(), [stands.from, stands.to]),
    };
    // Tools may extend beyond a line that ends at a slant.
    let begin = (from - line.from).dot(line.direction_at_start());
    SectionsRow {
        tool: stack.tool,
        lengths_mm: stack.pieces.iter().map(|width| on_grid(*width)).collect(),
        begin_mm: on_grid(begin),
        line_mm: [point(from), point(to)],
    }
}

/// The bend sequence, and why the order as drawn fails; `None` if that works.
pub(crate) fn as_drawn(job: &Job, solved: &Solved) -> Option<String> {
    let (shop, plan) = job.shop.as_deref().zip(solved.plan.as_ref())?;
    let (bend, refused) = plan.as_drawn.as_ref().filter(|_| plan.is_whole())?;
    let bends = &solved.part.bends;
    let names: Vec<&str> = plan.steps.iter().map(|s| bends[s.bend].name.as_str()).collect();
    // An obstruction is more informative than a brake that is always too small.
    let hits = refused.iter().find(|r| matches!(r.why, Why::Hits { .. }));
    let why = hits.or(refused.first()).map(|r| r.words(&solved.part, shop, job.units));
    // In the order as drawn, the earlier ones are made first.
    let after = match bend.checked_sub(1).map(|last| &bends[last].name) {
        Some(last) => format!(" straight after `{last}`"),
        None => " first".to_owned(),
    };
    Some(format!(
        "{}; `{}` cannot be made{after} ({})",
        names.join(", "),
        bends[*bend].name,
        why.unwrap_or_default()
    ))
}
