//! What the report says of the loads.

use crate::job::Job;
use crate::num::on_grid;
use crate::quantity::N_PER_LBF;
use crate::solve::Solved;
use crate::strength::CAUTION;
use crate::strength::Limit;
use crate::strength::Shape;
use crate::strength::Verdict;
use serde::Serialize;

/// The loads of a job and what came of them. Forces are those on a whole set.
#[derive(Clone, Debug, Serialize)]
pub struct StrengthRow {
    /// What these numbers are not; to be printed with every one of them.
    pub caution: &'static str,
    /// Every load.
    pub loads: Vec<LoadRow>,
}

/// A load.
#[derive(Clone, Debug, Serialize)]
pub struct LoadRow {
    /// Its case.
    pub case: String,
    /// Name of the solved part.
    pub part: String,
    at: String,
    direction: String,
    held_by: String,
    method: &'static str,
    force: Force,
    shared_by: u32,
    holds: bool,
    /// Which limit allows the least.
    governed_by: &'static str,
    rule: &'static str,
    allowable: Force,
    /// What is left over, in hundredths of the load.
    margin_percent: f64,
    /// One sentence with all of that.
    pub words: String,
    limits: Vec<LimitRow>,
    shapes: Vec<ShapeRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tube_wall: Option<LimitRow>,
    assumed: Vec<String>,
    not_judged: Vec<String>,
}

/// A force in both systems.
#[derive(Clone, Copy, Debug, Serialize)]
struct Force {
    kn: f64,
    lbf: f64,
}

/// A way to fail.
#[derive(Clone, Debug, Serialize)]
struct LimitRow {
    what: &'static str,
    rule: &'static str,
    nominal: Force,
    factor: f64,
    allowable: Force,
}

/// A rule of shape.
#[derive(Clone, Debug, Serialize)]
struct ShapeRow {
    what: &'static str,
    rule: &'static str,
    is_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    min_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_mm: Option<f64>,
    kept: bool,
}

impl Force {
    fn of(newtons: f64) -> Self {
        Self { kn: on_grid(newtons / 1000.0), lbf: on_grid(newtons / N_PER_LBF) }
    }
}

/// The row of a job's loads, in the order of its parts; `None` when it has none.
pub(crate) fn row(job: &Job, solved: &[Solved]) -> Option<StrengthRow> {
    let verdicts = solved.iter().flat_map(|s| s.verdicts.iter().map(move |(_, v)| (s, v)));
    let loads: Vec<LoadRow> = verdicts.map(|(s, verdict)| load(job, s, verdict)).collect();
    (!loads.is_empty()).then_some(StrengthRow { caution: CAUTION, loads })
}

fn load(job: &Job, solved: &Solved, verdict: &Verdict) -> LoadRow {
    let pieces = f64::from(verdict.pieces);
    let governing = verdict.governing();
    let allowable = governing.map_or(0.0, |limit| verdict.allowable(limit));
    let (what, rule) = governing.map_or(("", ""), |limit| (limit.what, limit.rule));
    let margin = 100.0 * verdict.margin();
    let words = format!(
        "{}: {} {} of {}, {}; allowed {}, margin {} %: {} ({})",
        verdict.case,
        solved.name,
        verdict.direction,
        verdict.at,
        job.units.force(verdict.force),
        job.units.force(allowable),
        crate::num::text(margin, 0),
        what,
        rule,
    );
    let limit = |limit: &Limit| LimitRow {
        what: limit.what,
        rule: limit.rule,
        nominal: Force::of(limit.nominal * pieces),
        factor: on_grid(limit.factor),
        allowable: Force::of(limit.allowable() * pieces),
    };
    let shape = |shape: &Shape| ShapeRow {
        what: shape.what,
        rule: shape.rule,
        is_mm: on_grid(shape.is),
        min_mm: (!shape.most).then(|| on_grid(shape.wanted)),
        max_mm: shape.most.then(|| on_grid(shape.wanted)),
        kept: shape.kept(),
    };
    LoadRow {
        case: verdict.case.clone(),
        part: solved.name.clone(),
        at: verdict.at.clone(),
        direction: verdict.direction.clone(),
        held_by: verdict.held.clone(),
        method: verdict.method.name(),
        force: Force::of(verdict.force),
        shared_by: verdict.pieces,
        holds: margin >= 0.0,
        governed_by: what,
        rule,
        allowable: Force::of(allowable),
        margin_percent: on_grid(margin),
        words,
        limits: verdict.limits.iter().map(limit).collect(),
        shapes: verdict.shapes.iter().map(shape).collect(),
        tube_wall: verdict.wall.as_ref().map(limit),
        assumed: verdict.assumed.clone(),
        not_judged: verdict.not_judged.clone(),
    }
}
