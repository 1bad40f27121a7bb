//! Rows of the report on the joints.

use crate::job::Job;
use crate::joint::Bolted;
use crate::num::on_grid;
use crate::solve;
use crate::solve::Solved;
use serde::Serialize;

/// A bolted joint. Values without a figure in the tables are left out.
#[derive(Clone, Debug, Serialize)]
pub struct JointRow {
    /// Its name.
    pub name: String,
    /// Number of joints.
    pub quantity: u32,
    /// Bolts in each.
    pub bolts: u32,
    /// The bolt with its length.
    pub bolt: String,
    /// Its parts.
    pub parts: Vec<String>,
    /// The holes of its bolts, `part.hole`.
    pub holes: Vec<String>,
    /// The layers, from the head to the nut.
    pub stack: String,
    /// Between head and nut, or to where the thread begins.
    pub grip_mm: f64,
    /// The required length, before it is rounded up to a stock length.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needed_mm: Option<f64>,
    /// The terms of the length.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_from: Option<String>,
    /// How far the bolt protrudes beyond nut or thread once it is tight.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub protrusion_mm: Option<f64>,
    /// The part with the thread, if that is not a loose nut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thread: Option<String>,
    /// How the holes line up.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub alignment: Vec<AlignmentRow>,
    /// How its holes are drilled, step by step.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub drilling: Vec<String>,
    /// Properties that are not judged, with what to add.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_judged: Vec<String>,
    /// Bearing stress of the most heavily loaded bolt in each laminate, and the allowable one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub bearing: Vec<BearingRow>,
}

/// How the holes of two plates line up, worst case.
#[derive(Clone, Debug, Serialize)]
pub struct AlignmentRow {
    /// Both, `part.hole`; the same twice if one plate is judged alone.
    pub holes: [String; 2],
    /// `floating` or `fixed` fasteners.
    pub rule: &'static str,
    /// Clearance of the bolt in the smallest holes, coated.
    pub clearance_mm: f64,
    /// The zones in which their axes lie, together.
    pub zones_mm: f64,
    /// How far the worst holes are off as drawn.
    pub offset_mm: f64,
    /// The remaining clearance.
    pub margin_mm: f64,
}

/// Bearing in a laminate.
#[derive(Clone, Debug, Serialize)]
pub struct BearingRow {
    /// Where it is thinnest.
    pub thickness_mm: f64,
    /// F / (d t).
    pub stress_mpa: f64,
    /// As the job gives it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowed_mpa: Option<f64>,
}

/// The rows of a job.
pub(crate) fn rows(job: &Job, solved: &[Solved]) -> Vec<JointRow> {
    solve::joints(job, solved).into_iter().map(|bolted| row(job, bolted)).collect()
}

fn row(job: &Job, bolted: &Bolted) -> JointRow {
    let alignment = bolted.passing().into_iter().map(|of| AlignmentRow {
        holes: of.plates.map(|plate| plate.words()),
        rule: of.rule,
        clearance_mm: on_grid(of.least),
        zones_mm: on_grid(of.zones),
        offset_mm: on_grid(of.off),
        margin_mm: on_grid(of.left()),
    });
    let bearing = bolted.laminates().filter_map(|laminate| {
        Some(BearingRow {
            thickness_mm: on_grid(laminate.thinnest()),
            stress_mpa: on_grid(bolted.bearing(laminate)?),
            allowed_mpa: laminate.bearing,
        })
    });
    let lacks = bolted.laminates().flat_map(|laminate| bolted.not_judged(laminate));
    JointRow {
        name: bolted.joint.name.clone(),
        quantity: bolted.quantity,
        bolts: bolted.bolts_each(),
        bolt: bolted.ordered(),
        parts: bolted.parts().into_iter().map(str::to_owned).collect(),
        holes: bolted.plates().map(|(_, plate)| plate.words()).collect(),
        stack: bolted.stack(job.units),
        grip_mm: on_grid(bolted.grip()),
        needed_mm: bolted.needed().map(on_grid),
        length_from: bolted.length_from(job.units),
        protrusion_mm: bolted.protrusion().map(|[out, _]| on_grid(out)),
        thread: bolted.thread().map(|thread| thread.words.clone()),
        alignment: alignment.collect(),
        drilling: bolted.drilling(job.units),
        not_judged: lacks.map(|(what, add)| format!("{what}: add {add}")).collect(),
        bearing: bearing.collect(),
    }
}
