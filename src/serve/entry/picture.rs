//! The picture of a link, of a tube or of what else is drawn of an entry.

use crate::drawings;
use crate::job::Job;
use crate::serve::part::paper_room;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::values::Of;
use crate::serve::values::is_at;
use crate::serve::values::tube_at;

/// The picture of a link or a tube, or of the link that is loaded.
pub(super) fn flat(
    job: &SnapshotJob,
    of: &Of,
    here: std::ops::Range<usize>,
    room: [f64; 2],
) -> Option<String> {
    let room = paper_room(room);
    let all: &Job = &job.ready.job;
    match of.kind {
        "link" => {
            let link = all.links.get(of.index)?;
            Some(drawings::link_element(all, link, room))
        }
        "tube" => {
            let tube = tube_at(all, &here)?;
            Some(drawings::tube_element(all, tube, room))
        }
        "tube_end" => {
            let end = all.tube_ends.all.get(of.index)?;
            Some(drawings::tube_element(all, &all.tube_of(end)?, room))
        }
        "obstacle" => {
            let name = seen_name(job, &here)?;
            let machine = job.ready.machine.as_ref()?;
            drawings::machine_element(all, machine, room, Some(name))
        }
        "load" => {
            let load = all.link_loads.iter().find(|load| is_at(load.here, &here))?;
            Some(drawings::link_element(all, &all.links[load.link], room))
        }
        _ => None,
    }
}

/// The name of the obstacle that is there.
fn seen_name<'j>(job: &'j SnapshotJob, here: &std::ops::Range<usize>) -> Option<&'j str> {
    let mut all = job.ready.job.machine.obstacles.iter();
    all.find(|(_, asked)| is_at(asked.here, here)).map(|(body, _)| body.name.as_str())
}
