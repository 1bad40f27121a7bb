//! A fold line not square to an edge, so that the flange is too short at its ends.
//!
//! # Looks for
//! A fold line that is not square to an edge it crosses, so that the sheet on one side of it
//! becomes too short to be bent towards the end of the bend. Where the job names a shop, its tool
//! says how long that is, and more than a quarter of the bend at either end is a stop of
//! `min-flange`; without a shop it is 2.5 T + R, and only more than a quarter is reported. Two
//! bends of one face, of which one is such a line, that leave less than two thicknesses of flat
//! sheet between them.
//!
//! # Why it matters
//! The tip does not reach over the V or the leaf: the bend comes out short of its angle there, and
//! the edge rippled. Where two bends meet, the second is bent in metal that is curved already.
//!
//! # Example
//! A corner of 3 mm plate, bent up along a line at 45° to its edges, over a V that needs 10.5
//! mm: some 10 mm at either end is bent only by the metal beside it.
//!
//! # Remedy
//! Leave the corner longer and cut it back after bending, bend a sample first, or dress the ends
//! by hand. Move bends apart, or make them more nearly parallel.
//!
//! # Source
//! Geometry; the minimum flange as in `min-flange`. The quarter is our choice; so are the two
//! thicknesses, the same as beside a rolled bend.

use crate::bend::Form;
use crate::check::min_flange;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::NEAR;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::edges_distance;
use crate::part::Bend;
use crate::sequence::SLANTED_SHARE;

const CODE: &str = "bend-taper";

/// Flat sheet between two bends, in thicknesses. Our choice, as rolls leave it.
const BETWEEN: f64 = 2.0;

/// Places along a bend at which the sheet beside it is measured. Our choice.
const PLACES: u32 = 400;

/// An edge this near to a bend begins at it, mm.
const AT: f64 = 0.1;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let slanted = |(_, bend): &(usize, &Bend)| {
        bend.bend.form() == Form::Bent && bend.zone.as_ref().is_some_and(|zone| !zone.is_square())
    };
    let drawn: Vec<(usize, &Bend)> =
        subject.part.bends.iter().enumerate().filter(slanted).collect();
    let tapers = drawn.iter().filter_map(|(i, bend)| tapers(subject, *i, bend));
    let pairs = drawn.iter().flat_map(|(i, bend)| {
        let others = subject.part.bends.iter().enumerate();
        // A pair of slanted ones is reported at the second.
        let others = others.filter(|other| other.0 != *i && (other.0 < *i || !slanted(other)));
        others.filter_map(|other| meets(subject, (*i, *bend), other))
    });
    tapers.chain(pairs).collect()
}

/// Another bend of the same face that leaves too little flat sheet beside a slanted one.
fn meets(
    subject: &Subject,
    (i, bend): (usize, &Bend),
    (j, other): (usize, &Bend),
) -> Option<Finding> {
    let shared = [bend.from, bend.to].into_iter().find(|f| [other.from, other.to].contains(f))?;
    let [one, next] = [(i, bend), (j, other)].map(|(index, bend)| {
        let strip = &subject.flat.bends[index];
        if bend.from == shared { strip.begins } else { strip.ends }
    });
    let (is, needed) = (edges_distance([one], &[next]), BETWEEN * subject.part.thickness);
    if !short(is, needed) {
        return None;
    }
    let headline = format!(
        "bends `{}` and `{}` run together: {} of flat sheet is left between them, but {} is needed",
        other.name,
        bend.name,
        subject.show(is),
        subject.show(needed)
    );
    let finding = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
    let finding = finding.at(bend.span, "nearest to the other");
    let about = subject.of_part([Feature::Bend(j), Feature::Bend(i)]);
    Some(finding.about(about).help("move the bends apart, or make them more nearly parallel"))
}

fn tapers(subject: &Subject, index: usize, bend: &Bend) -> Option<Finding> {
    let strip = &subject.flat.bends[index];
    let min = min(subject, index, bend);
    // Measured outside, from the mould line.
    let needed = min - bend.bend.caliper_setback();
    let [near, far] = [(strip.begins, bend.from), (strip.ends, bend.to)]
        .map(|(edge, face)| ends(&edge, &subject.flat.faces[face], needed));
    // The end of one line faces the start of the other.
    let [first, last] = [0, 1].map(|end| near[end].max(far[1 - end]));
    let allowed = match subject.shop {
        Some(_) => subject.part.thickness,
        None => SLANTED_SHARE * strip.begins.length(),
    };
    if first.max(last) <= allowed {
        return None;
    }
    let shown: Vec<String> =
        [first, last].iter().filter(|mm| **mm > NEAR).map(|mm| subject.show(*mm)).collect();
    let over = match shown.as_slice() {
        [one, other] if one == other => format!("{one} at each end"),
        [one, other] => format!("{one} and {other} at its ends"),
        _ => format!("{} at one end", shown.concat()),
    };
    let headline = format!(
        "bend `{}` is not square to the edge: over {over} the flange is shorter than the {} needed",
        bend.name,
        subject.show(min)
    );
    let finding = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
    let help = "leave the corner longer and cut it back after bending, or bend a sample first";
    Some(finding.about(subject.of_part([Feature::Bend(index)])).help(help))
}

/// The minimum flange of the tool that makes a bend, or of any, mm, measured outside.
fn min(subject: &Subject, index: usize, bend: &Bend) -> f64 {
    let usual = min_flange::MIN.0 * bend.bend.thickness() + bend.bend.radius();
    let step = subject.shop.and_then(|(shop, plan)| Some((shop, plan.step(index)?.1)));
    step.map_or(usual, |(shop, step)| step.setup.min_flange(shop))
}

/// How far from either end of an edge a face beyond it, to its left, is shorter than it must be.
fn ends(edge: &Edge, face: &Region, needed: f64) -> [f64; 2] {
    let along = edge.direction_at_start();
    let out = Vec2::new(-along.y, along.x);
    let long = edge.length();
    let reaches = |mm: f64| {
        let ray = Line { at: edge.from + along * mm, along: out };
        let stretches = ray.stretches(face.outer());
        stretches.iter().any(|[from, to]| *from < AT && *to >= needed)
    };
    let at = |i: u32| long * f64::from(i) / f64::from(PLACES);
    let first = (0..=PLACES).find(|i| reaches(at(*i)));
    let last = (0..=PLACES).rev().find(|i| reaches(at(*i)));
    match (first, last) {
        (Some(first), Some(last)) => [at(first), long - at(last)],
        _ => [long / 2.0, long / 2.0],
    }
}
