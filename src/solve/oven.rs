//! What of a job is coated beside its parts and links: tubes and weldments.

use crate::check;
use crate::check::Coated;
use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;

/// Tubes and weldments that do not go into the oven of the shop.
pub(super) fn too_large(job: &Job) -> Vec<Finding> {
    if job.coating == 0.0 {
        return Vec::new();
    }
    let (limits, units) = (&job.limits, job.units);
    let tubes = job.tubes.iter().map(|tube| Coated {
        what: format!("tube `{}`", tube.name),
        about: Some(About::Tube(tube.name.clone())),
        size: [tube.cut_length(), tube.outside, tube.outside],
        here: tube.here,
        limits,
        units,
    });
    let weldments = job.weldments.iter().map(|weldment| Coated {
        what: format!("weldment `{}`", weldment.name),
        about: None,
        size: weldment.size,
        here: weldment.here,
        limits,
        units,
    });
    tubes.chain(weldments).filter_map(|coated| check::coated(&coated)).collect()
}
