//! Edges that are bevelled for welding, with a plain note at the edge.

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Region;
use crate::job::Job;
use crate::paper::EdgeNote;
use crate::paper::Ring;
use crate::paper::Tag;
use crate::paper::figure_text;
use crate::part::Bevel;
use crate::part::Face;
use crate::recipe::BevelSides;
use crate::solve::Solved;

/// Every bevel with the name of its face and the place of that in the flat.
fn all(solved: &Solved) -> impl Iterator<Item = (&str, &Bevel, &Place)> {
    let faces = solved.part.faces.iter().zip(&solved.flat.places);
    let of_face = |(face, place)| {
        let face: &Face = face;
        face.bevels.iter().map(move |bevel| (face.name.as_str(), bevel, place))
    };
    faces.flat_map(of_face)
}

/// The note at each bevelled edge, where a place brings the flat.
pub(super) fn notes(job: &Job, solved: &Solved, place: &Place) -> Vec<EdgeNote> {
    let note = |(_, bevel, of_face): (&str, &Bevel, &Place)| {
        let text = |mm: f64| figure_text(job.units, mm);
        let side = bevel.sides.word();
        let words = format!("{}, depth {}, {side}", bevel.words(&text), text(bevel.depth));
        let moved = |edge: &Edge| edge.moved(of_face).moved(place);
        let edges = bevel.stretches.iter().map(moved).collect();
        EdgeNote { edges, tag: Tag::small(&words), ring: 0.0 }
    };
    all(solved).map(note).collect()
}

/// The inner edge of each bevel; dashed where it is on the bottom side.
pub(super) fn rings(solved: &Solved, place: &Place) -> Vec<Ring> {
    let ring = |(_, bevel, of_face): (&str, &Bevel, &Place)| {
        let flat = &solved.flat.region;
        let inner = |edge: &Edge| {
            let inner = inward(edge, bevel.width()).moved(of_face);
            Some(within(flat, &inner)?.moved(place))
        };
        Ring {
            edges: bevel.stretches.iter().filter_map(inner).collect(),
            hidden: bevel.sides == BevelSides::Down,
        }
    };
    all(solved).map(ring).collect()
}

/// The part of a straight edge that is on the metal, between its ends; an arc as it is.
fn within(flat: &Region, edge: &Edge) -> Option<Edge> {
    const STEPS: u32 = 256;
    if edge.arc().is_some() {
        return Some(*edge);
    }
    let is_metal = |i: &u32| flat.contains(edge.point_at(f64::from(*i) / f64::from(STEPS)));
    let (first, last) = ((0..=STEPS).find(is_metal)?, (0..=STEPS).rev().find(is_metal)?);
    let at = |i: u32| edge.point_at(f64::from(i) / f64::from(STEPS));
    (first < last).then(|| Edge::line(at(first), at(last)))
}

/// An edge moved into the metal, which is to its left.
fn inward(edge: &Edge, by: f64) -> Edge {
    match edge.arc() {
        None => {
            let along = edge.direction_at_start();
            let left = crate::geom::Vec2::new(-along.y, along.x) * by;
            Edge { from: edge.from + left, to: edge.to + left, bulge: edge.bulge }
        }
        Some(arc) => {
            // Metal is on the side of the centre where the edge runs anticlockwise.
            let radius = if edge.bulge > 0.0 { arc.radius - by } else { arc.radius + by };
            let moved = |p| arc.centre + (p - arc.centre) * (radius.max(0.0) / arc.radius);
            Edge { from: moved(edge.from), to: moved(edge.to), bulge: edge.bulge }
        }
    }
}
