//! A mark that runs off its face.
//!
//! # Looks for
//! Lines or letters that cross the edge, a hole or the beginning of a bend, or are
//! outside their face altogether.
//!
//! # Why it matters
//! A scriber drops into a gap, and letters across a bend cannot be read.
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

const CODE: &str = "mark-outside";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
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
                "leave out the ticks of this bend, or move the gap",
            ),
        };
        let about = subject.of_part([Feature::Mark(i)]);
        Finding::stop(CODE, headline).about(about).at(mark.span, "").help(help)
    };
    subject.flat.marks.iter().enumerate().filter(outside).map(finding).collect()
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
