//! A hole that is too small once coated, or that the coating closes.
//!
//! # Looks for
//! A hole, slot or other opening that the coating on both sides closes (stop), and a round hole for
//! a bolt or a rod end's pin that is smaller than the shank when it is coated (caution). Tapped and
//! reamed holes are listed for masking instead.
//!
//! # Why it matters
//! The diameter shrinks by twice the coating thickness. The bolt is driven in, cracks the coating
//! and rusts there; a hole that the coating closes is lost.
//!
//! # Example
//! A hole of 10.1 mm for M10: 0.08 mm of powder leaves 9.94 mm.
//!
//! # Remedy
//! Enlarge the hole by twice the coating thickness, `+ 2 * coating`, or have it masked.
//!
//! # Source
//! Arithmetic; coating thickness from the job or the `coating` table.

use crate::check::subject::Opening;
use crate::check::subject::ROUNDING;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::recipe::Making;

const CODE: &str = "coated-hole";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let film = subject.coating();
    let mut findings = closed(subject, film);
    for (flat, hole) in subject.holes() {
        let HoleSize::Round { diameter } = hole.size else { continue };
        let Some((shank, name)) = subject.shank(hole) else { continue };
        if matches!(hole.making, Making::Tap | Making::Ream) {
            continue;
        }
        let finished = hole.finished.unwrap_or(diameter);
        let left = finished - 2.0 * film;
        if film > 0.0 && short(left, shank) {
            let headline = format!(
                "hole `{}` is {} when coated, too small for {name}",
                hole.name,
                subject.show(left)
            );
            findings.push(
                subject
                    .finding(Weight::Caution, CODE, headline, &hole.depends, hole.span)
                    .about(subject.of_part([Feature::Hole(flat.id)]))
                    .note(format!(
                        "{} − 2 × {} of coating; the shank is {}",
                        subject.show(finished),
                        subject.show(film),
                        subject.show(shank)
                    ))
                    .help(format!(
                        "make it {} or more, or have it masked",
                        subject.show(shank + 2.0 * film)
                    )),
            );
        }
    }
    findings
}

/// Openings that the coating closes.
fn closed(subject: &Subject, film: f64) -> Vec<Finding> {
    let mut findings = Vec::new();
    for opening in subject.openings() {
        let masked = |hole: &Hole| matches!(hole.making, Making::Tap | Making::Ream);
        let Some(width) = width(&opening).filter(|_| !opening.hole.is_some_and(masked)) else {
            continue;
        };
        let left = width - 2.0 * film;
        if film > 0.0 && left <= ROUNDING {
            let show = |mm: f64| subject.show(mm);
            let headline =
                format!("coating closes {}, which is {} wide", opening.words, show(width));
            findings.push(
                subject
                    .about(&opening, Weight::Stop, CODE, headline)
                    .note(format!("{} − 2 × {} of coating", show(width), show(film)))
                    .help(format!("make it wider than {}, or leave it out", show(2.0 * film))),
            );
        }
    }
    findings
}

/// How wide an opening is when it is finished, where one number says it.
fn width(opening: &Opening) -> Option<f64> {
    let round = opening.outline.circle().map(|(_, radius)| 2.0 * radius);
    let slot = opening.outline.slot().map(|(_, _, width)| width);
    let of_hole = opening.hole.map(|hole| match hole.size {
        HoleSize::Round { diameter } => hole.finished.unwrap_or(diameter),
        HoleSize::Slot { width, .. }
        | HoleSize::ArcSlot { width, .. }
        | HoleSize::TongueSlot { width, .. } => width,
        HoleSize::Hexagon { flats } => flats,
    });
    of_hole.or(round).or(slot)
}
