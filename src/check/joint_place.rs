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

use crate::check::joint_placed::MEASURED;
use crate::check::joint_placed::Meeting;
use crate::check::joint_placed::Placed;
use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::num;

const CODE: &str = "joint-place";

/// A larger deviation is a blunder, mm. Our choice.
const BLUNDER: f64 = 5.0;

/// Holes at more than this, degrees, are a caution, and at more than the second a stop. Our choice.
const TILTS: [f64; 2] = [3.0, 10.0];

pub(super) fn look(subject: &JointSubject) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    for placed in subject.placed {
        let about = |finding: Finding| {
            let finding = placed.plates.iter().fold(finding, |finding, plate| {
                finding.about(plate.about.clone()).at(plate.at, "")
            });
            finding.at(subject.bolted.joint.here, "in this joint")
        };
        let all = judged(subject, placed).into_iter().map(about);
        // Pieces in the same place give one finding.
        found.extend(all.filter(|finding| !found.contains(finding)).collect::<Vec<_>>());
    }
    found
}

fn judged(subject: &JointSubject, placed: &Placed) -> Vec<Finding> {
    let words = placed.plates.map(|plate| format!("`{}`", plate.words()));
    let mut found = Vec::new();
    if placed.collide {
        let [one, other] = placed.plates.map(|plate| format!("`{}`", plate.part));
        let headline = format!(
            "{one} and {other} of {} overlap by more than {} where they are placed",
            subject.name(),
            subject.show(MEASURED)
        );
        found.push(Finding::stop(CODE, headline).help("correct the points of one of them"));
    }
    let Some(meeting) = &placed.meeting else { return found };
    found.extend(tilted(meeting, &words));
    if meeting.tilt > TILTS[1] {
        return found;
    }
    found.extend(aside(subject, meeting, &words));
    found.extend(apart(subject, (placed, meeting), &words));
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
        "the holes {one} and {other} do not meet where they are placed: their axes are {} apart, the \
         bolt allows {}",
        subject.show(meeting.off),
        subject.show(meeting.allowed)
    );
    let finding = match beyond > BLUNDER {
        true => Finding::stop(CODE, headline),
        false => Finding::caution(CODE, headline),
    };
    Some(finding.help("correct the points of one of them, or name the holes that meet"))
}

/// Less or more between two plates than the stack has.
fn apart(
    subject: &JointSubject,
    (placed, meeting): (&Placed, &Meeting),
    [one, other]: &[String; 2],
) -> Option<Finding> {
    let show = |mm: f64| subject.show(mm);
    let slack = MEASURED + meeting.stack_off;
    let [least, most] = meeting.gap;
    if least < meeting.stack - slack && !placed.collide {
        let headline = format!(
            "{one} and {other} leave {} where they are placed: the stack between them is {}",
            show(least.max(0.0)),
            show(meeting.stack)
        );
        return Some(
            Finding::stop(CODE, headline).help(
                "correct the points of one of them, or take what is not there out of `stack`",
            ),
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
            "{one} and {other} are {} apart where they are placed, and nothing in the stack is \
             between them",
            show(most)
        ),
    };
    let help = format!(
        "add what is between them to `stack`, as `{{ spacer = \"{}\" }}`, or correct the points",
        show(lacks)
    );
    Some(Finding::caution(CODE, headline).help(help))
}
