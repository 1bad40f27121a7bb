//! The tasks at the bench for the end of a tube.

use crate::bill::bench::task::Stage;
use crate::bill::bench::task::Task;
use crate::job;
use crate::job::ENDS;
use crate::job::Inside;
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

/// Plates beside a cap that is ground cannot be set before: what is tacked or welded of them is moved
/// behind the grinding.
pub(super) fn after_grinding(job: &Job, tasks: &mut [Task]) {
    let ground = job.tube_ends.all.iter().filter(|end| is_ground(end));
    let cheeks: Vec<&str> =
        ground.filter_map(|end| Some(end.cheeks.as_ref()?.part.as_str())).collect();
    for task in tasks.iter_mut().filter(|task| cheeks.contains(&task.of.as_str())) {
        task.stage = match task.stage {
            Stage::Tack => Stage::SetOnGround,
            Stage::Weld => Stage::WeldOnGround,
            other => other,
        };
    }
}

/// Whether the weld of its cap is ground.
const fn is_ground(end: &job::TubeEnd) -> bool {
    end.ground && end.cap.is_some()
}

fn of_end(job: &Job, end: &TubeEnd) -> Vec<Task> {
    let tube = &end.tube;
    let mut tasks = closed(job, end);
    tasks.extend(end.asked.inside.iter().flat_map(|of| inside(job, end, of)));
    tasks.extend(beside(job, end));
    tasks.extend(
        (0..end.asked.tabs.len())
            .map(|i| Task::new(Stage::Tack, &tube.name, tube.quantity, tab(job, end, i))),
    );
    tasks
}

/// The cap and the grinding of its weld.
fn closed(job: &Job, end: &TubeEnd) -> Vec<Task> {
    let (tube, which) = (&end.tube, ENDS[end.asked.end]);
    let task = |stage, what: String| Task::new(stage, &tube.name, tube.quantity, what);
    let show = |mm: f64| job.units.length(on_grid(mm));
    let Some((asked, cap)) = end.asked.cap.as_ref().zip(end.fit.cap.as_ref()) else {
        return Vec::new();
    };
    let off = match cap.is_inside {
        true => "the cap fits inside the tube and does not change the cut length".to_owned(),
        false => {
            format!("the cut length already allows for the {} of the cap", show(cap.thickness))
        }
    };
    let nut = cap.nut.as_ref().map_or_else(String::new, |nut| format!(", the {nut} nut inwards"));
    let what = format!("Close the {which} with {}{nut}: {off}.", asked.part);
    let mut tasks = vec![task(Stage::Tack, what)];
    if cap.ground {
        let to = match end.fit.ground() {
            Some(ground) => format!("to {} outside", show(ground)),
            None => format!("with the tube ({} outside as drawn)", show(end.fit.outside)),
        };
        let before = end.asked.cheeks.as_ref();
        let before = before.map(|of| format!(", before the plates {} are set beside it", of.part));
        let before = before.unwrap_or_default();
        let what = format!("Grind the weld of {} at the {which} flush {to}{before}.", asked.part);
        tasks.push(task(Stage::Grind, what));
    }
    tasks
}

/// A stub or a bung, and its weld: that of a bung is at its shoulder; its thread is chased.
fn inside(job: &Job, end: &TubeEnd, of: &Inside) -> Vec<Task> {
    let (tube, which) = (&end.tube, ENDS[end.asked.end]);
    let task = |stage, what: String| Task::new(stage, &tube.name, tube.quantity, what);
    let words = &of.words;
    let Some(bung) = &of.bung else {
        let what = match of.depth() {
            Some(depth) => {
                let depth = job.units.length(on_grid(depth));
                format!("Fit {words} {depth} deep into the {which}; mark the depth on the stub.")
            }
            None => format!("Fit {words} into the {which}."),
        };
        // Behind a cap nothing can be welded any more.
        if end.asked.cap.is_some() {
            let what = format!("{}, before the end is capped.", what.trim_end_matches('.'));
            return vec![task(Stage::Fit, what)];
        }
        let weld = format!("Weld {words} all round at the {which}, unless it is to come out.");
        return vec![task(Stage::Fit, what), task(Stage::Weld, weld)];
    };
    let shoulder = job.units.length(on_grid(of.shoulder()));
    let off = format!("the cut length already allows for its shoulder of {shoulder}");
    vec![
        task(Stage::Fit, format!("Fit {words} into the {which}: {off}.")),
        task(Stage::Weld, format!("Weld {words} all round at the {which}.")),
        task(
            Stage::Chase,
            format!("Run a tap {} through the bung at the {which}, once it is cold.", bung.name()),
        ),
    ]
}

/// The plates beside it: how far apart they are set, and the gap once they are coated.
fn beside(job: &Job, end: &TubeEnd) -> Vec<Task> {
    let (tube, which) = (&end.tube, ENDS[end.asked.end]);
    let task = |stage, what: String| Task::new(stage, &tube.name, tube.quantity, what);
    let show = |mm: f64| job.units.length(on_grid(mm));
    let asked = end.asked.cheeks.as_ref().zip(end.fit.cheeks.as_ref());
    let Some(((cheeks, fit), (apart, [drawn, widest]))) = asked.zip(end.apart().zip(end.fit.gap()))
    else {
        return Vec::new();
    };
    let part = &cheeks.part;
    let [lap, lacks] = lap(job, end, cheeks.lap.map(|(lap, _)| lap));
    let what = match end.legs {
        Some(legs) => {
            format!("Set {part} over the {which}{lap}: its legs are {} apart.{lacks}", show(legs))
        }
        None => {
            let needs = match fit.ground {
                Some(ground) => format!(
                    "Needed: {} for the tube ground to {}; measure it",
                    show(drawn),
                    show(ground)
                ),
                None => format!(
                    "Needed: {} for the tube as drawn, {} for the widest; measure the tube",
                    show(drawn),
                    show(widest)
                ),
            };
            format!(
                "Set both plates {part} {} apart at the {which}, measured between bare faces{lap}. {needs}.{lacks}",
                show(apart)
            )
        }
    };
    let stage = if is_ground(end.asked) { Stage::SetOnGround } else { Stage::Tack };
    let mut tasks = vec![task(stage, what)];
    if fit.coating > 0.0 {
        let what = format!(
            "Gap between the plates {part} at the {which}, coated: {}.",
            show(apart - 2.0 * fit.coating)
        );
        tasks.push(task(Stage::Check, what));
    }
    tasks
}

/// How far the plates lap over the tube, and a sentence where that is not given.
fn lap(job: &Job, end: &TubeEnd, lap: Option<f64>) -> [String; 2] {
    let show = |mm: f64| job.units.length(on_grid(mm));
    match lap {
        Some(lap) => {
            let cap = from_cap(job, end, lap);
            [format!(", lapping {} over the tube{cap}", show(lap)), String::new()]
        }
        None => [String::new(), " How far they lap over the tube is not given.".to_owned()],
    }
}

/// The same distance from the face of the cap, which is on by then: ` as cut (124 mm from the face of the
/// cap)`; nothing where no cap covers the end.
pub(crate) fn from_cap(job: &Job, end: &TubeEnd, place: f64) -> String {
    let cap = end.fit.cap.as_ref().filter(|cap| !cap.is_inside);
    cap.map_or_else(String::new, |cap| {
        let from = job.units.length(on_grid(place + cap.thickness));
        format!(" as cut ({from} from the face of the cap)")
    })
}

/// Where a tab is tacked, and how it is levelled.
fn tab(job: &Job, end: &TubeEnd, i: usize) -> String {
    let ((tab, _), moved) = (&end.asked.tabs[i], &end.per_degree[i]);
    let which = ENDS[end.asked.end];
    let show = |mm: f64| job.units.length(on_grid(mm));
    let from_cap = from_cap(job, end, tab.at);
    format!(
        "Tack {} at {} from the {which}{from_cap} and {} from the heel line, clockwise seen from the \
         start; with the heel line uppermost, {}{}.",
        tab.part,
        show(tab.at),
        tab.clock,
        end.levels[i],
        one_degree(job, moved)
    )
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
