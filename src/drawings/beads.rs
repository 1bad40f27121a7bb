//! Beads: their outlines in the flat, what each is, and where its centre line runs.

use crate::drawings::printed;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::paper::EdgeNote;
use crate::paper::Ring;
use crate::paper::Tag;
use crate::paper::figure_text;
use crate::part::Bead;
use crate::part::Face;
use crate::recipe::BeadSection;
use crate::recipe::Side;
use crate::solve::Solved;

/// Every bead with the name of its face and the place of that in the flat.
fn all(solved: &Solved) -> impl Iterator<Item = (&str, &Bead, &Place)> {
    let faces = solved.part.faces.iter().zip(&solved.flat.places);
    let of_face = |(face, place)| {
        let face: &Face = face;
        face.beads.iter().map(move |bead| (face.name.as_str(), bead, place))
    };
    faces.flat_map(of_face)
}

/// The outline of each bead, and the ridge of a V; dashed on the bottom side.
pub(super) fn rings(solved: &Solved, place: &Place) -> Vec<Ring> {
    let of_bead = |(_, bead, of_face): (&str, &Bead, &Place)| {
        let ridge = (bead.section == BeadSection::V).then(|| bead.edges());
        let ring = |edges: Vec<Edge>| Ring {
            edges: edges.iter().map(|edge| edge.moved(of_face).moved(place)).collect(),
            hidden: bead.side == Side::Down,
        };
        [Some(bead.outline()), ridge].into_iter().flatten().map(ring).collect::<Vec<_>>()
    };
    all(solved).flat_map(of_bead).collect()
}

/// What each bead is, at its outline.
pub(super) fn notes(job: &Job, solved: &Solved, place: &Place) -> Vec<EdgeNote> {
    let text = |mm: f64| figure_text(job.units, mm);
    let note = |(_, bead, of_face): (&str, &Bead, &Place)| {
        let (section, side) = (bead.section.word(), bead.side.word());
        let words = format!(
            "bead {}: {} wide, {} deep, {section}, on the {side}",
            printed::name(&bead.name),
            text(bead.width),
            text(bead.depth)
        );
        // Its outline runs with the bead to its left.
        let edges = bead.outline().iter().map(|edge| edge.moved(of_face).moved(place)).collect();
        EdgeNote { edges, tag: Tag::small(&words), ring: 0.0 }
    };
    all(solved).map(note).collect()
}

/// The points of the centre lines of all beads.
pub(super) fn points(solved: &Solved, place: &Place) -> Vec<Point> {
    let of_bead = |(_, bead, of_face): (&str, &Bead, &Place)| {
        bead.line.iter().map(|p| place.apply(of_face.apply(*p))).collect::<Vec<_>>()
    };
    all(solved).flat_map(of_bead).collect()
}
