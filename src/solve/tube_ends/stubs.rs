//! The stubs in the tubes of a job.

use crate::check;
use crate::check::StubIn;
use crate::diag::Finding;
use crate::job::CopedTube;
use crate::job::Job;
use crate::job::TubeEnd;

/// The findings on how deep stubs go in, tube by tube.
pub(super) fn findings(job: &Job) -> Vec<Finding> {
    let of_tube = |tube: &CopedTube| {
        let ends = job.tube_ends.all.iter().filter(|end| end.tube == tube.name);
        let stubs: Vec<StubIn> = ends.filter_map(|end| stub(job, end)).collect();
        check::stubs((&tube.name, tube.short_length()), &stubs, job.units)
    };
    job.tubes.iter().flat_map(of_tube).collect()
}

fn stub<'a>(job: &'a Job, end: &'a TubeEnd) -> Option<StubIn<'a>> {
    let stub = end.inside.as_ref()?.stub.as_ref()?;
    let tube = job.tubes.iter().find(|tube| tube.name == stub.tube)?;
    Some(StubIn { name: &tube.name, long: tube.cut_length(), depth: stub.depth? })
}
