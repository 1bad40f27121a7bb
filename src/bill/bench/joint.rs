//! The tasks at the bench for a joint.

use crate::bill::bench::task::Stage;
use crate::bill::bench::task::Task;
use crate::job::Job;
use crate::joint::Bolted;
use crate::joint::Plate;
use crate::num::on_grid;
use crate::solve;
use crate::solve::Solved;

/// Everything that is done to the joints, in no order of stages.
pub(super) fn tasks(job: &Job, solved: &[Solved]) -> Vec<Task> {
    solve::joints(job, solved).into_iter().flat_map(|bolted| of_joint(job, bolted)).collect()
}

fn of_joint(job: &Job, bolted: &Bolted) -> Vec<Task> {
    let task = |stage, what: String| Task::new(stage, &bolted.joint.name, bolted.quantity, what);
    let mut tasks = Vec::new();
    let steps = bolted.drilling(job.units);
    if !steps.is_empty() {
        tasks.push(task(Stage::Finish, steps.join(" ")));
    }
    let sleeves = bolted.laminates().filter_map(|laminate| laminate.sleeve_length());
    tasks.extend(sleeves.map(|long| {
        let what = format!(
            "Put a crush sleeve {} long into each hole of the laminate: it must not protrude.",
            job.units.length(on_grid(long))
        );
        task(Stage::Assemble, what)
    }));
    let into = bolted.thread().map_or_else(String::new, |t| format!(" into {}", t.words));
    let over: Vec<String> =
        bolted.flipped_over().iter().map(|[base, plate]| flipped(base, plate)).collect();
    let what = format!(
        "Bolt {}: {} {} per joint{into}; stack: {}.{}",
        bolted.parts().join(", "),
        bolted.bolts_each(),
        bolted.ordered(),
        bolted.stack(job.units),
        over.concat()
    );
    tasks.push(task(Stage::Assemble, what));
    tasks
}

/// The note that a plate is flipped over, of the one that can be.
fn flipped(base: &Plate, plate: &Plate) -> String {
    let (over, with) = if plate.has_sides() { (base, plate) } else { (plate, base) };
    let [over, with] = [over, with].map(|of| &of.part);
    format!(" Flip {over} over: its holes are the mirror image of those of {with}.")
}
