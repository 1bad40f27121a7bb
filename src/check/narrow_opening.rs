//! Openings too narrow for the cutting process.
//!
//! # Looks for
//! A slit or notch in the outline, or a part of a cut-out, that is narrower than the
//! narrowest slot of the process: a disc of that diameter does not fit between its edges.
//! Also a cut-out that is too narrow throughout. Corners do not count, nor wedges whose
//! sides diverge by more than 15°, nor recesses shallower than one and a half times their
//! width, such as corner reliefs. For holes see `hole-size`, for bend reliefs
//! `relief-size`.
//!
//! # Why it matters
//! The jet or beam needs room to turn. A slit narrower than the kerf cannot be cut at all,
//! and one a little wider comes out tapered or burnt.
//!
//! # Example
//! A rectangle of 30 by 0.5 mm cut out of 3 mm plate, or two lugs drawn 0.05 mm apart.
//!
//! # Remedy
//! Make it wider, or close it.
//!
//! # Source
//! Common practice; the figures are those of `hole-size`, in the `process` table, and no
//! less than the kerf. What counts as a corner or a recess is our choice.

use crate::check::narrow_place;
use crate::check::subject::Subject;
use crate::check::subject::is_slot;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::geom::Bounds;
use crate::geom::Narrow;
use crate::geom::Within;
use crate::geom::widest;
use crate::table::ProcessLimit;

const CODE: &str = "narrow-opening";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let kerf = subject.process.measure("kerf");
    let slot = subject.limit(ProcessLimit::SLOT).max(kerf);
    let notches = narrow_place::places(subject, subject.flat.region.outer(), Within::Outside, slot);
    let reliefs = reliefs(subject);
    let in_relief = |place: &Narrow| reliefs.iter().any(|r| r.distance(&place.bounds) == 0.0);
    let mut findings: Vec<Finding> = notches
        .iter()
        .filter(|place| !in_relief(place))
        .map(|place| finding(subject, place, slot))
        .collect();
    let hole = subject.limit(ProcessLimit::HOLE).max(kerf);
    for (i, gap) in subject.flat.gaps().iter().enumerate() {
        // The width of a round one is checked by `hole-size`.
        if gap.circle().is_some() {
            continue;
        }
        let places = narrow_place::places(subject, gap, Within::Inside, slot);
        findings.extend(places.iter().map(|place| finding(subject, place, slot)));
        let needed = if is_slot(gap) { slot } else { hole };
        let width = widest(gap, needed);
        if places.is_empty() && short(width, needed) {
            let bounds = gap.bounds();
            let place = Narrow { width, at: bounds.centre(), bounds };
            let whole = subject.of_part([Feature::Opening(i)]);
            findings.push(Finding { about: vec![whole], ..finding(subject, &place, needed) });
        }
    }
    findings
}

fn finding(subject: &Subject, place: &Narrow, needed: f64) -> Finding {
    let (is, min) = (subject.show(place.width), subject.show(needed));
    let (at, process) = (narrow_place::at(subject, place), subject.process.name());
    let headline = format!("the opening at {at} is {is} wide, but {process} needs {min}");
    narrow_place::finding(subject, CODE, place, headline)
        .note(format!(
            "sheet {} thick; narrowest opening by {process}: {min}",
            subject.show(subject.part.thickness)
        ))
        .help(format!("make it {min} or wider, or close it{}", subject.finer()))
}

/// Where bends have their reliefs: `relief-size` judges those.
fn reliefs(subject: &Subject) -> Vec<Bounds> {
    let bends = subject.flat.bends.iter().zip(&subject.part.bends);
    let ends = bends.flat_map(|(strip, bend)| {
        let reach = bend.relief.width + bend.relief.depth + bend.drawn_setback();
        strip.tangents.into_iter().flat_map(move |tangent| {
            [tangent.from, tangent.to].map(|end| Bounds::EMPTY.with(end).grown(reach))
        })
    });
    ends.collect()
}
