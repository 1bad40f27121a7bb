//! A crush sleeve that does not fit its bolt, its laminate, or what lies at its ends.

use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::diag::Span;
use crate::joint::Between;
use crate::joint::Filling;
use crate::joint::Laminate;
use crate::joint::Sleeve;

const CODE: &str = "joint-bolt";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// The thinnest wall of a sleeve, mm. Our choice.
const WALL: f64 = 1.0;

/// By how much a sleeve is to be larger than a hole on which it bears, mm in diameter. Our choice.
const BEARS: f64 = 1.0;

/// The share of a laminate by which its sleeve may be shorter. Our choice.
const LESS: f64 = 0.1;

/// The findings on the sleeve of a laminate, by the number of its layer.
pub(super) fn check(
    subject: &JointSubject,
    (i, laminate): (usize, &Laminate),
    at: Span,
) -> Vec<Finding> {
    let Some(sleeve) = laminate.sleeve else { return Vec::new() };
    // A sleeve that does not fit gets no further finding.
    let found = match misfit(subject, laminate, sleeve) {
        Some(finding) => vec![finding],
        None => {
            let mut found: Vec<Finding> = Vec::new();
            found.extend(wall(subject, sleeve));
            found.extend(length(subject, laminate, sleeve));
            found.extend(ends(subject, i, sleeve));
            found
        }
    };
    found.into_iter().map(|finding| subject.here(finding.at(at, ""))).collect()
}

/// A sleeve that does not fit its bolt, or its hole.
fn misfit(subject: &JointSubject, laminate: &Laminate, sleeve: Sleeve) -> Option<Finding> {
    let bolt = &subject.bolted.joint.bolt;
    let outside = subject.show(sleeve.outside);
    if sleeve.outside <= bolt.measure("diameter") + ROUNDING {
        let headline = format!("a sleeve of {outside} outside has no wall round {}", bolt.name());
        return Some(Finding::stop(CODE, headline).help("write a larger `outside`"));
    }
    let hole = laminate.hole.filter(|hole| *hole + ROUNDING < sleeve.outside)?;
    let headline =
        format!("a sleeve of {outside} does not go into a hole of {}", subject.show(hole));
    Some(Finding::stop(CODE, headline).help("make `hole` larger, or the sleeve smaller"))
}

/// A wall that is too thin, round a bore as wide as the clearance hole of the bolt.
fn wall(subject: &JointSubject, sleeve: Sleeve) -> Option<Finding> {
    let bore = subject.clearance_hole();
    let wall = (sleeve.outside - bore) / 2.0;
    if wall + ROUNDING >= WALL {
        return None;
    }
    let headline = format!(
        "a sleeve of {} outside, bore {}, has a wall of {}: {} is needed",
        subject.show(sleeve.outside),
        subject.show(bore),
        subject.show(wall.max(0.0)),
        subject.show(WALL)
    );
    let finding = Finding::caution(CODE, headline);
    Some(finding.help(format!("write `outside = \"{}\"` or more", subject.show(bore + 2.0 * WALL))))
}

/// A sleeve that is too long, or so short that the laminate is crushed before it bears.
fn length(subject: &JointSubject, laminate: &Laminate, sleeve: Sleeve) -> Option<Finding> {
    let (long, thinnest) = (laminate.thickness - sleeve.less, laminate.thinnest());
    if long > thinnest + ROUNDING {
        let headline = format!(
            "the sleeve of {} is longer than the laminate at its thinnest, {}: the laminate stays loose",
            subject.show(long),
            subject.show(thinnest)
        );
        let less = subject.show(laminate.tolerance);
        return Some(Finding::caution(CODE, headline).help(format!("write `less = \"{less}\"`")));
    }
    let most = (LESS * laminate.thickness).max(laminate.tolerance);
    if sleeve.less <= most + ROUNDING {
        return None;
    }
    let headline = format!(
        "the sleeve is {} shorter than the laminate of {}: it does not protect the laminate from crushing",
        subject.show(sleeve.less),
        subject.show(laminate.thickness)
    );
    let help = format!("write `less = \"{}\"` or less", subject.show(most));
    Some(Finding::caution(CODE, headline).help(help))
}

/// An end of the sleeve that bears on no metal.
fn ends(subject: &JointSubject, i: usize, sleeve: Sleeve) -> Vec<Finding> {
    let layers = &subject.bolted.layers;
    let before = layers[..i].iter().rev().find(|layer| !is_barrier(layer));
    let behind = layers[i + 1..].iter().find(|layer| !is_barrier(layer));
    let [head, nut] = ["head", "nut"].map(|end| format!("the washer under the {end}"));
    let both = [(before, head), (behind, nut)];
    both.into_iter().filter_map(|(layer, washer)| end(subject, sleeve, layer, washer)).collect()
}

fn is_barrier(layer: &Between) -> bool {
    matches!(layer, Between::Fill(fill) if fill.filling == Filling::Barrier)
}

fn end(
    subject: &JointSubject,
    sleeve: Sleeve,
    layer: Option<&Between>,
    washer: String,
) -> Option<Finding> {
    let (what, hole) = match layer {
        None => (washer, subject.clearance_hole()),
        Some(Between::Plate(plate)) => (format!("`{}`", plate.words()), plate.passage),
        Some(Between::Laminate(other, _)) if other.sleeve.is_some() => return None,
        Some(Between::Laminate(..)) => return Some(soft("a laminate")),
        Some(Between::Fill(fill)) => match fill.filling {
            Filling::Rubber(_) => return Some(soft("rubber")),
            Filling::Spacer => ("the spacer".to_owned(), subject.clearance_hole()),
            // Skipped by the caller.
            Filling::Barrier => return None,
        },
    };
    if sleeve.outside + ROUNDING >= hole + BEARS {
        return None;
    }
    let headline = format!(
        "the sleeve of {} outside does not bear on {what}, whose hole is {}: {} is needed",
        subject.show(sleeve.outside),
        subject.show(hole),
        subject.show(hole + BEARS)
    );
    let help = "write a larger `outside`, or make that hole smaller";
    Some(Finding::caution(CODE, headline).help(help))
}

fn soft(what: &str) -> Finding {
    let headline = format!("the sleeve bears on {what}, which yields: the clamping force is lost");
    let help = "put a plate or a washer of metal at each end of it, or leave `sleeve` out";
    Finding::caution(CODE, headline).help(help)
}
