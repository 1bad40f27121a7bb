//! Rows of the report on a solid.

use crate::num::on_grid;
use crate::solid::Solid;
use serde::Serialize;

/// A solid in the report.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct SolidRow {
    pub(crate) file: String,
    pub(crate) volume_mm3: f64,
    planes: usize,
    cylinders: usize,
    cones: usize,
    tori: usize,
    /// Whether an edge over a bend is a chain of cubics instead of the true curve.
    approximate: bool,
}

/// The row of a solid in a file.
pub(crate) fn row(file: &str, solid: &Solid) -> SolidRow {
    let [planes, cylinders, cones, tori] = solid.kinds();
    SolidRow {
        file: file.to_owned(),
        volume_mm3: on_grid(solid.volume),
        planes,
        cylinders,
        cones,
        tori,
        approximate: solid.approximate,
    }
}
