//! A hole too near the edge of the plate.
//!
//! # Looks for
//! Less metal between a hole, at its finished size and with its countersink or counterbore, or
//! an opening and the edge than the process needs to keep it sound (stop); and a hole for a bolt or
//! pin whose edge distance is less than one and a half diameters (caution). It is measured from the
//! centre of a round or hexagonal hole; of a slot, straight or along an arc, from its centre line,
//! and so from the centre of the nearer round end, and one and a half widths are needed. A hole
//! `for = "bearing"`, a hole without `for` and an opening cut by a step are judged only by the
//! metal left beside them.
//!
//! # Why it matters
//! Thin edges warp in the cut. A bolt or pin pulls out through a short edge long before
//! the plate breaks anywhere else, and in a slot it may sit at either end.
//!
//! # Example
//! An 11 mm hole in an eye of 14 mm radius: 14 mm edge distance, but 16.5 mm is needed.
//!
//! # Remedy
//! Make the eye larger, the hole smaller, or move the hole inwards; make a slot shorter.
//!
//! # Source
//! Metal beside a cut: common practice, table `process`. One and a half diameters:
//! common practice; AC 43.13-1B requires two in aircraft. Slots: AISC 360, table J3.5, measures
//! from the centre of a long slot that points at the edge, and adds 0.75 d; for a slot of 2.5 d
//! that is just the centre of its end (from memory). This is not a check of strength:
//! a load needs a calculation by local codes and a licensed engineer's judgement.

use crate::check::subject::Opening;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::Outline;
use crate::geom::outline_distance;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::table::ProcessLimit;

const CODE: &str = "hole-edge";

/// Wanted from the centre of a pin's hole to the edge, in diameters of the hole.
const DIAMETERS: f64 = 1.5;

/// The `for` of a seat that supports its bearing all round: no bolt that pulls on the edge.
const BEARING: &str = "bearing";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let openings = subject.openings();
    let judged = |opening| metal(subject, opening).or_else(|| pulled_out(subject, opening));
    openings.iter().filter_map(judged).collect()
}

/// Less metal beside an opening than the process leaves sound.
fn metal(subject: &Subject, opening: &Opening) -> Option<Finding> {
    let min = subject.limit(ProcessLimit::WEB);
    let edge = outline_distance(opening.outline, subject.flat.region.outer()) - opening.growth();
    if !short(edge, min) {
        return None;
    }
    let [is, needed] = subject.show_short([edge.max(0.0), min]);
    let headline = format!("{} is {is} from the edge, but {needed} is needed", opening.words);
    let finding = subject.about(opening, Weight::Stop, CODE, headline);
    Some(
        finding
            .note(format!("minimum metal beside a cut by {}: {needed}", subject.process.name()))
            .help(format!(
                "move it {} inwards, enlarge the plate, or make the {} smaller{}{}",
                subject.show_up(min - edge),
                if opening.hole.is_some() { "hole" } else { "opening" },
                subject.thinner(edge, ProcessLimit::WEB),
                subject.finer()
            )),
    )
}

/// A hole too near the edge, where its bolt or pin may pull out.
fn pulled_out(subject: &Subject, opening: &Opening) -> Option<Finding> {
    let hole = opening.hole?;
    let through = subject.params.inside(hole.through.as_ref()?);
    if through == BEARING || is_nut(hole) {
        return None;
    }
    let across = hole.across()?;
    let from_middle = edge_distance(hole.size, opening.outline, subject.flat.region.outer());
    let wanted = DIAMETERS * across;
    if !short(from_middle, wanted) {
        return None;
    }
    let [is, wants] = subject.show_short([from_middle, wanted]);
    let a = article(through);
    let headline =
        format!("the edge distance of hole `{}` is {is}; {a} {through} needs {wants}", hole.name);
    let from = match hole.size {
        HoleSize::Slot { .. } | HoleSize::ArcSlot { .. } => {
            ", from the centre line of the slot, which ends at the centres of its round ends"
        }
        _ => "",
    };
    let finding = subject.about(opening, Weight::Caution, CODE, headline);
    Some(
        finding.note(format!("{DIAMETERS} × {} = {wants}{from}", subject.show(across))).help(
            format!("increase the edge distance by {}", subject.show_up(wanted - from_middle)),
        ),
    )
}

/// `an` before a vowel and before a thread such as M8, whose letter is pronounced alone; else `a`.
fn article(noun: &str) -> &'static str {
    let mut letters = noun.chars();
    let first = letters.next().map_or(' ', |letter| letter.to_ascii_lowercase());
    let is_thread = first == 'm' && letters.next().is_some_and(|next| next.is_ascii_digit());
    if is_thread || "aeiou".contains(first) { "an" } else { "a" }
}

/// From the centre of a hole, or the centre line of a slot, to the edge, mm.
fn edge_distance(size: HoleSize, outline: &Outline, edge: &Outline) -> f64 {
    match size {
        HoleSize::Slot { width, .. } | HoleSize::ArcSlot { width, .. } => {
            outline_distance(outline, edge) + width / 2.0
        }
        _ => edge.distance(outline.bounds().centre()),
    }
}

/// A nut that is welded into its seat pulls on the weld, not on the edge.
fn is_nut(hole: &Hole) -> bool {
    hole.row.as_ref().is_some_and(|row| row.table() == "nut")
}
