//! Which pieces are held by bridges while their sheet is cut, and how their outlines are then cut.

use crate::diag::About;
use crate::diag::Finding;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::job::Job;
use crate::job::Line;
use crate::route;
use crate::solve::Solved;

/// Lines that ask for bridges in a job that does not give their width.
pub(crate) fn check(job: &Job) -> Vec<Finding> {
    let asks = |line: &&Line| line.placing.bridges.is_some_and(|own| own.count > 0);
    let lines = job.lines.iter().filter(asks).filter(|_| job.bridges.is_none());
    lines
        .filter_map(|line| {
            let headline =
                format!("the job does not say how wide the bridges of `{}` are", line.name);
            let finding = Finding::stop("missing-key", headline)
                .about(About::part(&line.name))
                .at(line.placing.bridges?.span, "");
            let help =
                "write at the top: `bridges = { count = 2, width = \"0.8 mm\", below = \"0 mm\" }`";
            Some(finding.help(help))
        })
        .collect()
}

/// How many bridges a part gets, and how long the cut is left out at each, mm: the cutter
/// takes half its kerf from either end of a bridge.
pub(crate) fn of(job: &Job, solved: &Solved) -> Option<(u32, f64)> {
    let bridges = job.bridges?;
    let bounds = solved.flat.region.bounds();
    let small = bounds.width().max(bounds.height()) <= bridges.below;
    let usual = if small { bridges.count } else { 0 };
    let count = job.lines[solved.line].placing.bridges.map_or(usual, |own| own.count);
    (count > 0).then(|| (count, bridges.width + job.process.measure("kerf")))
}

/// The outline of a part as chains with bridges between; `None` if it is cut whole.
pub(crate) fn chains(job: &Job, solved: &Solved, outline: &Outline) -> Option<Vec<Vec<Edge>>> {
    let (count, gap) = of(job, solved)?;
    route::bridged(outline, count, gap)
}

/// A part too small for the bridges it should get is cut whole, and that is reported.
pub(crate) fn too_small(job: &Job, solved: &Solved) -> Option<Finding> {
    let (count, gap) = of(job, solved)?;
    if route::bridged(solved.flat.region.outer(), count, gap).is_some() {
        return None;
    }
    let line = &job.lines[solved.line];
    let headline =
        format!("`{}` is too small for {count} bridges and is cut without them", solved.name);
    let finding =
        Finding::caution("bridges", headline).about(About::part(&solved.name)).at(line.here, "");
    Some(finding.help("write `bridges = 1` or `bridges = 0` for this part"))
}
