//! What the report and the drawings say of a bend.

use crate::brake;
use crate::flat::BendStrip;
use crate::geom::Edge;
use crate::geom::Place;
use crate::job::Job;
use crate::job::Solved;
use crate::job::report::point;
use crate::job::report::rounded;
use crate::num::Angle;
use crate::order::Metal;
use crate::order::Why;
use crate::part::Bend;
use crate::recipe::Grain;
use crate::table::Row;
use serde::Serialize;

/// A bend.
#[derive(Clone, Debug, Serialize)]
pub(super) struct BendRow {
    name: String,
    direction: &'static str,
    turn_deg: f64,
    inside_radius_mm: f64,
    method: String,
    /// On whose word: part, recipe, sheet, measured, shop or metal.
    method_by: String,
    k: f64,
    allowance_mm: f64,
    setback_mm: f64,
    deduction_mm: f64,
    line_mm: [[f64; 2]; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    made: Option<MadeRow>,
}

/// How a bend is made in the shop.
#[derive(Clone, Debug, Serialize)]
pub(super) struct MadeRow {
    /// Its number in the order of bending.
    pub(super) order: usize,
    pub(super) tool: String,
    /// The face that is held, and which side of the sheet is up.
    pub(super) hold: String,
    pub(super) up: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) v_mm: Option<f64>,
    pub(super) gives_radius_mm: f64,
    pub(super) least_flange_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) force_kn: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) force_short_tons: Option<f64>,
    pub(super) turn_under_load_deg: f64,
    pub(super) over_bend_deg: f64,
    /// What stands under the nose of a folding brake.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) sight_line_mm: Option<[[f64; 2]; 2]>,
    pub(super) grain: &'static str,
    /// The ways tried before.
    pub(super) refused: Vec<String>,
}

/// The strengths of a material that bending goes by.
pub(super) fn metal(material: &Row) -> Metal {
    Metal::of(material)
}

/// The row of a bend; `place` brings the flat to where its file has it.
pub(super) fn row(job: &Job, solved: &Solved, bend: usize, place: &Place) -> BendRow {
    let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
    BendRow {
        name: drawn.name.clone(),
        direction: if drawn.up { "up" } else { "down" },
        turn_deg: rounded(drawn.bend.turn().degrees()),
        inside_radius_mm: rounded(drawn.bend.radius()),
        method: drawn.bend.method().to_string(),
        method_by: drawn.by.to_string(),
        k: rounded(drawn.bend.k()),
        allowance_mm: rounded(drawn.bend.allowance()),
        setback_mm: rounded(drawn.bend.setback()),
        deduction_mm: rounded(drawn.bend.deduction()),
        line_mm: ends(&strip.line.moved(place)),
        made: made(job, solved, bend, place),
    }
}

fn ends(line: &Edge) -> [[f64; 2]; 2] {
    [point(line.from), point(line.to)]
}

pub(super) fn made(job: &Job, solved: &Solved, bend: usize, place: &Place) -> Option<MadeRow> {
    let (shop, plan) = job.shop.as_deref().zip(solved.plan.as_ref())?;
    let (order, step) = plan.step(bend)?;
    let (part, strip) = (&solved.part, &solved.flat.bends[bend]);
    let (drawn, way) = (&part.bends[bend], &step.way);
    let v = way.v(shop);
    let tensile = metal(&job.sheets[solved.sheet].material).tensile;
    let force = v.map(|v| brake::force(tensile, strip.line.length(), part.thickness, v));
    let turn = drawn.bend.turn().degrees();
    let holds_standing = way.hold == drawn.from;
    Some(MadeRow {
        order,
        tool: way.tool_words(shop, job.units),
        hold: part.faces[way.hold].name.clone(),
        up: if way.drawn_side_up { "drawn side" } else { "other side" },
        v_mm: v.map(rounded),
        gives_radius_mm: rounded(way.radius(shop, drawn.bend.radius())),
        least_flange_mm: rounded(way.least_flange(shop)),
        force_kn: force.map(rounded),
        force_short_tons: force.map(|f| rounded(brake::short_tons(f))),
        turn_under_load_deg: rounded(way.under_load.degrees()),
        over_bend_deg: rounded(way.under_load.degrees() - turn),
        sight_line_mm: v
            .is_none()
            .then(|| ends(&sight_line(strip, drawn, holds_standing).moved(place))),
        grain: grain(part.grain, strip),
        refused: step.refused.iter().map(|r| r.words(part, shop, job.units)).collect(),
    })
}

/// One inside radius from where the bend begins on the held side, towards the other.
fn sight_line(strip: &BendStrip, bend: &Bend, holds_standing: bool) -> Edge {
    let [near, far] = strip.tangents;
    let (held, other) = if holds_standing { (near, far) } else { (far, near) };
    let across = other.from - held.from;
    let by = across * (brake::sight_line(bend.bend.radius()) / across.hypot());
    Edge::line(held.from + by, held.to + by)
}

/// How a bend line lies to the grain.
fn grain(grain: Grain, strip: &BendStrip) -> &'static str {
    let line = strip.line.direction_at_start();
    let angle = Angle::of(line.x.abs(), line.y.abs()).degrees();
    let from = match grain {
        Grain::Free => return "free: may lie either way",
        Grain::AlongX => angle,
        Grain::AlongY => 90.0 - angle,
    };
    match from {
        a if a < 30.0 => "along",
        a if a > 60.0 => "across",
        _ => "askew",
    }
}

/// What the drawing says of how a bend is made: nothing without a shop.
pub(super) fn notes(job: &Job, solved: &Solved, bend: usize) -> Vec<String> {
    let place = Place::default();
    let Some(made) = made(job, solved, bend, &place) else { return Vec::new() };
    let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
    let (mm, degrees) = (|x: f64| job.units.length(x), |x: f64| crate::num::text(x, 1));
    let force = made
        .force_kn
        .zip(made.force_short_tons)
        .map(|(kn, tons)| format!(", {} kN ({} short tons)", degrees(kn), degrees(tons)));
    let sight = made.sight_line_mm.map(|_| {
        let radius = drawn.bend.radius();
        let off = brake::sight_line(radius) - strip.bend.allowance() / 2.0;
        let free =
            if made.hold == solved.part.faces[drawn.from].name { drawn.to } else { drawn.from };
        let towards = if off < 0.0 { &made.hold } else { &solved.part.faces[free].name };
        format!(", sight line {} from the bend line towards {towards}", mm(off.abs()))
    });
    vec![
        format!("  {}. {}: hold {}, {} up", made.order, made.tool, made.hold, made.up),
        format!(
            "  turn to {}°, which is {}° over; radius {}, flange from {}",
            degrees(made.turn_under_load_deg),
            degrees(made.over_bend_deg),
            mm(made.gives_radius_mm),
            mm(made.least_flange_mm),
        ),
        format!("  grain {}{}{}", made.grain, force.unwrap_or_default(), sight.unwrap_or_default()),
    ]
}

/// Where the order in which the part was drawn fails, in words, when another goes.
pub(super) fn as_drawn(job: &Job, solved: &Solved) -> Option<String> {
    let (shop, plan) = job.shop.as_deref().zip(solved.plan.as_ref())?;
    let (bend, refused) = plan.as_drawn.as_ref().filter(|_| plan.is_whole())?;
    let names: Vec<&str> =
        plan.steps.iter().map(|s| solved.part.bends[s.bend].name.as_str()).collect();
    // What stands in the way says more than a brake that is too small at any time.
    let hits = refused.iter().find(|r| matches!(r.why, Why::Hits { .. }));
    let why = hits.or(refused.first()).map(|r| r.words(&solved.part, shop, job.units));
    Some(format!(
        "not as drawn: `{}` cannot be bent after those before it ({}); bend {}",
        solved.part.bends[*bend].name,
        why.unwrap_or_default(),
        names.join(", ")
    ))
}
