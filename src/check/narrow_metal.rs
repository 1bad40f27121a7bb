//! Metal too narrow for the cutting process.
//!
//! # Looks for
//! A neck, a spike or a strip, at the outline or at a cut-out, that is narrower than the
//! minimum metal between two cuts of the process: a disc of that diameter does not fit
//! between its edges. Corners do not count, nor points whose sides diverge by more than 15°,
//! nor teeth shorter than one and a half times their width.
//!
//! # Why it matters
//! Narrow metal overheats and warps under a beam, breaks off under a jet, or tears in service.
//!
//! # Example
//! A spike 0.3 mm wide where two steps overlap, or a neck of 2 mm between two notches in
//! 3 mm plate, where 3 mm is needed.
//!
//! # Remedy
//! Make it wider, or remove it.
//!
//! # Source
//! Common practice; the figures are those of `web`, in the `process` table. What counts as a
//! corner or a tooth is our choice.

use crate::check::narrow_place;
use crate::check::process_limits;
use crate::check::subject::Subject;
use crate::diag::Finding;
use crate::flat::BendStrip;
use crate::geom::Outline;
use crate::geom::Within;
use crate::table::ProcessLimit;

const CODE: &str = "narrow-metal";

/// Metal counts as beside a bend at this distance from it, as a share of the required width. Our
/// choice: a relief and the metal next to it.
const BESIDE: f64 = 2.0;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    // A part that is too small as a whole is refused as such.
    if process_limits::is_too_small(subject) {
        return Vec::new();
    }
    let needed = subject.limit(ProcessLimit::WEB);
    let inside = (subject.flat.region.outer(), Within::Inside);
    let cut_outs = subject.flat.gaps().iter().map(|gap: &Outline| (gap, Within::Outside));
    let all = std::iter::once(inside).chain(cut_outs);
    let places =
        all.flat_map(|(outline, within)| narrow_place::places(subject, outline, within, needed));
    let finding = |place: crate::geom::Narrow| {
        let (is, min) = (subject.show(place.width), subject.show(needed));
        let at = narrow_place::at(subject, &place);
        let headline = format!("the metal at {at} is {is} wide, but {min} is needed");
        let finding = narrow_place::finding(subject, CODE, &place, headline);
        let near = |b: &BendStrip| b.metal.outer().distance(place.at) < BESIDE * needed;
        let finding = match subject.flat.bends.iter().position(near) {
            Some(bend) => beside(finding, subject, bend),
            None => finding,
        };
        finding
            .note(format!("minimum metal between two cuts by {}: {min}", subject.process.name()))
            .help(format!(
                "make it {} wider, or remove it{}",
                subject.show_up(needed - place.width),
                subject.finer()
            ))
    };
    places.map(finding).collect()
}

/// Names the bend beside narrow metal: if corners of a face are rounded at its bend, such metal is
/// left beside the relief at the end of the bend.
fn beside(finding: Finding, subject: &Subject, bend: usize) -> Finding {
    let bend = &subject.part.bends[bend];
    let words = format!(
        "it is beside bend `{}`: where a face is rounded at its bend, round only its other corners \
         (`rounded` of a rectangle)",
        bend.name
    );
    finding.at(bend.span, "this bend").note(words)
}
