//! The results of a load, on a part or along a link.

use crate::num::on_grid;
use crate::quantity::N_PER_LBF;
use crate::quantity::Units;
use serde::Serialize;

/// A force in both systems.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Force {
    pub(crate) kn: f64,
    pub(crate) lbf: f64,
}

impl Force {
    pub(super) fn of(newtons: f64) -> Self {
        Self { kn: on_grid(newtons / 1000.0), lbf: on_grid(newtons / N_PER_LBF) }
    }
}

/// The allowable value of a load, and the governing limit.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Outcome {
    /// Whether the load was followed along its whole path; otherwise there is no allowable load.
    pub(crate) judged: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) why_not: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) what_to_add: Option<String>,
    pub(crate) holds: Option<bool>,
    /// The lowest limit.
    pub(crate) governed_by: Option<&'static str>,
    rule: Option<&'static str>,
    pub(crate) allowable: Option<Force>,
    /// The margin, in hundredths of the load.
    pub(crate) margin_percent: Option<f64>,
    /// The same as printed beside the figures of load and allowable load.
    #[serde(skip)]
    pub(crate) margin: Option<String>,
}

/// The known results of a load once it was judged.
pub(super) struct JudgedLoad {
    /// Why it is not judged, and what to add.
    pub(super) lacks: Option<[String; 2]>,
    /// What governs, and by which rule.
    pub(super) governing: Option<[&'static str; 2]>,
    /// What that allows, N.
    pub(super) allowable: Option<f64>,
    /// The margin, as a share of the load.
    pub(super) margin: Option<f64>,
}

impl Outcome {
    /// The results under a force in newtons.
    pub(super) fn of(force: f64, known: JudgedLoad, units: Units) -> Self {
        let margin = known.margin.map(|margin| 100.0 * margin);
        let judged = known.lacks.is_none();
        let (why_not, what_to_add) = known.lacks.map(|[why, add]| (why, add)).unzip();
        let (governed_by, rule) = known.governing.map(|[what, rule]| (what, rule)).unzip();
        Self {
            judged,
            why_not,
            what_to_add,
            holds: margin.map(|margin| margin >= 0.0),
            governed_by,
            rule,
            allowable: known.allowable.map(Force::of),
            margin_percent: margin.map(on_grid),
            margin: known.allowable.map(|allowed| units.percent_left(force, allowed)),
        }
    }
}
