//! The limits of a load as bars, as the drawing and the report have them: what of that which is allowed
//! the load takes.

use crate::quantity::Units;
use crate::report::Force;
use crate::report::LimitRow;
use crate::report::LinkLimitRow;
use crate::report::LinkLoadRow;
use crate::report::LoadRow;
use serde_json::Value;
use serde_json::json;

/// The limits of a load on a part, the lowest first, then the wall of the tube under it.
pub(super) fn of_load(row: &LoadRow, units: Units) -> Vec<Value> {
    let mut limits: Vec<&LimitRow> = row.limits.iter().collect();
    limits.sort_by(|a, b| a.allowable.kn.total_cmp(&b.allowable.kn));
    let governs = row.outcome.judged && !limits.is_empty();
    let all = limits.into_iter().chain(&row.tube_wall).enumerate();
    let bar = |(i, limit): (usize, &LimitRow)| {
        bar((&limit.named, row.force, limit.allowable), governs && i == 0, units)
    };
    all.map(bar).collect()
}

/// The weakest limit of each kind of a load along a link, the lowest first.
pub(super) fn of_link(row: &LinkLoadRow, units: Units) -> Vec<Value> {
    let bar = |(i, limit): (usize, &&LinkLimitRow)| {
        let governs = row.outcome.judged && i == 0;
        bar((limit.what, row.force, limit.allowable), governs, units)
    };
    row.weakest().iter().enumerate().map(bar).collect()
}

fn bar((what, load, allowed): (&str, Force, Force), governs: bool, units: Units) -> Value {
    json!({
        "what": what,
        "allowed": units.allowed_alone(1000.0 * allowed.kn),
        "share": load.kn / allowed.kn,
        "governs": governs,
    })
}
