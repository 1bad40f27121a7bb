//! Rows of the report on the loads along links.

use crate::job::Job;
use crate::link::Found;
use crate::link::LinkVerdict;
use crate::link::Place;
use crate::num;
use crate::num::on_grid;
use crate::report::load::ShapeRow;
use crate::report::outcome::Force;
use crate::report::outcome::JudgedLoad;
use crate::report::outcome::Outcome;
use crate::solve;
use crate::solve::Solved;
use crate::strength::Method;
use serde::Serialize;

/// A load along a link. Forces are those on each link.
#[derive(Clone, Debug, Serialize)]
pub struct LinkLoadRow {
    /// Its case.
    pub case: String,
    /// Name of the link.
    pub link: String,
    /// Tension, compression, or both.
    pub(crate) acting: String,
    pub(crate) method: &'static str,
    pub(crate) force: Force,
    #[serde(flatten)]
    pub(crate) outcome: Outcome,
    /// Where the limit that governs is, which way and at which setting.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) place_words: Option<String>,
    /// The slenderness KL/r at the longest setting, where it is in compression.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) slenderness: Option<f64>,
    /// One sentence with the load, the allowable load, the margin and the governing limit.
    pub words: String,
    pub(crate) limits: Vec<LinkLimitRow>,
    pub(crate) shapes: Vec<ShapeRow>,
    pub(crate) assumed: Vec<String>,
    pub(crate) not_judged: Vec<String>,
}

/// A way to fail of a link.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct LinkLimitRow {
    pub(crate) what: &'static str,
    pub(crate) rule: &'static str,
    pub(crate) acting: &'static str,
    /// `tube`, `end 1`, `end 2`, or the name of a part that the link is attached to.
    pub(crate) place: String,
    /// Whether that is a part.
    #[serde(skip)]
    of_part: bool,
    /// From pin to pin, where the setting matters.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) pins_mm: Option<f64>,
    nominal: Force,
    factor: f64,
    pub(crate) allowable: Force,
}

impl LinkLoadRow {
    /// Where it governs, what was assumed and what was not judged: printed with the sentence.
    pub fn remarks(&self) -> Vec<String> {
        let governs = self.place_words.iter().map(|words| format!("Governs {words}."));
        let slender = self.slenderness.map(|slender| {
            format!("Slenderness {} of 200 (AISC 360-16 E2).", num::text(slender, 0))
        });
        let assumed =
            (!self.assumed.is_empty()).then(|| format!("Assumed: {}.", self.assumed.join("; ")));
        let not_judged = self.not_judged.iter().map(|words| format!("Not judged: {words}."));
        governs.chain(slender).chain(not_judged).chain(assumed).collect()
    }

    /// The weakest limit of each kind, and that of each part at the ends; the weakest first.
    pub(crate) fn weakest(&self) -> Vec<&LinkLimitRow> {
        let mut limits: Vec<&LinkLimitRow> = self.limits.iter().collect();
        limits.sort_by(|a, b| a.allowable.kn.total_cmp(&b.allowable.kn));
        let is_alike = |a: &LinkLimitRow, b: &LinkLimitRow| match (a.of_part, b.of_part) {
            (true, true) => a.place == b.place,
            (false, false) => a.what == b.what,
            _ => false,
        };
        let mut kept: Vec<&LinkLimitRow> = Vec::new();
        for limit in limits {
            if kept.iter().all(|known| !is_alike(known, limit)) {
                kept.push(limit);
            }
        }
        kept
    }
}

/// The rows of a job's loads along links.
pub(crate) fn rows(job: &Job, solved: &[Solved]) -> Vec<LinkLoadRow> {
    solve::link_verdicts(job, solved).iter().map(|verdict| row(job, verdict)).collect()
}

fn row(job: &Job, verdict: &LinkVerdict) -> LinkLoadRow {
    let governing = verdict.governing();
    let known = JudgedLoad {
        lacks: verdict.lack.as_ref().map(|lack| [lack.to_string(), lack.help().to_owned()]),
        governing: governing.map(|found| [found.limit.what, found.limit.rule]),
        allowable: governing.map(|found| found.limit.allowable()),
        margin: verdict.margin(),
    };
    LinkLoadRow {
        case: verdict.case.clone(),
        link: verdict.link.clone(),
        acting: verdict.acting.clone(),
        method: Method::Aisc360.name(),
        force: Force::of(verdict.force),
        outcome: Outcome::of(verdict.force, known, job.units),
        place_words: governing.map(|found| found.words(job.units)),
        slenderness: verdict.slenderness.map(on_grid),
        words: words(job, verdict),
        limits: verdict.limits.iter().map(limit).collect(),
        shapes: verdict.shapes.iter().map(ShapeRow::of).collect(),
        assumed: verdict.assumed.clone(),
        not_judged: verdict.not_judged.clone(),
    }
}

fn limit(found: &Found) -> LinkLimitRow {
    LinkLimitRow {
        what: found.limit.what,
        rule: found.limit.rule,
        acting: found.way.acting(),
        place: match &found.place {
            Place::Tube => "tube".to_owned(),
            Place::End(i) => format!("end {}", i + 1),
            Place::Part(name) => name.clone(),
        },
        of_part: matches!(found.place, Place::Part(_)),
        pins_mm: found.pins.map(on_grid),
        nominal: Force::of(found.limit.nominal),
        factor: on_grid(found.limit.factor),
        allowable: Force::of(found.limit.allowable()),
    }
}

/// One sentence with the result of a load.
fn words(job: &Job, verdict: &LinkVerdict) -> String {
    let what = format!("{}: link {}, {}", verdict.case, verdict.link, verdict.acting);
    let force = job.units.applied(verdict.force);
    match (&verdict.lack, verdict.governing()) {
        (Some(lack), _) => format!("{what}, {force}; not judged: {lack}; {}", lack.help()),
        (None, Some(found)) => format!(
            "{what}, {force}; allowed {}, margin {} %: {} ({})",
            job.units.allowed(found.limit.allowable()),
            job.units.percent_left(verdict.force, found.limit.allowable()),
            found.limit.what,
            found.limit.rule,
        ),
        (None, None) => format!("{what}, {force}; not judged"),
    }
}
