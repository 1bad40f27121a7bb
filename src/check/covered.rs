//! A hole or a mark that a bend covers.
//!
//! # Looks for
//! The return of a hem over any part of a hole that is tapped, reamed, drilled or countersunk, or
//! that a pin, a bearing, a tongue or anything else goes through (stop), and over a hole that is
//! only cut (caution); a leg bent past 90°, or an eye, over a hole of the first kind, and a hem, or
//! a bend of 180° or more, over a mark (cautions). Bolt holes are checked by `wrench-clearance`,
//! inserts by `insert`, lips by `flare`.
//!
//! # Why it matters
//! No tool gets to the hole and nothing goes straight through it; the mark cannot be read.
//!
//! # Example
//! A tapped hole 20 mm from a closed hem whose return is 40 mm long.
//!
//! # Remedy
//! Move the hole or the mark, make the return shorter, or cut the hole through both.
//!
//! # Source
//! Geometry. Marks are taken to be on the top side, on which they are etched.

use crate::check::laid_over;
use crate::check::subject::Subject;
use crate::check::wrench_clearance;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::HoleId;
use crate::diag::Weight;
use crate::flat::FlatMark;
use crate::fold;
use crate::geom::Edge;
use crate::part::Bend;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::recipe::Making;

const CODE: &str = "covered";

/// A bend of a smaller angle leaves the metal below it accessible, degrees. Our choice.
const HIDES: f64 = 180.0 - 1e-6;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let holes = subject.holes().filter_map(|(flat, of)| hole(subject, (flat.id, of)));
    let marks = subject.flat.marks.iter().enumerate().filter_map(|of| mark(subject, of));
    holes.chain(marks).collect()
}

/// A hole that a bend covers.
fn hole(subject: &Subject, (id, hole): (HoleId, &Hole)) -> Option<Finding> {
    let elsewhere = hole.insert.is_some()
        || hole.flare.is_some()
        || wrench_clearance::takes_bolt(subject, hole);
    if elsewhere {
        return None;
    }
    let (bend, weight, words) = laid_over::covering(subject, (id, hole))?;
    let is_hem = subject.part.bends[bend].bend.form().is_hem();
    let (weight, lost) = match lost(hole) {
        Some(lost) => (weight, lost),
        None if is_hem => (Weight::Caution, "nothing passes through it".to_owned()),
        None => return None,
    };
    let headline = format!("{words} covers hole `{}`: {lost}", hole.name);
    let finding = subject.finding(weight, CODE, headline, &hole.depends, hole.span);
    let about = subject.of_part([Feature::Hole(id), Feature::Bend(bend)]);
    Some(finding.about(about).help(laid_over::HELP))
}

/// What a covered hole can no longer be used for; `None` for one that is only cut.
fn lost(hole: &Hole) -> Option<String> {
    let made = match hole.making {
        Making::Cut => None,
        Making::Drill => Some("a drill cannot reach it after bending"),
        Making::Ream => Some("a reamer cannot reach it after bending"),
        Making::Tap => Some("a screw cannot be fitted"),
    };
    let through = hole
        .through
        .as_ref()
        .map(|what| format!("the {} cannot be fitted", what.replace('_', " ")));
    let sunk =
        hole.recess.map(|_| "it cannot be countersunk or counterbored after bending".to_owned());
    let eye = hole.eye.then(|| "a pin cannot be fitted".to_owned());
    let tongue =
        matches!(hole.size, HoleSize::TongueSlot { .. }).then(|| "the tongue cannot enter".into());
    through.or(eye).or(tongue).or(made.map(str::to_owned)).or(sunk)
}

/// A mark that a bend hides.
fn mark(subject: &Subject, (index, mark): (usize, &FlatMark)) -> Option<Finding> {
    let face = mark.face?;
    let back = subject.flat.places[face].back();
    let strokes: Vec<Edge> = mark.strokes.iter().flatten().map(|edge| edge.moved(&back)).collect();
    let hides = |(_, bend): &(usize, &Bend)| bend.up && bend.bend.angle().degrees() > HIDES;
    let covers = |(i, _): &(usize, &Bend)| {
        let laid = fold::laid(subject.part, subject.folded, *i, face);
        laid.is_some_and(|laid| strokes.iter().any(|stroke| laid.meets(stroke)))
    };
    let mut bends = subject.part.bends.iter().enumerate().filter(hides);
    let (i, bend) = bends.find(covers)?;
    let what = if bend.bend.form().is_hem() { "hem" } else { "the metal folded over by bend" };
    let name = &subject.part.faces[face].name;
    let headline = format!("a mark of face `{name}` is under {what} `{}`", bend.name);
    let about = subject.of_part([Feature::Mark(index), Feature::Bend(i)]);
    let finding = Finding::caution(CODE, headline).at(mark.span, "").about(about);
    Some(finding.help("move it to where it can be seen, or to the other side of the bend"))
}
