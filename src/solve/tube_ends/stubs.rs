//! The stubs and bungs in the tubes of a job.

use crate::check;
use crate::check::BungIn;
use crate::check::Filled;
use crate::check::StubIn;
use crate::diag::Finding;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::job::TubeEnd;

/// The findings on what goes into the ends of tubes, tube by tube.
pub(super) fn findings(job: &Job) -> Vec<Finding> {
    let of_tube = |tube: &CopedTube| {
        let ends = || job.tube_ends.all.iter().filter(|end| end.tube == tube.name);
        check::stubs(&Filled {
            tube: &tube.name,
            long: tube.short_length(),
            stubs: ends().filter_map(|end| stub(job, tube, end)).collect(),
            bungs: ends().filter_map(bung).collect(),
            units: job.units,
        })
    };
    job.made_tubes().flat_map(of_tube).collect()
}

fn stub<'a>(job: &'a Job, within: &CopedTube, end: &'a TubeEnd) -> Option<StubIn<'a>> {
    let inside = end.inside.as_ref()?;
    let stub = inside.stub.as_ref()?;
    let tube = job.tubes.iter().find(|tube| tube.name == stub.tube)?;
    Some(StubIn {
        name: &tube.name,
        long: tube.cut_length(),
        is_coped: tube.ends.iter().any(Option::is_some),
        depth: stub.depth,
        at: inside.at,
        which: ENDS[end.end],
        in_cope: within.ends[end.end].is_some(),
        cap: end.cap.as_ref().map(|cap| cap.part.as_str()),
    })
}

fn bung(end: &TubeEnd) -> Option<BungIn<'_>> {
    let inside = end.inside.as_ref()?;
    let row = inside.bung.as_ref()?;
    let deep = (row.measure("length") - inside.shoulder()).max(0.0);
    Some(BungIn { words: &inside.words, deep, at: inside.at })
}
