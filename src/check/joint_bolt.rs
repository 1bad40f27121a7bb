//! A bolt, washer, sleeve or pilot bolt that does not fit its joint.
//!
//! # Looks for
//! A bolt that does not engage its thread as far as it must, or for which the tables have no
//! length; an engagement that is longer than the thread; a crush sleeve that is longer than its
//! laminate, too small for its bolt, or too large for its hole; washers for another size of
//! bolt; a head, nut or washer that falls through its hole or into a countersink or counterbore: stops.
//! A head, nut or washer that may not cover its hole, or that bears on a recess; a recess inside
//! the stack; a hole that is for another bolt, or wider than the loose clearance hole of its bolt; a bolt longer than the longest listed for its size;
//! a pilot bolt where nothing is drilled; a bolt that protrudes further than there is `room` for
//! where the stack is thinnest, or that is engaged by less than its diameter in a tapped plate; and
//! a sleeve that is longer than its laminate where that is thinnest, too short to hold,
//! thin-walled, or not on metal: cautions.
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
//! Lengths: ISO 888; the shortest and longest of a size: ISO 4014 and 4017, ISO 10642, ISO 4762, ASME
//! B18.2.1 and B18.6.3 (all from memory); washers ISO 7089, 7093 and 7094, nuts ISO
//! 4032 (tables `bolt`, `washer`, `nut`). The tolerance of sheets (table `sheet-tolerance`) and coating
//! on both sides of each plate count in the length. A head or washer must cover its hole with the bolt
//! against one side of it: our choice. Loose clearance holes: ISO 273, ASME B18.2.8 (table `bolt`). Two turns beyond a nut, and an engagement of one diameter
//! in steel: common practice. A sleeve must never be longer than its unclamped laminate, nor shorter by
//! more than a tenth of it; its wall is 1 mm or more round a bore as wide as the clearance hole of the
//! bolt, and it is 1 mm or more larger than the holes of the plates at its ends: our choice.

use crate::check::joint_seat;
use crate::check::joint_sleeve;
use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::diag::Span;
use crate::joint::Between;
use crate::joint::Washer;

const CODE: &str = "joint-bolt";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

pub(super) fn check(subject: &JointSubject) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    findings.extend(length(subject));
    findings.extend(unlisted(subject));
    findings.extend(engagement(subject));
    findings.extend(washers(subject));
    findings.extend(idle_pilot(subject));
    findings.extend(joint_seat::check(subject));
    for (i, layer) in subject.bolted.layers.iter().enumerate() {
        if let Between::Laminate(laminate, at) = layer {
            findings.extend(joint_sleeve::check(subject, (i, laminate), *at));
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
    (out > room + ROUNDING).then(|| no_room(subject, out, (room, at)))
}

/// A bolt that is longer than the longest listed of its size.
fn unlisted(subject: &JointSubject) -> Option<Finding> {
    let bolted = subject.bolted;
    let longest = bolted.length()?.longest?;
    let headline = format!(
        "{} of {} is longer than the longest that is listed, {}",
        bolted.ordered(),
        subject.name(),
        subject.show(longest)
    );
    let finding = subject.here(Finding::caution(CODE, headline));
    let finding = bolted.length_from(subject.units).into_iter().fold(finding, Finding::note);
    let help = "ask your supplier for it, use a larger bolt, or use studding (threaded rod)";
    Some(finding.help(help))
}

fn no_room(subject: &JointSubject, out: f64, (room, at): (f64, Span)) -> Finding {
    let bolted = subject.bolted;
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
    subject.here(finding).help(help)
}

/// How far the bolt is screwed into its thread.
fn engagement(subject: &JointSubject) -> Option<Finding> {
    let bolted = subject.bolted;
    let joint = &bolted.joint;
    let Some(thread) = bolted.thread() else {
        let (_, at) = joint.engagement?;
        let headline = format!(
            "{} ends in a nut, not in a thread: `engagement` does not apply",
            subject.name()
        );
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
    let asked = joint.engagement.map_or(thread.depth, |(said, _)| said).min(thread.depth);
    // For a plate, the bolt counts as ordered, no shorter than required.
    let is = if thread.is_made { asked } else { bolted.engaged().unwrap_or(asked) };
    if is + ROUNDING >= wanted {
        return None;
    }
    let headline = format!(
        "{} is engaged by {} in the {}: {} is needed",
        bolted.ordered(),
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
            let finding = Finding::stop(CODE, headline);
            let finding = joint.washers_at.into_iter().fold(finding, |of, at| of.at(at, ""));
            Some(subject.here(finding).help(help))
        }
        _ => None,
    };
    let mut found: Vec<Finding> = joint.washers.iter().filter_map(wrong).collect();
    // One word for both is wrong once.
    found.dedup();
    found
}

/// A pilot bolt in a joint in which nothing is drilled.
fn idle_pilot(subject: &JointSubject) -> Option<Finding> {
    let (pilot, at) = subject.bolted.joint.pilot.as_ref()?;
    if subject.bolted.takes_pilots() {
        return None;
    }
    let headline = format!(
        "nothing in {} is drilled while it is clamped: no pilot bolt {} is ordered",
        subject.name(),
        pilot.name()
    );
    let finding = subject.here(Finding::caution(CODE, headline).at(*at, ""));
    Some(finding.help("remove `pilot`, or cut pilot holes: `made = \"drill\"` in a recipe"))
}
