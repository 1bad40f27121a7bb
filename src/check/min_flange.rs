//! A flange too short to be bent.
//!
//! # Looks for
//! A flange that is shorter, measured outside (beyond 90° to the outside of the bend), than
//! 2.5 T + R (stop) or 3 T + R (caution).
//! Where the job names a shop its own tools decide instead: a flange too short for every V
//! and every leaf that is strong enough is a stop, and so is the face that carries it, which
//! lies on the other shoulder of the V.
//!
//! # Why it matters
//! A short flange slips into the V or under the beam of the brake: the bend wanders or
//! cannot be made.
//!
//! # Example
//! In 3 mm sheet bent to 3 mm inside radius a flange of 10 mm is a stop (10.5 mm), one of 11 mm a
//! caution (12 mm).
//!
//! # Remedy
//! Make the flange longer and cut it back after bending, or bend to a smaller radius.
//!
//! # Source
//! Trade texts: one says 3 T + R, another 2.5 T + R. Over a V: 0.70 of its opening,
//! by an air-bending chart, unless the shop's file says otherwise.

use crate::bend::Form;
use crate::check::bend_sequence;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::sequence::Cause;

const CODE: &str = "min-flange";

/// Least flange in thicknesses, to which one radius is added: refused below, and wanted.
pub(super) const MIN: (f64, f64) = (2.5, 3.0);

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    if subject.shop.is_some() {
        return bend_sequence::blocked(subject, CODE, Cause::Flange, |bend, refused| {
            let short = bend_sequence::short_faces(bend, refused).into_iter();
            let words = short.map(|face| match face == bend.to {
                true => "the flange".to_owned(),
                false => format!("face `{}`", subject.part.faces[face].name),
            });
            let faces = words.collect::<Vec<_>>().join(" or ");
            format!("{faces} at bend `{}` is too short for every brake in the shop", bend.name)
        });
    }
    let mut findings = Vec::new();
    let bends = subject.part.bends.iter().enumerate();
    for (i, bend) in bends.filter(|(_, bend)| bend.bend.form() == Form::Bent) {
        let (thickness, radius) = (bend.bend.thickness(), bend.bend.radius());
        let drawn = subject.part.faces[bend.to].blank.bounds().max.y;
        let length = drawn + bend.to_caliper();
        let (refused, wanted) = (MIN.0 * thickness + radius, MIN.1 * thickness + radius);
        if !short(length, wanted) {
            continue;
        }
        let (weight, times, needed) = if short(length, refused) {
            (Weight::Stop, MIN.0, refused)
        } else {
            (Weight::Caution, MIN.1, wanted)
        };
        let (is, needed) = (subject.show(length), subject.show(needed));
        let headline =
            format!("the flange at bend `{}` is {is} long, but {needed} is needed", bend.name);
        findings.push(
            subject
                .finding(weight, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(i)]))
                .note(format!(
                    "{times} × thickness + radius = {times} × {} + {} = {needed}",
                    subject.show(thickness),
                    subject.show(radius)
                ))
                .help("make the flange longer, or cut it back after bending"),
        );
    }
    findings
}
