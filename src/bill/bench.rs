//! The tasks at the bench, in the order of the work, by the features of the parts, links and tubes
//! of a job: only work that the job calls for is listed.
//!
//! The order is common practice: enclosed items are put in first; nothing that heat damages is
//! there during welding; holes with a fit are finished once the welds are cold; threads are chased
//! before they are plugged, and plugged before coating.

mod coat;
mod joint;
mod link;
mod part;
mod task;
mod tube_end;

use crate::bill::bench::task::Stage;
pub(crate) use crate::bill::bench::task::Task;
pub(crate) use crate::bill::bench::tube_end::from_cap;
use crate::bill::hardware;
use crate::bill::hardware::Hardware;
use crate::bill::masking::masking;
use crate::bill::tubes;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::job::Weldment;
use crate::num;
use crate::solve::Slot;
use crate::solve::Solved;
use crate::solve::slots;

/// The list for the bench; empty if the job does not ask for one.
pub(crate) fn bench(job: &Job, solved: &[Solved]) -> Vec<Task> {
    if job.bench.is_none() {
        return Vec::new();
    }
    let mut tasks = Vec::new();
    // Tubes and links first, then what is set on them.
    tasks.extend(job.made_tubes().flat_map(|tube| of_tube(job, tube)));
    tasks.extend(job.links.iter().filter(|l| l.quantity > 0).flat_map(|l| link::tasks(job, l)));
    tasks.extend(slots(job, solved).iter().map(|slot| of_slot(job, slot)));
    tasks.extend(tube_end::tasks(job, solved));
    tasks.extend(solved.iter().flat_map(|of| part::tasks(job, of)));
    tasks.extend(joint::tasks(job, solved));
    tasks.extend(job.weldments.iter().map(of_weldment));
    tasks.extend(masking(job, solved).into_iter().map(|masking| {
        let what = format!("{} {}, {}.", masking.cover.word(), masking.what, masking.place);
        Task::new(Stage::Plug, &masking.part, masking.quantity, num::capital(&what))
    }));
    tasks.extend(coat::tasks(job, solved));
    tasks.extend(hardware::through(job, solved, solved).iter().filter_map(bolted));
    tube_end::after_grinding(job, &mut tasks);
    // Tasks of one stage stay in the order of the job.
    tasks.sort_by_key(|task| task.stage);
    tasks
}

/// A tube whose ends are coped to others.
fn of_tube(job: &Job, tube: &CopedTube) -> Vec<Task> {
    let stands = job.machine.tubes.iter().find(|stands| stands.name == tube.in_job());
    let coped = ENDS.iter().enumerate().filter_map(|(i, end)| {
        let cope = tube.ends[i].as_ref()?;
        let (main, offset) = (job.units.length(cope.main()), tubes::offset(job, cope));
        let place =
            stands.and_then(|stands| job.on_main(stands, i)).map(|(name, along, is_coped)| {
                let start = if is_coped { "long point at the start" } else { "start" };
                format!(" {name}, axis {} from the {start} of {name}", job.units.taped(along))
            });
        Some(format!("its {end} on the {main} tube{}{offset}", place.unwrap_or_default()))
    });
    let coped: Vec<String> = coped.collect();
    if coped.is_empty() {
        return Vec::new();
    }
    let twist =
        tubes::twist(tube).map_or_else(String::new, |twist| format!(" {}.", num::capital(&twist)));
    let tack = format!("Fit and tack {}.{twist}", coped.join(", "));
    vec![
        Task::new(Stage::Tack, &tube.name, tube.quantity, tack),
        Task::new(Stage::Weld, &tube.name, tube.quantity, "Weld each cope all round.".into()),
    ]
}

/// A slot in a tube.
fn of_slot(job: &Job, slot: &Slot) -> Task {
    let thick = job.units.length(slot.thickness);
    let [from, to] = slot.along.map(|mm| job.units.taped(mm));
    let what = format!(
        "Cut a slot {} for {} ({thick} thick), {from} to {to} from the start: hold the part in place and \
         scribe round it.",
        slot.way(),
        slot.part
    );
    Task::new(Stage::Fit, slot.tube, slot.quantity, what)
}

fn of_weldment(weldment: &Weldment) -> Task {
    let what = "Level and square it, and check the diagonals, before final welding.";
    Task::new(Stage::Align, &weldment.name, 1, what.into())
}

/// Bolts and screws with their washers and nuts.
fn bolted(hardware: &Hardware) -> Option<Task> {
    if !hardware.kind.is_bolt() {
        return None;
    }
    let more = |count: u32, one: &str, many: &str| match count / hardware.quantity.max(1) {
        0 => String::new(),
        1 => format!(", {one}"),
        n => format!(", {n} {many}"),
    };
    let long = match hardware.length.as_str() {
        "" => String::new(),
        length => format!(" × {length}"),
    };
    let what = format!(
        "{} {}{long}{}{}.",
        hardware.kind.word(),
        hardware.thread,
        more(hardware.washers, "washer", "washers"),
        more(hardware.nuts, "nut", "nuts")
    );
    let alone = match hardware.alone {
        true => " Its length is for the plate alone: order longer ones where more is clamped.",
        false => "",
    };
    let what = num::capital(&what) + alone;
    let of = hardware.parts.join(", ");
    Some(Task::new(Stage::Assemble, &of, hardware.quantity, what))
}
