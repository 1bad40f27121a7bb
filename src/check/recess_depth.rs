//! A countersink or counterbore that goes through the plate, or nearly.
//!
//! # Looks for
//! A countersink or counterbore as deep as the sheet thickness or deeper (stop), and one that
//! leaves less than a fifth of the thickness below it (caution).
//!
//! # Why it matters
//! A countersink that goes through makes the hole larger on the far side: the head pulls in and
//! rocks on a sharp edge. A counterbore that goes through is no seat at all. A thin land cuts
//! into the shank and pulls through.
//!
//! # Example
//! An M8 flat head, Ø17.92 × 90° over a hole of 9 mm, is 4.46 mm deep: too deep for 4 mm plate.
//!
//! # Remedy
//! Use a thicker sheet or a smaller screw, or put a plate behind it that takes the rest of the
//! countersink.
//!
//! # Source
//! A fifth of the thickness: common practice.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::num;

const CODE: &str = "recess-depth";

/// Minimum land below a recess, in thicknesses.
const LAND: f64 = 0.2;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let thickness = subject.part.thickness;
    let mut findings = Vec::new();
    for (flat, hole) in subject.holes() {
        let Some(recess) = hole.recess else { continue };
        let land = thickness - recess.depth;
        if !short(land, LAND * thickness) {
            continue;
        }
        let show = |mm: f64| subject.show(mm);
        let (weight, rest) = match land <= 1e-9 {
            true => (Weight::Stop, format!("the sheet is {} thick", show(thickness))),
            false => (Weight::Caution, format!("a land of {} is left", show(land))),
        };
        let headline = format!(
            "the {} of hole `{}` is {} deep, and {rest}",
            recess.word(),
            hole.name,
            show(recess.depth)
        );
        let thicker = num::text((recess.depth / (1.0 - LAND) * 100.0).ceil() / 100.0, 2);
        let finding = subject
            .finding(weight, CODE, headline, &hole.depends, hole.span)
            .about(subject.of_part([Feature::Hole(flat.id)]))
            .help(format!(
                "use a sheet of {thicker} mm or thicker, or a smaller {}",
                recess.word()
            ));
        findings.push(match recess.angle {
            Some(angle) => finding.note(format!(
                "{} from {} to {} at {}°",
                show(recess.depth),
                show(recess.diameter),
                show(recess.hole),
                num::text(angle, 1)
            )),
            None => finding,
        });
    }
    findings
}
