//! The measured row of the shop file that pieces give.

use crate::as_built::cause::CauseFound;
use crate::as_built::cause::Kind;
use crate::as_built::cause::Verdict;
use crate::as_built::model::Model;
use crate::num;
use crate::shop::MATTERS;
use crate::shop::Measured;
use crate::shop::USUAL_K;

/// A row for the shop file.
#[derive(Clone, Debug)]
pub struct RowFound {
    /// The row.
    pub row: Measured,
    /// 95 % limit of its deduction, mm.
    pub limit: f64,
    /// The row of the shop file whose place it takes, where there is one.
    pub replaces: Option<Measured>,
    /// The deduction that present flats are computed with, mm.
    pub today: f64,
    /// Whether its radius was found, and is not as computed now.
    pub radius_told: bool,
    /// Why it should be checked before it is used.
    pub caution: Option<String>,
}

/// The rows of the groups whose deduction is off, as far as that is shown; `agrees` says whether
/// the measurements agree.
pub(super) fn rows(model: &Model, causes: &[CauseFound], agrees: bool) -> Vec<RowFound> {
    (0..model.groups.len()).filter_map(|group| row(model, causes, agrees, group)).collect()
}

fn row(model: &Model, causes: &[CauseFound], agrees: bool, group: usize) -> Option<RowFound> {
    let of = |kind: Kind| causes.iter().find(|cause| cause.kind == kind);
    let is_known = |cause: &&CauseFound| matches!(cause.verdict, Verdict::Off | Verdict::Right);
    let deduction = of(Kind::Deduction { group }).filter(|cause| cause.verdict == Verdict::Off)?;
    let radius = of(Kind::Radius { group }).filter(is_known);
    let group_of = &model.groups[group];
    let sheet = &model.job.sheets[group_of.sheet];
    let v = group_of.v?;
    let deduction_is = group_of.deduction + deduction.by;
    let radius_is = group_of.radius + radius.map_or(0.0, |cause| cause.by);
    let material = sheet.material.name().to_owned();
    let mut row = Measured::new(material, sheet.thickness, v, deduction_is, radius_is).ok()?;
    let shop = model.job.shop.as_deref();
    let replaces = shop.and_then(|shop| shop.measured.iter().find(|known| known.is_like(&row)));
    // What bends are bent to is not among the measurements: what strips said of it stays.
    row.springback = replaces.and_then(|known| known.springback);
    let cautions = [(!agrees).then(|| DOUBTFUL.to_owned()), caution(model, &row, deduction.limit)];
    let cautions: Vec<String> = cautions.into_iter().flatten().collect();
    let caution = (!cautions.is_empty()).then(|| cautions.join("; "));
    Some(RowFound {
        row,
        limit: deduction.limit,
        replaces: replaces.cloned(),
        today: group_of.deduction,
        radius_told: radius.is_some(),
        caution,
    })
}

/// Why a row of measurements that do not agree should not be used.
const DOUBTFUL: &str = "a measurement does not agree (see findings): measure again before using it";

/// Why a row should be checked before it is used.
fn caution(model: &Model, row: &Measured, limit: f64) -> Option<String> {
    let [low, high] = USUAL_K;
    if !(low..=high).contains(&row.k) {
        let k = num::text(row.k, 3);
        return Some(format!(
            "its K-factor of {k} is outside {low} to {high}: bend strips (`platewright calibrate`) \
             before using it"
        ));
    }
    (limit > MATTERS).then(|| {
        let matters = model.job.units.length(MATTERS);
        format!(
            "its 95 % limits are wider than ± {matters}: measure more pieces or bend strips (`platewright \
             calibrate`) before using it"
        )
    })
}
