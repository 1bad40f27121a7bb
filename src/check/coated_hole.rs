//! A hole that is too small once it is coated.
//!
//! # Looks for
//! A round hole for a bolt or a rod end's pin that is smaller than the shank when it is
//! coated. Tapped and reamed holes are listed for masking instead.
//!
//! # Why it matters
//! The diameter shrinks by two films. The bolt is driven in, cracks the film and rusts there.
//!
//! # Example
//! A hole of 10.1 mm for M10: 0.08 mm of powder leaves 9.94 mm.
//!
//! # Remedy
//! Enlarge the hole by two films, `+ 2 * coating`, or have it masked.
//!
//! # Source
//! Arithmetic; film from the job or the table `coating`.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::HoleSize;
use crate::recipe::Making;

const CODE: &str = "coated-hole";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let film = subject.coating();
    let mut findings = Vec::new();
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
                        "{} − 2 × {} of film; the shank is {}",
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
