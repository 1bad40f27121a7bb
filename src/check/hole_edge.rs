//! A hole too near the edge of the plate.
//!
//! # Looks for
//! Less metal between a hole, at its finished size and with its countersink or counterbore, or
//! an opening and the edge than the process needs to keep it sound (stop); and a hole for a bolt or
//! pin whose edge distance, from its centre, is less than one and a half diameters (caution). A
//! hole `for = "bearing"` is judged by its metal alone.
//!
//! # Why it matters
//! Thin edges warp in the cut. A bolt or pin pulls out through a short edge long before
//! the plate breaks anywhere else.
//!
//! # Example
//! An 11 mm hole in an eye of 14 mm radius: 14 mm edge distance, but 16.5 mm is needed.
//!
//! # Remedy
//! Make the eye larger, the hole smaller, or move the hole inwards.
//!
//! # Source
//! Metal beside a cut: common practice, table `process`. One and a half diameters:
//! common practice; AC 43.13-1B asks for two in aircraft. This is not a check of strength:
//! a load needs a calculation by local codes and a licensed engineer's judgement.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::outline_distance;
use crate::part::Hole;
use crate::table::ProcessLimit;

const CODE: &str = "hole-edge";

/// Wanted from the centre of a pin's hole to the edge, in diameters of the hole.
const DIAMETERS: f64 = 1.5;

/// What a seat that holds its bearing all round is `for`: no bolt that pulls on the edge.
const BEARING: &str = "bearing";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let min = subject.limit(ProcessLimit::WEB);
    let outline = subject.flat.region.outer();
    let mut findings = Vec::new();
    for opening in subject.openings() {
        let edge = outline_distance(opening.outline, outline) - opening.growth();
        if short(edge, min) {
            let (is, needed) = (subject.show(edge.max(0.0)), subject.show(min));
            let headline =
                format!("{} is {is} from the edge, but {needed} is needed", opening.words);
            findings.push(
                subject
                    .about(&opening, Weight::Stop, CODE, headline)
                    .note(format!(
                        "minimum metal beside a cut by {}: {needed}",
                        subject.process.name()
                    ))
                    .help(format!(
                        "move it {} inwards, enlarge the plate, or make the {} smaller{}",
                        subject.show(min - edge),
                        if opening.hole.is_some() { "hole" } else { "opening" },
                        subject.thinner(edge, ProcessLimit::WEB)
                    )),
            );
            continue;
        }
        let Some(hole) = opening.hole else { continue };
        let (Some(finished), Some(through)) = (hole.diameter(), &hole.through) else { continue };
        if subject.params.inside(through) == BEARING || is_nut(hole) {
            continue;
        }
        let from_edge = outline_distance(opening.outline, outline);
        let middle = from_edge + opening.outline.bounds().width() / 2.0;
        let wanted = DIAMETERS * finished;
        if short(middle, wanted) {
            let (is, wants) = (subject.show(middle), subject.show(wanted));
            let through = subject.params.inside(through);
            // An M8, and a bolt.
            let a = if through.starts_with('M') { "an" } else { "a" };
            let headline = format!(
                "the edge distance of hole `{}` is {is}; {a} {through} needs {wants}",
                hole.name
            );
            findings.push(
                subject
                    .about(&opening, Weight::Caution, CODE, headline)
                    .note(format!("{DIAMETERS} × {} = {wants}", subject.show(finished)))
                    .help(format!(
                        "increase the edge distance by {}",
                        subject.show(wanted - middle)
                    )),
            );
        }
    }
    findings
}

/// A nut that is welded into its seat pulls on the weld, not on the edge.
fn is_nut(hole: &Hole) -> bool {
    hole.row.as_ref().is_some_and(|row| row.table() == "nut")
}
