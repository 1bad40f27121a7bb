//! How many of the parts at the ends of tubes are made, and how many the tubes take.

use crate::check::Count;
use crate::diag::Span;
use crate::job::CopedTube;
use crate::job::Job;
use crate::job::TubeEnd;
use crate::solve::solved::Solved;
use crate::solve::solved::pieces;

/// A count, at the end that is the first to name its part.
pub(super) struct Counted<'a> {
    /// Where that end is named.
    pub(super) end: Span,
    pub(super) count: Count<'a>,
}

/// What a tube is that goes into another.
const STUB: &str = "stub";

/// A part that an end names, as what, and how many of it.
type Use<'a> = (&'a str, Span, &'static str, u32);

/// Every part at the ends of tubes that can be counted, as cap, plate or tab, and every stub.
pub(super) fn of<'a>(
    job: &Job,
    solved: &[Solved],
    ends: impl Iterator<Item = (&'a TubeEnd, &'a CopedTube)>,
) -> Vec<Counted<'a>> {
    let mut all: Vec<Counted> = Vec::new();
    for (end, tube) in ends {
        for (part, at, what, each) in uses(job, solved, end) {
            let made = if what == STUB { cut(job, part) } else { made(job, solved, part) };
            let Some(made) = made else { continue };
            let needed = each.saturating_mul(tube.quantity);
            let known = |of: &&mut Counted| of.count.part == part && of.count.what == what;
            match all.iter_mut().find(known) {
                Some(of) => of.count.needed = of.count.needed.saturating_add(needed),
                None => {
                    let count = Count { part, at, what, made, needed };
                    all.push(Counted { end: end.here, count });
                }
            }
        }
    }
    all
}

fn uses<'a>(job: &Job, solved: &[Solved], asked: &'a TubeEnd) -> Vec<Use<'a>> {
    let mut uses: Vec<Use> = Vec::new();
    uses.extend(asked.cap.as_ref().map(|cap| (cap.part.as_str(), cap.at, "cap", 1)));
    // A bent part may be on both sides of a tube.
    let is_bent = |part: &str| {
        solved.iter().any(|of| job.lines[of.line].name == part && !of.part.bends.is_empty())
    };
    uses.extend(asked.cheeks.as_ref().map(|cheeks| {
        let each = if is_bent(&cheeks.part) { 1 } else { 2 };
        (cheeks.part.as_str(), cheeks.at, "plate", each)
    }));
    uses.extend(
        asked
            .inside
            .iter()
            .filter_map(|inside| Some((inside.stub.as_ref()?.tube.as_str(), inside.at, STUB, 1))),
    );
    uses.extend(asked.tabs.iter().map(|(tab, at)| (tab.part.as_str(), *at, "tab", 1)));
    uses
}

/// The pieces of a line that is one part; a line of several plates is not counted.
fn made(job: &Job, solved: &[Solved], part: &str) -> Option<u32> {
    let mut own = solved.iter().filter(|of| job.lines[of.line].name == part);
    match (own.next(), own.next()) {
        (Some(one), None) => Some(pieces(job, one)),
        _ => None,
    }
}

/// How many of a tube are cut.
fn cut(job: &Job, tube: &str) -> Option<u32> {
    job.tubes.iter().find(|of| of.name == tube).map(|of| of.quantity)
}
