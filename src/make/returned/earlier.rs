//! Plates sent as an earlier issue of a part.

use crate::flat::to_origin;
use crate::geom;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Region;
use crate::history::PartState;
use crate::history::Sent;
use crate::history::edges;
use crate::job::Job;
use crate::make::returned::compared::max_deviation;
use crate::solve::Solved;

/// The orders sent, the last first.
pub(super) fn sent(job: &Job) -> impl Iterator<Item = &Sent> {
    job.past.iter().flat_map(|past| past.sent.iter().rev())
}

/// The names under which a part was sent, without ending.
pub(super) fn names(job: &Job, part: &str) -> Vec<String> {
    let files = sent(job).filter_map(|sent| sent.part(part)).map(|part| part.file.clone());
    files.filter(|file| !file.is_empty()).collect()
}

/// How many pieces of a part were sent last, and what that order is called.
pub(super) fn pieces(job: &Job, part: &str) -> Option<(u32, String)> {
    sent(job).find_map(|sent| Some((sent.part(part)?.pieces, sent.words())))
}

/// The message on a plate that was sent as an earlier issue of a part.
pub(super) fn of(job: &Job, part: &Solved, found: &Region) -> Option<String> {
    let mut all = sent(job).filter_map(|sent| Some((sent, sent.part(&part.name)?)));
    let (sent, of) = all.find(|(_, of)| shows(found, of))?;
    let issue = sent.state.issue_of(of);
    let now = part.issue.name(job).unwrap_or(&part.issue.geometry);
    let now = match now == issue {
        true => format!("the job has changed since and is still called {now}"),
        false => format!("the job is at {now}"),
    };
    Some(format!("as sent as issue {issue} ({}); {now}", sent.words()))
}

/// The message on a plate that was sent as any part.
pub(super) fn any(job: &Job, found: &Region) -> Option<String> {
    let mut all = sent(job).flat_map(|sent| sent.parts().map(move |part| (sent, part)));
    let (sent, part) = all.find(|(_, part)| shows(found, part))?;
    let (name, issue) = (&part.name, sent.state.issue_of(part));
    Some(format!("part `{name}` as sent as issue {issue} ({})", sent.words()))
}

/// The plate of a part that was sent, its lower left corner at the origin.
pub(super) fn region(part: &PartState) -> Option<Region> {
    let openings = part.openings.iter().map(|[_, opening]| opening.as_str());
    let texts = std::iter::once(part.outline.as_str()).chain(openings);
    let all: Option<Vec<Vec<Edge>>> = texts.map(edges).collect();
    let region = geom::plate(&all?.concat(), geom::JOIN).ok()?;
    Some(region.moved(&to_origin(&region)))
}

/// Whether a plate, its lower left corner at the origin, is that of a part that was sent.
fn shows(found: &Region, part: &PartState) -> bool {
    region(part).is_some_and(|region| same(&region, found))
}

/// Whether two plates are the same where they lie.
pub(super) fn same(a: &Region, b: &Region) -> bool {
    let mut left: Vec<&Outline> = b.holes().iter().collect();
    let mut take = |hole: &Outline| {
        let at = left.iter().position(|other| max_deviation(hole, other).is_none());
        at.map(|at| left.remove(at)).is_some()
    };
    a.holes().len() == b.holes().len()
        && max_deviation(a.outer(), b.outer()).is_none()
        && a.holes().iter().all(&mut take)
}
