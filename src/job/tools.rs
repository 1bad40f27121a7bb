//! What the report says of the shop.

use crate::brake as bending;
use crate::job::report::rounded;
use crate::shop::FoldingKind;
use crate::shop::Shop;
use crate::shop::Tools;
use crate::table::Row;
use serde::Serialize;

/// The shop a job is made in.
#[derive(Clone, Debug, Serialize)]
pub struct ShopRow {
    about: String,
    /// How far a cut edge may be off, either way, by the job's way of cutting.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_tolerance_mm: Option<f64>,
    /// The figures of the way of cutting that are the shop's own.
    own_cutting: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bending: Option<String>,
    /// Whose word on bends is asked first.
    bends_trust: Vec<String>,
    brakes: Vec<BrakeRow>,
    measured: Vec<MeasuredRow>,
    drills_mm: Vec<f64>,
    hole_saws_mm: Vec<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    coating_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    oven_mm: Option<[f64; 3]>,
}

/// A brake.
#[derive(Clone, Debug, Serialize)]
struct BrakeRow {
    name: String,
    kind: &'static str,
    length_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    force_kn: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    thickest_mild_steel_mm: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    v_mm: Vec<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fingers_mm: Vec<f64>,
}

/// A bend that was measured.
#[derive(Clone, Debug, Serialize)]
struct MeasuredRow {
    material: String,
    thickness_mm: f64,
    v_mm: f64,
    deduction_mm: f64,
    inside_radius_mm: f64,
    k: f64,
}

/// The row of a shop.
pub(super) fn row(shop: &Shop, process: &Row) -> ShopRow {
    let cutting = shop.cutting.iter().find(|cutting| cutting.process == process.name());
    let brakes = shop.brakes.iter().map(|brake| {
        let (kind, v, fingers) = match &brake.tools {
            Tools::Press(press) => ("press", press.dies.iter().map(|d| d.v).collect(), Vec::new()),
            Tools::Folding(folding) => {
                let fingers = folding.fingers.as_ref().map(|f| f.widths.clone());
                (kind(folding.kind), Vec::new(), fingers.unwrap_or_default())
            }
        };
        BrakeRow {
            name: brake.name.clone(),
            kind,
            length_mm: rounded(brake.length),
            force_kn: brake.force.map(rounded),
            thickest_mild_steel_mm: brake
                .thickest
                .map(|t| rounded(bending::as_hard(brake.rated_for, bending::MILD_STEEL, t))),
            v_mm: all(&v),
            fingers_mm: all(&fingers),
        }
    });
    let measured = shop.measured.iter().map(|m| MeasuredRow {
        material: m.material.clone(),
        thickness_mm: rounded(m.thickness),
        v_mm: rounded(m.v),
        deduction_mm: rounded(m.deduction),
        inside_radius_mm: rounded(m.radius),
        k: rounded(m.k),
    });
    let own = cutting.into_iter().flat_map(|c| c.fields.iter().map(|(name, _)| name.clone()));
    ShopRow {
        about: shop.about.clone(),
        cut_tolerance_mm: cutting.and_then(|c| c.tolerance).map(rounded),
        own_cutting: own.collect(),
        bending: shop.method.map(|m| m.to_string()),
        bends_trust: shop.trust.iter().map(ToString::to_string).collect(),
        brakes: brakes.collect(),
        measured: measured.collect(),
        drills_mm: all(&shop.drills),
        hole_saws_mm: all(&shop.hole_saws),
        coating_mm: shop.coating.map(rounded),
        oven_mm: shop.oven.map(|sizes| sizes.map(rounded)),
    }
}

fn all(lengths: &[f64]) -> Vec<f64> {
    lengths.iter().map(|mm| rounded(*mm)).collect()
}

fn kind(kind: FoldingKind) -> &'static str {
    match kind {
        FoldingKind::Straight => "straight",
        FoldingKind::BoxAndPan => "box-and-pan",
        FoldingKind::Vice => "vice",
    }
}
