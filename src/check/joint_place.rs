//! Parts of one joint that do not meet where they are placed in the machine.
//!
//! # Looks for
//! Two parts of one joint, both placed in the machine, that overlap by more than 1 mm,
//! whose holes are more than 5 mm off each other beyond what the bolt allows or at more than 10°, or
//! that leave less room than the stack between them takes: stops. Holes that are more than 1 mm off
//! or at more than 3°, and a gap that no layer of the stack fills: cautions.
//!
//! # Why it matters
//! Parts of one joint touch, so that the machine does not report them. Where the points make them
//! overlap, or leave a gap, the parts do not go together as measured, or the bolt is too short.
//!
//! # Example
//! Two plates in one joint, placed 50 mm apart, with nothing between them in the stack.
//!
//! # Remedy
//! Measure the points again, correct the holes that are named, or add what lies between to the
//! `stack`.
//!
//! # Source
//! 1 mm and 5 mm are those of a hole and its point, 3° about 1 mm of error over 20 mm, 10° what no
//! washer takes up: our choice. Of several pieces of a part each is compared with the nearest of the
//! other. Parts without a given position, and which side of a part faces the other, are not judged.

use crate::check::joint_legs;
use crate::check::joint_placed::BLUNDER;
use crate::check::joint_placed::MEASURED;
use crate::check::joint_placed::Meeting;
use crate::check::joint_placed::Met;
use crate::check::joint_placed::Overlap;
use crate::check::joint_subject::JointSubject;
use crate::diag::About;
use crate::diag::Finding;
use crate::num;

const CODE: &str = "joint-place";

/// Holes at more than this, degrees, are a caution, and at more than the second a stop. Our choice.
const TILTS: [f64; 2] = [3.0, 10.0];

pub(super) fn check(subject: &JointSubject) -> Vec<Finding> {
    let mut found: Vec<Finding> = joint_legs::check(subject);
    found.extend(subject.together.overlaps.iter().map(|overlap| overlapping(subject, overlap)));
    for met in &subject.together.met {
        let about = |finding: Finding| {
            let finding = met.plates.iter().fold(finding, |finding, plate| {
                finding.about(plate.about.clone()).at(plate.at, "")
            });
            finding.at(subject.bolted.joint.here, "in this joint")
        };
        let all = judged(subject, met).into_iter().map(about);
        // Pieces in the same place give one finding.
        found.extend(all.filter(|finding| !found.contains(finding)).collect::<Vec<_>>());
    }
    found
}

fn overlapping(subject: &JointSubject, overlap: &Overlap) -> Finding {
    let [one, other] = &overlap.parts;
    let words = match one == other {
        true => format!("two pieces of `{one}`"),
        false => format!("`{one}` and `{other}`"),
    };
    let headline = format!(
        "{words} of {} overlap by {} where they are placed",
        subject.name(),
        subject.show(overlap.by)
    );
    let finding = Finding::stop(CODE, headline);
    let mut parts: Vec<&String> = overlap.parts.iter().collect();
    parts.dedup();
    let finding = parts.iter().fold(finding, |finding, part| {
        let plates = || subject.bolted.plates().filter(|(_, plate)| plate.part == **part);
        let about = plates().next().map(|(_, plate)| plate.about.clone());
        let finding = finding.about(about.unwrap_or_else(|| About::part(part.as_str())));
        plates().fold(finding, |finding, (_, plate)| finding.at(plate.at, ""))
    });
    let finding = finding.at(subject.bolted.joint.here, "in this joint");
    finding.help("correct the points of one of them")
}

fn judged(subject: &JointSubject, met: &Met) -> Vec<Finding> {
    let words = met.plates.map(|plate| format!("`{}`", plate.words()));
    let meeting = &met.meeting;
    let mut found = Vec::new();
    found.extend(tilted(meeting, &words));
    if meeting.tilt > TILTS[1] {
        return found;
    }
    found.extend(aside(subject, meeting, &words));
    found.extend(apart(subject, met, &words));
    found
}

fn tilted(meeting: &Meeting, [one, other]: &[String; 2]) -> Option<Finding> {
    if meeting.tilt <= TILTS[0] {
        return None;
    }
    let headline = format!(
        "the holes {one} and {other} are at {}° to each other where they are placed",
        num::text(meeting.tilt, 1)
    );
    let finding = match meeting.tilt > TILTS[1] {
        true => Finding::stop(CODE, headline),
        false => Finding::caution(CODE, headline),
    };
    Some(finding.help("correct the points of one of them, or name other holes"))
}

fn aside(subject: &JointSubject, meeting: &Meeting, [one, other]: &[String; 2]) -> Option<Finding> {
    let beyond = meeting.off - meeting.allowed;
    if beyond <= MEASURED {
        return None;
    }
    let headline = format!(
        "the holes {one} and {other} do not line up where they are placed: their axes are {} apart, the \
         bolt allows {}",
        subject.show(meeting.off),
        subject.show(meeting.allowed)
    );
    let finding = match beyond > BLUNDER * MEASURED {
        true => Finding::stop(CODE, headline),
        false => Finding::caution(CODE, headline),
    };
    Some(finding.help("correct the points of one of them, or name the holes that line up"))
}

/// Less or more between two plates than the stack has.
fn apart(subject: &JointSubject, met: &Met, [one, other]: &[String; 2]) -> Option<Finding> {
    let show = |mm: f64| subject.show(mm);
    let meeting = &met.meeting;
    let slack = MEASURED + meeting.stack_off;
    let [least, most] = meeting.gap;
    let parts = met.plates.map(|plate| plate.part.as_str());
    let is_both = |of: &Overlap| parts.iter().all(|part| of.parts.iter().any(|own| own == part));
    let overlap = subject.together.overlaps.iter().any(is_both);
    if least < meeting.stack - slack && !overlap {
        let headline = format!(
            "{one} and {other} are {} apart where they are placed, too close for the stack between \
             them: {} is needed",
            show(least.max(0.0)),
            show(meeting.stack)
        );
        return Some(
            Finding::stop(CODE, headline)
                .help("correct the points of one of them, or remove layers from `stack`"),
        );
    }
    if most <= meeting.stack + slack {
        return None;
    }
    let lacks = most - meeting.stack;
    let headline = match meeting.stack > 0.0 {
        true => format!(
            "{one} and {other} are {} apart where they are placed: the stack between them is {}",
            show(most),
            show(meeting.stack)
        ),
        false => format!(
            "{one} and {other} are {} apart where they are placed, with nothing between them in the \
             stack",
            show(most)
        ),
    };
    let help = format!(
        "add what is between them to `stack`, as `{{ spacer = \"{}\" }}`, or correct the points",
        show(lacks)
    );
    Some(Finding::caution(CODE, headline).help(help))
}
