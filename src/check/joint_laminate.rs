//! A laminate in a joint: its hole, bearing, edge distance, and aluminium beside carbon.
//!
//! # Looks for
//! Bearing stress or edge distance of a laminate outside the allowables that the job gives, and a hole
//! smaller than the bolt: stops. A hole so large, without a sleeve, that the head or washer falls
//! into it, or smaller than the drill that goes through it; aluminium in contact with a laminate that
//! has carbon fibre, with nothing between: cautions. What is not given is not judged, and a caution says
//! what to add.
//!
//! # Why it matters
//! A laminate fails at its bolts, by crushing or by tearing out to the edge. Carbon is far more
//! noble than aluminium: where both are wet and touch, the aluminium corrodes fast.
//!
//! # Example
//! 1.8 kN on an M8 bolt in 3 mm of laminate is 75 MPa, where 60 MPa is allowed.
//!
//! # Remedy
//! A thicker laminate, more or larger bolts, more edge distance; `{ barrier = "0.3 mm" }` in the
//! stack, a ply of glass or a film, between aluminium and carbon.
//!
//! # Source
//! A washer, or the hexagon of the bolt without one, clamps a ring as wide as it is, wider by the
//! thickness of each plate between: about 30° a side, common practice. Bearing stress F / (d t), d of
//! the bolt and t where the laminate is thinnest. Laminates differ: the allowables are yours, with your
//! factor of safety, from tests or from the manufacturer. Galvanic corrosion of aluminium beside
//! carbon: MIL-STD-889 (from memory); bolts of stainless steel or titanium and washers of the same:
//! common practice. Bending of the bolt, pull-through of the laminate and loads along the bolt are
//! not checked, nor is what lies behind a spacer.

use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::diag::Span;
use crate::joint::Between;
use crate::joint::Filling;
use crate::joint::Laminate;
use crate::num;

const CODE: &str = "joint-laminate";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

pub(super) fn check(subject: &JointSubject) -> Vec<Finding> {
    let layers = &subject.bolted.layers;
    let mut findings = Vec::new();
    for (i, layer) in layers.iter().enumerate() {
        let Between::Laminate(laminate, at) = layer else { continue };
        findings.extend(hole(subject, (i, laminate), *at));
        findings.extend(bearing(subject, laminate, *at));
        findings.extend(edge(subject, laminate, *at));
        findings.extend(galvanic(subject, (i, laminate), *at));
        findings.extend(not_judged(subject, laminate, *at));
    }
    findings
}

/// A hole that the bolt, the drill, or what clamps the laminate does not suit.
fn hole(subject: &JointSubject, (i, laminate): (usize, &Laminate), at: Span) -> Option<Finding> {
    let wide = laminate.hole?;
    let joint = &subject.bolted.joint;
    let show = |mm: f64| subject.show(mm);
    if wide + ROUNDING < joint.bolt.measure("diameter") {
        let bolt = joint.bolt.name();
        let headline =
            format!("the hole of the laminate is {} in diameter: {bolt} does not fit", show(wide));
        let finding = subject.here(Finding::stop(CODE, headline).at(at, ""));
        let normal = show(subject.clearance_hole());
        return Some(finding.help(format!("write `hole = \"{normal}\"`, or leave it out")));
    }
    if let Some(drill) = subject.bolted.drilled_through().filter(|d| wide + ROUNDING < *d) {
        let headline = format!(
            "a drill of {} goes through the laminate, but its hole is {}",
            show(drill),
            show(wide)
        );
        let finding = subject.here(Finding::caution(CODE, headline).at(at, ""));
        return Some(finding.help(format!("write `hole = \"{}\"` or more", show(drill))));
    }
    if laminate.sleeve.is_some() {
        return None;
    }
    let rings = [0, 1].map(|end| subject.bolted.ring(i, end)).into_iter().flatten();
    let ring = rings.fold(f64::INFINITY, f64::min);
    if wide + ROUNDING < ring {
        return None;
    }
    let headline = format!(
        "the hole of the laminate, {}, is as large as the face that clamps it, {}, or larger: the laminate is not clamped",
        show(wide),
        show(ring)
    );
    let finding = subject.here(Finding::caution(CODE, headline).at(at, ""));
    Some(finding.help("make `hole` smaller, use larger washers, or give it a `sleeve`"))
}

fn bearing(subject: &JointSubject, laminate: &Laminate, at: Span) -> Option<Finding> {
    let stress = subject.bolted.bearing(laminate)?;
    let allowed = laminate.bearing?;
    if stress <= allowed {
        return None;
    }
    let show = |stress: f64| format!("{} MPa", num::text(stress, 1));
    let bolt = &subject.bolted.joint.bolt;
    let headline = format!(
        "bearing of {} in the laminate of {}: {} is allowed",
        show(stress),
        subject.name(),
        show(allowed)
    );
    let sum = format!(
        "F / (d t), d {}, t {} at its thinnest",
        subject.show(bolt.measure("diameter")),
        subject.show(laminate.thinnest())
    );
    let finding = subject.here(Finding::stop(CODE, headline).at(at, "").note(sum));
    Some(finding.help("use more or larger bolts, or a thicker laminate"))
}

fn edge(subject: &JointSubject, laminate: &Laminate, at: Span) -> Option<Finding> {
    let (is, needed) = (laminate.edge?, laminate.min_edge?);
    if is >= needed {
        return None;
    }
    let headline = format!(
        "the holes of {} are {} from the edge of the laminate: {} is needed",
        subject.name(),
        subject.show(is),
        subject.show(needed)
    );
    let finding = subject.here(Finding::stop(CODE, headline).at(at, ""));
    Some(finding.help("move the holes away from the edge"))
}

/// Aluminium that touches carbon.
fn galvanic(
    subject: &JointSubject,
    (i, laminate): (usize, &Laminate),
    at: Span,
) -> Option<Finding> {
    if laminate.carbon != Some(true) {
        return None;
    }
    let layers = &subject.bolted.layers;
    let before = layers[..i].iter().rev().find(|layer| !is_spacer(layer));
    let behind = layers[i + 1..].iter().find(|layer| !is_spacer(layer));
    let is_aluminium = |layer: &&Between| match layer {
        Between::Plate(plate) => plate.metal.as_deref() == Some("aluminium"),
        _ => false,
    };
    let plate = before.into_iter().chain(behind).find(is_aluminium)?;
    let Between::Plate(plate) = plate else { return None };
    let headline = format!(
        "aluminium `{}` is in contact with a carbon laminate in {}: it will corrode there",
        plate.part,
        subject.name()
    );
    let finding = Finding::caution(CODE, headline).about(plate.about.clone());
    let finding = finding.at(at, "").at(plate.at, "");
    let finding = finding.note("carbon is far more noble than aluminium (MIL-STD-889)");
    Some(finding.help("put `{ barrier = \"0.3 mm\" }` between them: a ply of glass, or a film"))
}

fn is_spacer(layer: &Between) -> bool {
    matches!(layer, Between::Fill(fill) if fill.filling == Filling::Spacer)
}

/// A property that is not judged, with what to add.
fn not_judged(subject: &JointSubject, laminate: &Laminate, at: Span) -> Option<Finding> {
    let lacks = subject.bolted.not_judged(laminate);
    if lacks.is_empty() {
        return None;
    }
    let (what, add): (Vec<&str>, Vec<&str>) = lacks.into_iter().unzip();
    let headline = format!("not judged in the laminate of {}: {}", subject.name(), what.join(", "));
    let finding = subject.here(Finding::caution(CODE, headline).at(at, ""));
    Some(finding.help(format!("add {}", add.join(", "))))
}
