//! A mark that runs off its face.
//!
//! # Looks for
//! Lines or letters that cross the edge, a hole or the beginning of a bend, or are
//! outside their face altogether (stop), or on a bead or the lip of a flare (caution).
//!
//! # Why it matters
//! A scriber drops into a gap, and letters across a bend cannot be read. A bead or a lip formed
//! afterwards distorts them; a scriber cannot follow one that is already there.
//!
//! # Example
//! A name of 60 mm on a plate 50 mm wide.
//!
//! # Remedy
//! Make the letters smaller, rotate the text, or move it to where there is room.
//!
//! # Source
//! Common practice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::flat::FlatMark;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::edge_distance;
use crate::geom::edges_distance;

const CODE: &str = "mark-outside";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let outside = |(_, mark): &(usize, &FlatMark)| {
        mark.strokes.iter().flatten().any(|e| leaves(subject, mark, e))
    };
    let finding = |(i, mark): (usize, &FlatMark)| {
        let (headline, help) = match mark.face {
            Some(face) => (
                format!("a mark runs off face `{}`", subject.part.faces[face].name),
                "make it smaller, rotate it, or move it to where there is room",
            ),
            None => (
                "the ticks of a bend line run off the metal".to_owned(),
                "leave out the ticks of this bend, or move the opening that they run into",
            ),
        };
        let about = subject.of_part([Feature::Mark(i)]);
        Finding::stop(CODE, headline).about(about).at(mark.span, "").help(help)
    };
    let marks = subject.flat.marks.iter().enumerate();
    let (outside, inside): (Vec<_>, Vec<_>) = marks.partition(outside);
    let on_formed = inside.into_iter().filter_map(|(i, mark)| {
        let (face, what) = formed(subject, mark)?;
        let headline = format!("a mark of face `{face}` is on {what}");
        let about = subject.of_part([Feature::Mark(i)]);
        let caution = Finding::caution(CODE, headline).about(about).at(mark.span, "");
        Some(caution.help("move it to where the sheet stays flat"))
    });
    outside.into_iter().map(finding).chain(on_formed).collect()
}

/// The name of the face of a mark, and the bead or the lip that the mark is on.
fn formed<'s>(subject: &Subject<'s>, mark: &FlatMark) -> Option<(&'s str, String)> {
    let index = mark.face?;
    let (face, place) = (&subject.part.faces[index], &subject.flat.places[index]);
    let strokes = || mark.strokes.iter().flatten();
    let bead = face.beads.iter().find(|bead| {
        let lines: Vec<Edge> = bead.edges().iter().map(|edge| edge.moved(place)).collect();
        edges_distance(strokes().copied(), &lines) < bead.width / 2.0
    });
    let lip = face.holes.iter().find(|hole| {
        let at = place.apply(hole.outline.bounds().centre());
        let within = |outside: f64| strokes().any(|e| (e.nearest(at) - at).hypot() < outside / 2.0);
        hole.flare.is_some_and(|flare| within(flare.outside))
    });
    let bead = bead.map(|bead| format!("bead `{}`", bead.name));
    let what = bead.or_else(|| lip.map(|hole| format!("the lip of hole `{}`", hole.name)))?;
    Some((&face.name, what))
}

/// Whether a line of a mark is not wholly in the metal it belongs to.
fn leaves(subject: &Subject, mark: &FlatMark, edge: &Edge) -> bool {
    let meets = |other: Edge| edge_distance(&other, edge) < NEAR;
    let crosses = |outline: &Outline| outline.edges().any(meets);
    let flat = subject.flat;
    let middle: Point = edge.point_at(0.5);
    if flat.region.outlines().any(crosses) || !flat.region.contains(middle) {
        return true;
    }
    let Some(face) = mark.face else { return false };
    let edge = subject.part.faces[face].blank.outer().moved(&flat.places[face]);
    let bent = flat.bends.iter().flat_map(|b| b.tangents).any(meets);
    bent || crosses(&edge) || !edge.contains(middle)
}
