//! The measured row of the shop file that pieces give.

use crate::as_built::cause::CauseFound;
use crate::as_built::cause::Kind;
use crate::as_built::cause::Told;
use crate::as_built::model::Model;
use crate::num;
use crate::num::Angle;
use crate::shop::MATTERS;
use crate::shop::Measured;
use crate::shop::USUAL_K;

/// A row for the shop file.
#[derive(Clone, Debug)]
pub struct RowFound {
    /// The row.
    pub row: Measured,
    /// Limit of its deduction which holds 95 %, mm.
    pub limit: f64,
    /// The deduction that the flats of today are computed with, mm.
    pub today: f64,
    /// Whether its radius was told, and is not that of today.
    pub radius_told: bool,
    /// Why it should be looked at before it is used.
    pub caution: Option<String>,
}

/// The rows of the groups whose deduction is off, as far as that is told.
pub(super) fn rows(model: &Model, causes: &[CauseFound]) -> Vec<RowFound> {
    (0..model.groups.len()).filter_map(|group| row(model, causes, group)).collect()
}

fn row(model: &Model, causes: &[CauseFound], group: usize) -> Option<RowFound> {
    let of = |kind: Kind| causes.iter().find(|cause| cause.kind == kind);
    let is_told = |cause: &&CauseFound| matches!(cause.told, Told::Off | Told::AsItShould);
    let deduction = of(Kind::Deduction { group }).filter(|cause| cause.told == Told::Off)?;
    let radius = of(Kind::Radius { group }).filter(is_told);
    let group_of = &model.groups[group];
    let sheet = &model.job.sheets[group_of.sheet];
    let v = group_of.v?;
    let deduction_is = group_of.deduction + deduction.by;
    let radius_is = group_of.radius + radius.map_or(0.0, |cause| cause.by);
    let material = sheet.material.name().to_owned();
    let mut row = Measured::new(material, sheet.thickness, v, deduction_is, radius_is).ok()?;
    let angle = of(Kind::Springback { group }).filter(is_told);
    row.springback = angle.zip(group_of.over).and_then(|(cause, over)| {
        // It was bent as the drawing says, and rests at 90° and what it is off.
        let more = 90.0 * (90.0 + over.degrees()) / (90.0 + cause.by) - 90.0;
        (more >= 0.0).then(|| Angle::from_degrees((more * 100.0).round() / 100.0))
    });
    let caution = caution(&row, deduction.limit);
    Some(RowFound {
        row,
        limit: deduction.limit,
        today: group_of.deduction,
        radius_told: radius.is_some(),
        caution,
    })
}

/// Why a row should be looked at before it is used.
fn caution(row: &Measured, limit: f64) -> Option<String> {
    let [low, high] = USUAL_K;
    if !(low..=high).contains(&row.k) {
        let k = num::text(row.k, 3);
        return Some(format!(
            "its K-factor of {k} is outside {low} to {high}, bend strips (`platewright calibrate`) \
             before it is used"
        ));
    }
    (limit > MATTERS).then(|| {
        format!(
            "it is not known to {MATTERS} mm, measure more pieces or bend strips (`platewright \
             calibrate`) before it is used"
        )
    })
}
