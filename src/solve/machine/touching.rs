//! Panels whose corners are not in one plane; bodies that are joined by `touches`: whether they touch, and
//! whether two parts overlap there; parts that pass through tubes; parts that hold links.

use crate::check;
use crate::check::MEASURED;
use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Frame;
use crate::job;
use crate::job::Job;
use crate::job::RequiredClearance;
use crate::machine;
use crate::machine::Body;
use crate::machine::Kind;
use crate::machine::Shown;
use crate::solve::machine::held;
use crate::solve::machine::through;
use crate::solve::overlap::Piece;
use crate::solve::overlap::overlap;
use crate::solve::solved::Solved;

/// Everything that is said of panels, and of bodies that are joined by `touches`; two bodies of one joint
/// are `bolted`.
pub(super) fn findings(
    job: &Job,
    solved: &[Solved],
    (bodies, places): (&[Body], &[(String, Frame)]),
    bolted: &[[usize; 2]],
) -> Vec<Finding> {
    let bolted: Vec<[&str; 2]> =
        bolted.iter().map(|of| of.map(|i| bodies[i].name.as_str())).collect();
    let is_bolted =
        |[one, other]: [&str; 2]| bolted.contains(&[one, other]) || bolted.contains(&[other, one]);
    let mut found = warped(job);
    found.extend(apart(job, bodies));
    found.extend(overlapping(job, solved, places, &is_bolted));
    found.extend(through::findings(job, solved));
    found.extend(held::findings(job, solved, places));
    found
}

/// The findings on panels whose corners are not in one plane.
fn warped(job: &Job) -> Vec<Finding> {
    let panels = job.machine.obstacles.iter().filter(|(body, _)| body.kind == Kind::Panel);
    let of = |(body, asked): &(Body, RequiredClearance)| {
        let corners = body.shown.iter().find_map(|shown| match shown {
            Shown::Loop(corners) => Some(corners),
            Shown::Bar(..) => None,
        });
        let off = job::off_plane(corners?);
        (off > MEASURED).then(|| check::not_in_plane(&body.words(), off, asked.here, job.units))
    };
    panels.filter_map(of).collect()
}

/// What another body is to touch, with where it says so.
pub(super) type Touched = (String, Span);

/// Every body that is to touch another, by its name, with that.
pub(super) fn all(job: &Job) -> impl Iterator<Item = (&str, &Touched)> {
    let obstacles = job.machine.obstacles.iter().map(|(body, asked)| (body.set.as_str(), asked));
    let tubes = job.machine.tubes.iter().map(|tube| (tube.name.as_str(), &tube.asked));
    let links = job.machine.links.iter();
    let links = links.map(|of| (job.links[of.link].name.as_str(), &of.asked));
    let parts = job.lines.iter().map(|line| (line.name.as_str(), &line.asked));
    obstacles.chain(tubes).chain(links).chain(parts).flat_map(named)
}

fn named<'a>(
    (name, asked): (&'a str, &'a RequiredClearance),
) -> impl Iterator<Item = (&'a str, &'a Touched)> {
    asked.touches.iter().map(move |touched| (name, touched))
}

/// The pieces of a line where the machine has them.
fn pieces<'a>(
    job: &Job,
    solved: &'a [Solved],
    places: &'a [(String, Frame)],
    line: &str,
) -> Vec<(&'a Solved, &'a Frame)> {
    let own = places.iter().filter_map(|(name, frame)| {
        let of = solved.iter().find(|of| of.name == *name)?;
        (job.lines[of.line].name == line).then_some((of, frame))
    });
    own.collect()
}

/// The findings on bodies that are further apart than points are measured by, on the given side.
fn apart(job: &Job, bodies: &[Body]) -> Vec<Finding> {
    let of = |(name, (other, at)): (&str, &Touched)| {
        let own: Vec<&Body> =
            bodies.iter().filter(|body| body.set == name && !body.other_side).collect();
        let others: Vec<&Body> = bodies.iter().filter(|body| body.set == *other).collect();
        let touch =
            |one: &Body, two: &Body| machine::nearest(&one.pieces, &two.pieces, MEASURED).is_some();
        if own.iter().any(|one| others.iter().any(|two| touch(one, two))) {
            return None;
        }
        let distance = |one: &Body, two: &Body| {
            machine::nearest(&one.pieces, &two.pieces, f64::MAX).map(|near| near.distance)
        };
        let gaps =
            own.iter().flat_map(|one| others.iter().filter_map(move |two| distance(one, two)));
        let gap = gaps.reduce(f64::min)?;
        let words = format!("{} `{name}`", own.first()?.kind.word());
        let touched = format!("{} `{other}`", others.first()?.kind.word());
        Some(check::does_not_touch([&words, &touched], gap, *at, job.units))
    };
    all(job).filter_map(of).collect()
}

/// The findings on two parts that overlap, every two names once. Parts of one joint are judged there.
fn overlapping(
    job: &Job,
    solved: &[Solved],
    places: &[(String, Frame)],
    is_bolted: &dyn Fn([&str; 2]) -> bool,
) -> Vec<Finding> {
    let mut known: Vec<[&str; 2]> = Vec::new();
    let mut found = Vec::new();
    for (name, (touched, at)) in all(job).filter(|(name, (other, _))| *name != other.as_str()) {
        for (one, here) in pieces(job, solved, places, name) {
            for (other, there) in pieces(job, solved, places, touched) {
                let mut names = [one.name.as_str(), other.name.as_str()];
                names.sort_unstable();
                if known.contains(&names) || is_bolted(names) {
                    continue;
                }
                let both = [Piece { of: one, frame: here }, Piece { of: other, frame: there }];
                if let Some(by) = overlap(&both) {
                    known.push(names);
                    found.push(check::overlap_where_joined(names, by, *at, job.units));
                }
            }
        }
    }
    found
}
