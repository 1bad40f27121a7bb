//! A weld or a bevel along an edge that a fold line crosses.
//!
//! # Looks for
//! A weld or a bevel along an edge of a face across which a bend is drawn (caution): it is drawn,
//! measured and judged on the faces beside the bend, and stops where the bend begins.
//!
//! # Why it matters
//! The length on the bend is not counted in lengths, price or strength, and a bevel ground before
//! bending opens up there.
//!
//! # Example
//! A fold line across an edge of 100 mm with a weld: 6.5 mm of the weld, on the bend, is left out.
//!
//! # Remedy
//! Give each side its own edge, which ends before the bend, or tell the welder in a note what to do
//! round the bend.
//!
//! # Source
//! Geometry: the model has no welds or bevels round a bend.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Bend;
use crate::part::Worked;

const CODE: &str = "weld-bend";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let bends = subject.part.bends.iter().enumerate();
    let zones = bends.filter_map(|(i, bend)| Some((i, bend, bend.zone.as_ref()?)));
    let worked = zones.flat_map(|(i, bend, zone)| zone.worked.iter().map(move |of| (i, bend, of)));
    worked.map(|(i, bend, of)| stops(subject, (i, bend), of)).collect()
}

fn stops(subject: &Subject, (i, bend): (usize, &Bend), of: &Worked) -> Finding {
    let headline = format!(
        "the {} along edge `{}` stops at bend `{}`: {} of it, on the bend, is left out",
        of.what,
        of.edge,
        bend.name,
        subject.show(of.length)
    );
    let finding = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
    finding
        .at(bend.span, format!("edge `{}`", of.edge))
        .about(subject.of_part([Feature::Bend(i)]))
        .help("give each side its own edge, or note what is to be done round the bend")
}
