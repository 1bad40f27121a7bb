//! A bolt, washer, sleeve or pilot bolt that does not fit its joint.
//!
//! # Looks for
//! A bolt that does not engage its thread as far as it must, or for which the tables have no
//! length; an engagement that is longer than the thread; a crush sleeve that is longer than its
//! laminate, too small for its bolt, or too large for its hole; washers for another size of
//! bolt: stops. A bolt that protrudes further than there is `room` for where the stack is thinnest, or
//! that is engaged by less than its diameter in a tapped plate; and a sleeve that is longer than its
//! laminate where that is thinnest, too short to hold, thin-walled, or not on metal: cautions.
//!
//! # Why it matters
//! A bolt that is too short strips its thread, one that is too long bottoms or strikes what is
//! behind it. With a sleeve that is too long the bolt is tight but the laminate is loose.
//!
//! # Example
//! `room = "8 mm"` behind a nut, beyond which the bolt protrudes 9.4 mm.
//!
//! # Remedy
//! Correct the stack, choose other washers or another engagement, or make more room.
//!
//! # Source
//! Lengths: ISO 888 (from memory), ISO 4014 and 4017; washers ISO 7089, 7093 and 7094, nuts ISO
//! 4032 (tables `bolt`, `washer`, `nut`). Two turns beyond a nut, and an engagement of one diameter
//! in steel: common practice. A sleeve must never be longer than its unclamped laminate, nor shorter by
//! more than a tenth of it; its wall is 1 mm or more round a bore as wide as the clearance hole of the
//! bolt, and it is 1 mm or more larger than the holes of the plates at its ends: our choice.

use crate::check::joint_sleeve;
use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::joint::Between;
use crate::joint::Washer;

const CODE: &str = "joint-bolt";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

pub(super) fn look(subject: &JointSubject) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    findings.extend(length(subject));
    findings.extend(engagement(subject));
    findings.extend(washers(subject));
    for (i, layer) in subject.bolted.layers.iter().enumerate() {
        if let Between::Laminate(laminate, at) = layer {
            findings.extend(joint_sleeve::look(subject, (i, laminate), *at));
        }
    }
    findings
}

/// A length that no table gives, and one that protrudes too far.
fn length(subject: &JointSubject) -> Option<Finding> {
    let bolted = subject.bolted;
    let joint = &bolted.joint;
    let Some([_, out]) = bolted.protrusion() else {
        let headline = format!(
            "the tables have no washer, pitch or nut for {} of {}",
            joint.bolt.name(),
            subject.name()
        );
        let finding = subject.here(Finding::stop(CODE, headline));
        return Some(finding.help("add it to a table of your own, or use another bolt"));
    };
    let (room, at) = joint.room?;
    if out <= room + ROUNDING {
        return None;
    }
    let headline = format!(
        "{} protrudes by up to {} beyond its {}: there is room for {}",
        bolted.ordered(),
        subject.show(out),
        if bolted.thread().is_none() { "nut" } else { "thread" },
        subject.show(room)
    );
    let finding = Finding::caution(CODE, headline).at(at, "");
    let finding = bolted.length_from(subject.units).into_iter().fold(finding, Finding::note);
    let help = "use thicker washers or a spacer to take up the length, or cut the bolt down";
    Some(subject.here(finding).help(help))
}

/// How far the bolt is screwed into its thread.
fn engagement(subject: &JointSubject) -> Option<Finding> {
    let bolted = subject.bolted;
    let joint = &bolted.joint;
    let Some(thread) = bolted.thread() else {
        let (_, at) = joint.engagement?;
        let headline = format!("{} has a loose nut: its bolt goes right through", subject.name());
        let finding = Finding::stop(CODE, headline).at(at, "");
        return Some(finding.help("remove `engagement`"));
    };
    let diameter = joint.bolt.measure("diameter");
    if let Some((said, at)) = joint.engagement
        && said > thread.depth + ROUNDING
    {
        let headline = format!(
            "engagement of {} is more than the depth of the {}, {}",
            subject.show(said),
            thread.words,
            subject.show(thread.depth)
        );
        let finding = subject.here(Finding::stop(CODE, headline).at(at, ""));
        let help = format!("write {} or less, or leave it out", subject.show(thread.depth));
        return Some(finding.help(help));
    }
    let wanted = if thread.is_made { thread.depth } else { diameter };
    let is = joint.engagement.map_or(thread.depth, |(said, _)| said).min(thread.depth);
    if is + ROUNDING >= wanted {
        return None;
    }
    let headline = format!(
        "{} is engaged by {} in the {}: {} is needed",
        joint.bolt.name(),
        subject.show(is),
        thread.words,
        subject.show(wanted)
    );
    let finding = match thread.is_made {
        true => Finding::stop(CODE, headline),
        false => Finding::caution(CODE, headline),
    };
    let help = "leave out `engagement`, or use a thicker plate, a weld nut or a loose nut";
    Some(subject.here(finding).help(help))
}

/// Washers of another bolt.
fn washers(subject: &JointSubject) -> Vec<Finding> {
    let joint = &subject.bolted.joint;
    let wrong = |washer: &Washer| match washer {
        Washer::Large(row) if row.text("bolt") != Some(joint.bolt.name()) => {
            let headline = format!("washer {} is not for {}", row.name(), joint.bolt.name());
            let help = format!("choose a washer for {} from the `washer` table", joint.bolt.name());
            Some(subject.here(Finding::stop(CODE, headline)).help(help))
        }
        _ => None,
    };
    joint.washers.iter().filter_map(wrong).collect()
}
