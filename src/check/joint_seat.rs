//! What a head, a nut or its washer bears on, and whether a hole is for the bolt of its joint.

use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::joint::Between;
use crate::joint::Head;
use crate::joint::Plate;
use crate::joint::Washer;
use crate::part::Recess;

const CODE: &str = "joint-bolt";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// Findings on the seats of a joint and on the purposes of its holes.
pub(super) fn check(subject: &JointSubject) -> Vec<Finding> {
    let layers = &subject.bolted.layers;
    let mut found: Vec<Finding> = Vec::new();
    for (i, layer) in layers.iter().enumerate() {
        let Between::Plate(plate) = layer else { continue };
        let before = found.len();
        let is_first = i == 0;
        let is_last = i + 1 == layers.len();
        let bears = [is_first, is_last];
        for end in (0..2).filter(|end| bears[*end] && subject.bolted.washers()[*end]) {
            found.extend(seat(subject, plate, end));
        }
        let holds_head = is_first && subject.bolted.head() != Head::Hexagon;
        if !holds_head && !is_last && plate.thread.is_none() {
            found.extend(plate.recess.and_then(|recess| inside(subject, plate, recess)));
        }
        found.extend(another_bolt(subject, plate));
        // Of one of which something is wrong already, that is enough.
        if found.len() == before {
            found.extend(too_wide(subject, plate));
        }
    }
    found
}

fn here(subject: &JointSubject, plate: &Plate, finding: Finding) -> Finding {
    let finding = finding.about(plate.about.clone()).at(plate.at, "");
    finding.at(subject.bolted.joint.here, "in this joint")
}

/// What bears on a plate under the head, 0, or under the nut, 1.
fn seat(subject: &JointSubject, plate: &Plate, end: usize) -> Option<Finding> {
    let joint = &subject.bolted.joint;
    let outside = joint.washers[end].outside(&joint.bolt)?;
    let is_bare = matches!(joint.washers[end], Washer::None);
    let what = match (is_bare, end) {
        (true, 0) => "the head",
        (true, _) => "the nut",
        (false, 0) => "the washer under the head",
        (false, _) => "the washer under the nut",
    };
    let show = |mm: f64| subject.show(mm);
    if let Some(recess) = plate.recess {
        let headline = format!(
            "{what}, {} wide, bears on the {} of `{}`, {} wide",
            show(outside),
            recess.word(),
            plate.words(),
            show(recess.diameter)
        );
        let finding = match outside <= recess.diameter + ROUNDING {
            true => Finding::stop(CODE, headline),
            false => Finding::caution(CODE, headline),
        };
        let help = "make it the first layer of `stack`, under the head, or leave the recess out";
        return Some(here(subject, plate, finding).help(help));
    }
    let (hole, bolt) = (plate.passage, joint.bolt.measure("diameter"));
    // With the bolt against one side of its hole, what bears must still reach over the other.
    let needed = 2.0 * hole - bolt;
    if outside + ROUNDING >= needed {
        return None;
    }
    let of = format!("{what}, {} wide,", show(outside));
    let hole_of = format!("the hole of `{}`, {}", plate.words(), show(hole));
    let finding = match outside <= hole + ROUNDING {
        true => Finding::stop(CODE, format!("{of} falls through {hole_of}")),
        false => {
            let headline = format!("{of} may not cover {hole_of}: {} is needed", show(needed));
            Finding::caution(CODE, headline)
        }
    };
    let finding = here(subject, plate, finding);
    let finding = finding.note("with the bolt against one side of the hole");
    Some(finding.help("make the hole smaller, or give a larger washer in `washers`"))
}

/// A recess in which no head sits.
fn inside(subject: &JointSubject, plate: &Plate, recess: Recess) -> Option<Finding> {
    let headline = format!(
        "the {} of `{}` is inside the stack of {}: no head sits in it",
        recess.word(),
        plate.words(),
        subject.name()
    );
    let finding = here(subject, plate, Finding::caution(CODE, headline));
    Some(
        finding.help("make it the first layer of `stack`, under the head, or leave the recess out"),
    )
}

/// A hole that is wider than the loose clearance hole of the bolt: the plate can shift in the joint.
fn too_wide(subject: &JointSubject, plate: &Plate) -> Option<Finding> {
    let bolt = &subject.bolted.joint.bolt;
    let (loose, normal) = (bolt.quantity("loose")?.value, bolt.quantity("normal")?.value);
    // A hole that is sized for its coating is as wide as that makes it.
    let is = plate.passage - 2.0 * plate.coating;
    if plate.thread.is_some() || is <= loose + ROUNDING {
        return None;
    }
    let show = |mm: f64| subject.show(mm);
    let headline = format!(
        "hole `{}` is {} in diameter; the loose clearance hole for {} is {}",
        plate.words(),
        show(plate.passage),
        bolt.name(),
        show(loose)
    );
    let finding = here(subject, plate, Finding::caution(CODE, headline));
    let shifts = format!(
        "the plate can shift by {} in all, from one side of the hole to the other",
        show(is - bolt.measure("diameter"))
    );
    Some(finding.note(shifts).help(format!("make the hole {}, or use a larger bolt", show(normal))))
}

/// A hole that the recipe makes for another bolt.
fn another_bolt(subject: &JointSubject, plate: &Plate) -> Option<Finding> {
    let joint = &subject.bolted.joint;
    let bolt = joint.bolt.name();
    // Of one that is too small the bolt says enough.
    let takes_it = plate.passage + ROUNDING >= joint.bolt.measure("diameter");
    let other = plate.meant_for.as_ref().filter(|name| takes_it && *name != bolt)?;
    let headline =
        format!("`{}` is for {other}, but the bolt of {} is {bolt}", plate.words(), subject.name());
    let finding = here(subject, plate, Finding::caution(CODE, headline));
    Some(finding.help(format!("make the hole for {bolt}, or write `bolt = \"{other}\"`")))
}
