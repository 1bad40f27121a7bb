//! A screw head that goes through its hole, or does not fit its countersink or counterbore.
//!
//! # Looks for
//! A hole for a bolt of the `screw-head` table through which the head goes, or nearly goes (stop).
//! A countersink that is smaller than the flat head, has another angle, or lets the head sit far
//! below the surface. A counterbore narrower than the cap head (stop) or shallower than its height.
//!
//! # Why it matters
//! A head that goes through its hole holds nothing. One that stands proud catches on what slides
//! over it and keeps a plate from lying on its seat. One with another angle bears on its edge alone
//! and loosens. A countersink deeper than its head takes away metal that the head should bear on.
//!
//! # Example
//! An M8 flat head of 17.92 mm in a countersink of Ø16 × 90° stands 0.96 mm proud.
//!
//! # Remedy
//! Leave `diameter` and `angle` out: they follow from the bolt. Or write `for = "…"` with the
//! name of another screw, which has no row in the table.
//!
//! # Source
//! Geometry of the theoretical head; table `screw-head`. That a head must be 1.1 times the diameter
//! of its hole, and how far below the surface it may sit, are our choice.

use crate::check::subject::ROUNDING;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::num;
use crate::num::Angle;
use crate::part::Hole;
use crate::part::Recess;
use crate::recipe::Making;
use crate::table::Row;

const CODE: &str = "sunk-head";

/// Angles that differ by less are one, degrees: the tolerance of ISO 10642 heads is 2°.
const SAME_ANGLE: f64 = 2.0;

/// The diameter of a head is so many times that of its hole, or more: what is sharp at the edge
/// of a theoretical flat head is not there on a real one. Our choice.
const HELD: f64 = 1.1;

/// A flat head sits no further below the surface than this share of how deep it is above its hole.
/// Our choice.
const SUNK: f64 = 0.2;

/// What is wrong with a recess: how heavy it is, what to say, and what to do.
type Fault = (Weight, String, String);

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (flat, hole) in subject.holes() {
        let Some((recess, head, bolt)) = head(subject, hole) else { continue };
        let fault = through(subject, &recess, head).or_else(|| match recess.angle {
            Some(angle) => flat_head(subject, &recess, angle, head),
            None => cap_head(subject, &recess, head),
        });
        let Some((weight, what, help)) = fault else { continue };
        let headline = format!("the {bolt} head in hole `{}` {what}", hole.name);
        findings.push(
            subject
                .finding(weight, CODE, headline, &hole.depends, hole.span)
                .about(subject.of_part([Feature::Hole(flat.id)]))
                .note(format!("the {} is {}", recess.word(), recess.size(&|mm| subject.show(mm))))
                .help(help),
        );
    }
    findings
}

/// The recess of a hole, the heads of its bolt, and the bolt. A thread has its countersink for the
/// thread.
fn head<'s>(subject: &Subject<'s>, hole: &'s Hole) -> Option<(Recess, &'s Row, &'s str)> {
    let recess = hole.recess.filter(|_| hole.making != Making::Tap)?;
    let bolt = hole.row.as_ref()?;
    let head = subject.tables.row("screw-head", bolt.name()).filter(|_| bolt.table() == "bolt")?;
    Some((recess, head, bolt.name()))
}

/// A head that passes through the hole below its recess.
fn through(subject: &Subject, recess: &Recess, head: &Row) -> Option<Fault> {
    let diameter = head.measure(if recess.angle.is_some() { "flat" } else { "cap" });
    short(diameter, HELD * recess.hole).then(|| {
        let [is, hole, max] = [diameter, recess.hole, diameter / HELD].map(|mm| subject.show(mm));
        let goes = if diameter > recess.hole { "nearly goes" } else { "goes" };
        let what = format!("is Ø{is} and {goes} through the hole of Ø{hole}");
        let help = format!("make the hole no larger than Ø{max}, or use a larger bolt");
        (Weight::Stop, what, help)
    })
}

fn flat_head(subject: &Subject, recess: &Recess, angle: f64, head: &Row) -> Option<Fault> {
    let (diameter, of_head) = (head.measure("flat"), head.measure("flat_angle"));
    if (angle - of_head).abs() > SAME_ANGLE {
        let [is, of] = [angle, of_head].map(|degrees| num::text(degrees, 1));
        let what = format!("has a {of}° cone, but the countersink is {is}°");
        return Some((Weight::Caution, what, format!("make the angle {of}°, or leave it out")));
    }
    let height = |wide: f64| wide / 2.0 / Angle::from_degrees(angle / 2.0).tan();
    let proud = height(diameter - recess.diameter);
    let needed = subject.show(diameter);
    if proud > ROUNDING {
        let what = format!("stands {} proud", subject.show(proud));
        return Some((Weight::Caution, what, format!("make the countersink Ø{needed} or larger")));
    }
    short(SUNK * height(diameter - recess.hole), -proud).then(|| {
        let what = format!("sits {} below the surface", subject.show(-proud));
        (Weight::Caution, what, format!("make the countersink Ø{needed}"))
    })
}

fn cap_head(subject: &Subject, recess: &Recess, head: &Row) -> Option<Fault> {
    let (diameter, height) = (head.measure("cap"), head.measure("cap_height"));
    if short(recess.diameter, diameter) {
        let needed = subject.show(diameter);
        let what = format!("is Ø{needed} and does not fit the counterbore");
        return Some((Weight::Stop, what, format!("make the counterbore wider than {needed}")));
    }
    short(recess.depth, height).then(|| {
        let what = format!("stands {} proud", subject.show(height - recess.depth));
        let needed = subject.show(height);
        (Weight::Caution, what, format!("make the counterbore {needed} deep"))
    })
}
