//! The tasks at the bench for the end of a tube.

use crate::bill::bench::task::Stage;
use crate::bill::bench::task::Task;
use crate::job::ENDS;
use crate::job::Job;
use crate::num::on_grid;
use crate::solve;
use crate::solve::PerDegree;
use crate::solve::Solved;
use crate::solve::TubeEnd;

/// Everything that is done to the ends of tubes, in no order of stages.
pub(super) fn tasks(job: &Job, solved: &[Solved]) -> Vec<Task> {
    solve::tube_ends(job, solved).iter().flat_map(|end| of_end(job, end)).collect()
}

fn of_end(job: &Job, end: &TubeEnd) -> Vec<Task> {
    let (tube, which) = (&end.tube, ENDS[end.asked.end]);
    let task = |stage, what: String| Task::new(stage, &tube.name, tube.quantity, what);
    let show = |mm: f64| job.units.length(on_grid(mm));
    let mut tasks = Vec::new();
    if let Some((asked, cap)) = end.asked.cap.as_ref().zip(end.fit.cap.as_ref()) {
        let off = match cap.is_inside {
            true => "the cap fits inside the tube and does not change the cut length".to_owned(),
            false => {
                format!("the cut length already allows for the {} of the cap", show(cap.thickness))
            }
        };
        let nut =
            cap.nut.as_ref().map_or_else(String::new, |nut| format!(", the {nut} nut inwards"));
        let what = format!("Close the {which} with {}{nut}: {off}.", asked.part);
        tasks.push(task(Stage::Tack, what));
        if cap.ground {
            let before = end
                .asked
                .cheeks
                .as_ref()
                .map(|cheeks| format!(", before it goes between the plates {}", cheeks.part));
            let before = before.unwrap_or_default();
            let what = format!("Grind the weld of {} at the {which} flush{before}.", asked.part);
            tasks.push(task(Stage::Grind, what));
        }
    }
    if let Some((what, _, _)) = &end.asked.inside {
        tasks.push(task(Stage::Fit, format!("Fit {what} into the {which} before it is closed.")));
    }
    if let Some((cheeks, [gap, _])) = end.asked.cheeks.as_ref().zip(end.fit.gap()) {
        let apart = cheeks.gap.map_or(gap, |(gap, _)| gap);
        let what = match end.legs {
            Some(legs) => {
                format!("Set {} over the {which}: its legs are {} apart.", cheeks.part, show(legs))
            }
            None => format!(
                "Set both plates {} {} apart at the {which}, measured between bare faces.",
                cheeks.part,
                show(apart)
            ),
        };
        tasks.push(task(Stage::Tack, what));
    }
    for ((tab, _), moved) in end.asked.tabs.iter().zip(&end.per_degree) {
        let what = format!(
            "Tack {} at {} from the {which} and {} from the heel line, clockwise seen from the start; \
             with the heel line uppermost, {}{}.",
            tab.part,
            show(tab.at),
            tab.clock,
            tab.level().words(),
            one_degree(job, moved)
        );
        tasks.push(task(Stage::Tack, what));
    }
    tasks
}

/// The effect of one degree at each place of a tab, behind the instruction to level it.
fn one_degree(job: &Job, moved: &[PerDegree]) -> String {
    let one = |of: &PerDegree| {
        let off = (of.off * 100.0).round() / 100.0;
        format!("{} by {}", of.spot.place(), job.units.length(off))
    };
    match moved.is_empty() {
        true => String::new(),
        false => {
            let moved = moved.iter().map(one).collect::<Vec<_>>().join(", ");
            format!(": 1° of error moves {moved}")
        }
    }
}
