//! Rows of the report on a rolled bend or a hem.

use crate::bend::Form;
use crate::brake;
use crate::fold;
use crate::geom::Place;
use crate::job::Job;
use crate::num::on_grid;
use crate::report::ends::ends;
use crate::solve::Solved;
use serde::Serialize;

/// How a bend is formed that no brake makes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct FormedRow {
    /// `rolled`, `open-hem` or `closed-hem`.
    form: String,
    /// Its number in the order of bending; none without a shop.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sequence: Option<usize>,
    /// Its tool.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) tool: Option<String>,
    /// Where it begins and where it ends, in the flat.
    pub(crate) tangent_lines_mm: [[[f64; 2]; 2]; 2],
    /// Along its inside.
    pub(crate) inside_arc_mm: f64,
    /// Inside radius before springback, of a rolled bend.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) radius_under_load_mm: Option<f64>,
    /// Clear distance of an eye to the face it begins on, or of a hem between its sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) clear_mm: Option<f64>,
}

/// The row of a bend; `None` if it is simply bent. `place` moves the flat to its position in the
/// file.
pub(crate) fn row(job: &Job, solved: &Solved, bend: usize, place: &Place) -> Option<FormedRow> {
    let (made, strip) = (&solved.part.bends[bend].bend, &solved.flat.bends[bend]);
    let form = made.form();
    if form == Form::Bent {
        return None;
    }
    let material = &job.sheets[solved.sheet].material;
    let (yields, elastic) = (material.springing_strength(), material.measure("elastic"));
    let under_load = brake::under_load(made.radius(), made.thickness(), yields, elastic);
    let plan = solved.plan.as_ref();
    let formed = plan.and_then(|plan| plan.formed.iter().find(|formed| formed.bend == bend));
    let clear = match form {
        Form::OpenHem => Some(2.0 * made.radius()),
        _ => fold::eye_gap(&solved.part, &solved.flat, bend),
    };
    Some(FormedRow {
        form: form.to_string(),
        sequence: plan.and_then(|plan| plan.number(bend)),
        tool: formed.and_then(|formed| formed.tool.clone().ok()),
        tangent_lines_mm: strip.tangents.map(|line| ends(&line.moved(place))),
        inside_arc_mm: on_grid(made.angle().radians() * made.radius()),
        radius_under_load_mm: (form == Form::Rolled).then(|| on_grid(under_load)),
        clear_mm: clear.map(on_grid),
    })
}
