//! The tasks at the bench for a part.

use crate::bill::bench::task::Stage;
use crate::bill::bench::task::Task;
use crate::bill::bench::task::leg_text;
use crate::bill::hardware::thread;
use crate::job::Job;
use crate::job::TubeEnd;
use crate::part;
use crate::part::Fact;
use crate::part::Hole;
use crate::part::Seat;
use crate::part::Weld;
use crate::recipe::Making;
use crate::solve;
use crate::solve::Solved;

/// Everything that is done to a part, in no order of stages.
pub(super) fn tasks(job: &Job, solved: &Solved) -> Vec<Task> {
    let pieces = solve::pieces(job, solved);
    let task = |stage, what| Task::new(stage, &solved.name, pieces, what);
    let mut tasks = captured(job, solved);
    tasks.extend(round_cap(job, solved));
    tasks.extend(welds(job, solved));
    tasks.extend(clevis(job, solved));
    let holes: Vec<&Hole> = solved.part.faces.iter().flat_map(|face| &face.holes).collect();
    for set in holes.chunk_by(|a, b| a.span == b.span) {
        for alike in set.chunk_by(|a, b| a.finished == b.finished) {
            let name = part::told_together(alike, set.len());
            let of_hole = of_hole(job, solved, alike[0], &name);
            tasks.extend(of_hole.into_iter().map(|(stage, what)| task(stage, what)));
        }
    }
    tasks
}

/// Whether anything of a part is welded.
fn is_welded(solved: &Solved) -> bool {
    solved.part.faces.iter().any(|face| !face.welds.is_empty())
        || solved.part.captured.as_ref().is_some_and(|captured| captured.weld > 0.0)
}

/// The welds along its edges.
fn welds(job: &Job, solved: &Solved) -> Vec<Task> {
    let pieces = solve::pieces(job, solved);
    let task = |stage, what| Task::new(stage, &solved.name, pieces, what);
    let faces = solved.part.faces.iter().enumerate();
    let all: Vec<(usize, &Weld)> =
        faces.flat_map(|(face, of)| of.welds.iter().map(move |weld| (face, weld))).collect();
    let mut tasks = Vec::new();
    // Those at the ends of tubes are in the list of their tubes.
    let line = &job.lines[solved.line];
    let on_tubes = job.set_on_tubes(&line.name, !solved.part.bends.is_empty());
    let left = pieces.saturating_sub(on_tubes);
    let sets = line.quantity.saturating_sub(on_tubes / 2);
    if let Some(gap) = solved.part.set_gap().filter(|_| !all.is_empty() && sets > 0) {
        let gap = job.units.length(gap);
        let what = format!("Tack both ears {gap} apart on a spacer, the pin through both eyes.");
        tasks.push(Task::new(Stage::Tack, &solved.name, sets, what));
    } else if !all.is_empty() && left > 0 {
        let mut names: Vec<String> =
            all.iter().map(|(_, weld)| format!("`{}`", weld.edge)).collect();
        names.dedup();
        let what = format!("Tack along {}.", names.join(", "));
        tasks.push(Task::new(Stage::Tack, &solved.name, left, what));
    }
    for (face, weld) in all {
        let long = solved.weld_length(face, weld);
        tasks.push(task(Stage::Weld, of_weld(job, weld, long)));
        if weld.note.contains("flush") {
            tasks.push(task(Stage::Grind, format!("Grind the weld of `{}` flush.", weld.edge)));
        }
    }
    tasks
}

/// A weld of a length in mm: where, how large, how long, on which sides.
fn of_weld(job: &Job, weld: &Weld, long: f64) -> String {
    let leg = weld.leg.map(|leg| format!(", leg {}", leg_text(job, leg)));
    let sides = match (weld.all_round, weld.sides) {
        (true, _) => "all round",
        (false, 1) => "one side",
        _ => "both sides",
    };
    let note = match weld.note.as_str() {
        "" => String::new(),
        note if note == sides => String::new(),
        note => format!(" ({note})"),
    };
    // A tenth of a millimetre is the accuracy of a tape.
    let long = job.units.cut_to(long);
    format!("Weld `{}`{}, {long}, {sides}{note}.", weld.edge, leg.unwrap_or_default())
}

/// The nut that is closed into a tube.
fn captured(job: &Job, solved: &Solved) -> Vec<Task> {
    let Some(captured) = &solved.part.captured else { return Vec::new() };
    let pieces = solve::pieces(job, solved);
    let task = |stage, what| Task::new(stage, &solved.name, pieces, what);
    let (nut, bore) = (captured.nut.name(), job.units.length(captured.bore));
    let has_fillet = captured.weld > 0.0;
    let held = match part::seat(solved.part.hole(captured.seat), &captured.nut) {
        Seat::Loose if has_fillet => format!("Fit the {nut} nut into its seat."),
        Seat::Loose => {
            format!("Weld the {nut} nut into its seat, outside; no fillet inside the tube.")
        }
        Seat::Pressed => format!("Press the {nut} nut into its seat."),
        Seat::Behind if has_fillet => format!("Fit the {nut} nut behind the plate."),
        Seat::Behind => format!("Weld the {nut} nut behind the plate."),
    };
    let mut tasks =
        vec![task(Stage::Fit, format!("{held} It cannot be reached once the cap is on."))];
    if has_fillet {
        let leg = leg_text(job, captured.weld);
        let before = "before the cap is fitted";
        tasks.push(task(Stage::Fit, format!("Weld all round the nut, leg {leg}, {before}.")));
        let what = format!("Grind the weld until the nut enters the {bore} bore.");
        tasks.push(task(Stage::Fit, what));
    }
    let chased = format!("Run a tap through the {nut} nut, once it is cold.");
    tasks.push(task(Stage::Chase, chased));
    tasks
}

/// The weld of a cap on its tube, with or without a nut, and the grinding of it.
fn round_cap(job: &Job, solved: &Solved) -> Vec<Task> {
    let pieces = solve::pieces(job, solved);
    let fact = |name: &str| solved.part.facts.iter().find(|fact| fact.name == name);
    let is_cap = fact("fit").is_some() && fact("tube_outside").is_some();
    if !is_cap && solved.part.captured.is_none() {
        return Vec::new();
    }
    let fillet = fact("weld");
    let leg = fillet.map_or_else(String::new, |leg| format!(", leg {}", leg.value.show(job.units)));
    let what = format!("Weld the cap to its tube all round{leg}.");
    let mut tasks = vec![Task::new(Stage::Weld, &solved.name, pieces, what)];
    let is_flush = |fact: &Fact| fact.name == "fit" && fact.value.show(job.units) == "flush";
    // Those on a tube of the job that asks for it are in the list of that tube.
    let left = pieces.saturating_sub(ground_on_tubes(job, solved));
    if left > 0 && solved.part.facts.iter().any(is_flush) {
        let what = "Grind the weld flush with the tube.".into();
        tasks.push(Task::new(Stage::Grind, &solved.name, left, what));
    }
    tasks
}

/// How many caps of a part are on ends of tubes of the job whose weld is ground flush.
fn ground_on_tubes(job: &Job, solved: &Solved) -> u32 {
    let part = &job.lines[solved.line].name;
    let is_on = |end: &&TubeEnd| end.cap.as_ref().is_some_and(|cap| cap.part == *part);
    let ends = job.tube_ends.all.iter().filter(|end| end.ground).filter(is_on);
    let tubes = ends.filter_map(|end| job.tubes.iter().find(|tube| tube.name == end.tube));
    tubes.map(|tube| tube.quantity).fold(0, u32::saturating_add)
}

/// The ears of a rod end.
fn clevis(job: &Job, solved: &Solved) -> Vec<Task> {
    let clevis = solved.part.clevis.as_ref();
    let line = &job.lines[solved.line];
    let clevis = clevis.filter(|_| solve::takes_rod_end(job, line, &solved.part));
    let Some(clevis) = clevis else { return Vec::new() };
    let sets = job.lines[solved.line].quantity;
    let task = |stage, what| Task::new(stage, &solved.name, sets, what);
    let mut tasks = Vec::new();
    if is_welded(solved) {
        let what = "Keep the rod end out until welding is done: heat ruins race and grease.";
        tasks.push(task(Stage::Fit, what.into()));
        let gap = job.units.length(clevis.gap);
        let what = format!("The pin must go through both eyes and turn by hand; gap {gap}.");
        tasks.push(task(Stage::Align, what));
    }
    if let Some(fit) = solved.clevis.as_ref().filter(|fit| fit.gap.film > 0.0) {
        let show = |mm: f64| job.units.length((mm * 100.0).round() / 100.0);
        let coated = fit.gap.bare - 2.0 * fit.gap.film;
        let filled = fit.gap.ball + 2.0 * fit.gap.spacer;
        let what = if fit.gap.spacer > 0.0 { "ball and spacers" } else { "ball" };
        let what = format!("Coated gap {}: {what}, {} wide, must fit.", show(coated), show(filled));
        tasks.push(task(Stage::Check, what));
    }
    if clevis.spacer > 0.0 {
        let thick = job.units.length(clevis.spacer);
        let what = format!("A spacer of {thick} on each side of the ball.");
        tasks.push(task(Stage::Assemble, what));
    }
    tasks
}

/// The tasks for the holes of a set.
fn of_hole(job: &Job, solved: &Solved, hole: &Hole, name: &str) -> Vec<(Stage, String)> {
    let welded = if is_welded(solved) { ", once it is welded and cold" } else { "" };
    let mut done = Vec::new();
    if let Some(insert) = &hole.insert {
        let work = format!("{} in `{name}`.", crate::num::capital(&insert.work()));
        match insert.row.text("kind") {
            Some("rivet nut") => done.push((Stage::Assemble, work)),
            Some("press nut") => done.push((Stage::Finish, work)),
            _ => {
                done.push((Stage::Weld, work));
                let what = format!("Run a tap through the nuts of `{name}`, once they are cold.");
                done.push((Stage::Chase, what));
            }
        }
    }
    let size = |hole: &Hole| {
        let diameter = hole.finished.unwrap_or(hole.outline.bounds().width());
        format!("Ø{}", job.units.size(diameter))
    };
    match hole.making {
        Making::Cut => {}
        // That is done with the plates it is joined to.
        Making::Drill if solve::joint_of(job, solved, hole).is_some() => {}
        Making::Drill => {
            done.push((Stage::Finish, format!("Drill `{name}` to {}{welded}.", size(hole))));
        }
        Making::Ream => {
            done.push((Stage::Finish, format!("Ream `{name}` to {}{welded}.", size(hole))));
        }
        Making::Tap => {
            let row = hole.thread.as_ref().map_or_else(|| size(hole), |row| thread(row));
            done.push((Stage::Chase, format!("Tap `{name}` {row}{welded}.")));
        }
    }
    let is_pressed = |through: &str| through.contains("bearing") || through.contains("bush");
    if hole.through.as_deref().is_some_and(is_pressed) {
        let what = hole.through.as_deref().unwrap_or_default();
        if is_welded(solved) {
            done.push((Stage::Fit, format!("Keep the {what} out of `{name}` while it is welded.")));
        }
        done.push((Stage::Assemble, format!("Press the {what} into `{name}`.")));
    }
    done
}
