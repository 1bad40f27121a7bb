//! What came of a load, on a part or along a link, as the page shows it.

use crate::link::LinkLoad;
use crate::report;
use crate::serve::bars;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::values::is_at;
use crate::workshop::Ready;
use serde_json::Value;
use serde_json::json;

/// What came of a load: where it acts on which part, what governs, all limits.
pub(super) fn load(job: &SnapshotJob, here: std::ops::Range<usize>) -> Option<Value> {
    if let Some(load) = job.ready.job.link_loads.iter().find(|load| is_at(load.here, &here)) {
        return along_link(job, load);
    }
    let all = job.ready.solved.iter().chain(&job.ready.left_out.drawn);
    let (solved, i) = all.into_iter().find_map(|solved| {
        let found = solved.verdicts.iter().position(|(span, _)| is_at(*span, &here))?;
        Some((solved, found))
    })?;
    let verdict = &solved.verdicts[i].1;
    let row = report::loads(&job.ready.job, std::slice::from_ref(solved))?.loads.swap_remove(i);
    let remarks = row.remarks();
    let units = job.ready.job.units;
    Some(json!({
        "bars": bars::of_load(&row, units),
        "legend": units.bars(verdict.force),
        "part": solved.name,
        "bends": solved.part.bends.len(),
        "at": verdict.acts.as_ref().map(|acts| &acts.at),
        "feet": verdict.acts.as_ref().map(|acts| &acts.feet),
        "ways": verdict.acts.as_ref().map(|acts| &acts.ways),
        "section": verdict.governing().and_then(|limit| limit.section.as_ref()).map(|s| s.folded),
        "row": row,
        "remarks": remarks,
        "caution": crate::job::CAUTION,
    }))
}

/// What came of a load along a link, with the weakest limit of each kind.
fn along_link(job: &SnapshotJob, load: &LinkLoad) -> Option<Value> {
    let Ready { job: all, solved, .. } = &job.ready;
    let link = &all.links[load.link].name;
    let mut rows = report::link_loads(all, solved).into_iter();
    let row = rows.find(|row| row.case == load.name && row.link == *link)?;
    let mut shown = json!(row);
    shown["limits"] = json!(row.weakest());
    Some(json!({
        "bars": bars::of_link(&row, all.units),
        "legend": all.units.bars(1000.0 * row.force.kn),
        "link": load.link,
        "row": shown,
        "remarks": row.remarks(),
        "caution": crate::job::CAUTION,
    }))
}
