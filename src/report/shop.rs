//! Rows of the report on the shop.

use crate::brake as bending;
use crate::num::on_grid;
use crate::shop::FoldingKind;
use crate::shop::Shop;
use crate::shop::Tools;
use crate::table::Row;
use serde::Serialize;

/// The shop a job is made in.
#[derive(Clone, Debug, Serialize)]
pub struct ShopRow {
    about: String,
    /// How far a cut edge may be off, either way, by the job's cutting process.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_tolerance_mm: Option<f64>,
    /// The figures of the cutting process that are the shop's own.
    own_cutting: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bend_method: Option<String>,
    /// The sources of bend data, in order of precedence.
    bend_sources: Vec<String>,
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
    max_thickness_mild_steel_mm: Option<f64>,
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
    #[serde(skip_serializing_if = "Option::is_none")]
    springback_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strips: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    scatter_mm: Option<f64>,
}

/// The row of a shop.
pub(crate) fn row(shop: &Shop, process: &Row) -> ShopRow {
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
            length_mm: on_grid(brake.length),
            force_kn: brake.force.map(on_grid),
            max_thickness_mild_steel_mm: brake
                .thickest
                .map(|t| on_grid(bending::as_hard(brake.rated_for, bending::MILD_STEEL, t))),
            v_mm: all(&v),
            fingers_mm: all(&fingers),
        }
    });
    let measured = shop.measured.iter().map(|m| MeasuredRow {
        material: m.material.clone(),
        thickness_mm: on_grid(m.thickness),
        v_mm: on_grid(m.v),
        deduction_mm: on_grid(m.deduction),
        inside_radius_mm: on_grid(m.radius),
        k: on_grid(m.k),
        springback_deg: m.springback.map(|more| on_grid(more.degrees())),
        strips: m.scatter.map(|(_, strips)| strips),
        scatter_mm: m.scatter.map(|(deviation, _)| on_grid(deviation)),
    });
    let own = cutting.into_iter().flat_map(|c| c.fields.iter().map(|(name, _)| name.clone()));
    ShopRow {
        about: shop.about.clone(),
        cut_tolerance_mm: cutting.and_then(|c| c.tolerance).map(on_grid),
        own_cutting: own.collect(),
        bend_method: shop.method.map(|m| m.to_string()),
        bend_sources: shop.trust.iter().map(ToString::to_string).collect(),
        brakes: brakes.collect(),
        measured: measured.collect(),
        drills_mm: all(&shop.drills),
        hole_saws_mm: all(&shop.hole_saws),
        coating_mm: shop.coating.map(|coating| on_grid(coating.film)),
        oven_mm: shop.oven.map(|sizes| sizes.map(on_grid)),
    }
}

fn all(lengths: &[f64]) -> Vec<f64> {
    lengths.iter().map(|mm| on_grid(*mm)).collect()
}

fn kind(kind: FoldingKind) -> &'static str {
    match kind {
        FoldingKind::Straight => "straight",
        FoldingKind::BoxAndPan => "box-and-pan",
        FoldingKind::Vice => "vice",
        FoldingKind::Hand(_) => "hand",
    }
}
