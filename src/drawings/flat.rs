//! The flat of a part as its drawing shows it.

use crate::drawings::beads;
use crate::drawings::bevels;
use crate::drawings::cut_outs;
use crate::drawings::hole_dimensions;
use crate::drawings::marks;
use crate::drawings::printed;
use crate::drawings::recess;
use crate::drawings::signs;
use crate::drawings::tubes;
use crate::drawings::welds;
use crate::flat::to_origin;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::job::Job;
use crate::num;
use crate::paper::Phantom;
use crate::paper::Plan;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::solve;
use crate::solve::Solved;

/// What of a flat is shown.
pub(super) fn plan(job: &Job, all: &[Solved], solved: &Solved) -> Plan {
    let place = to_origin(&solved.flat.region);
    let sets = hole_dimensions::sets(solved);
    let region = solved.flat.region.moved(&place);
    let holes = hole_dimensions::spots(solved, &sets);
    let is_many = holes.len() > hole_dimensions::MANY;
    // A set that only the other hand has keeps its letter.
    let taken = solved.hole_sets.iter().max().map_or(0, |last| last + 1);
    let openings = cut_outs::spots(solved, taken);
    let mut callouts = hole_dimensions::callouts(job, solved, &sets, &holes);
    callouts.extend(cut_outs::callouts(job, solved, &openings, holes.len()));
    let by_file = by_file(job, solved);
    // Corners and radii of a curve are those of the arcs in its place, which nobody measures.
    let outer = by_file.is_empty().then(|| region.outer().clone());
    let defined = outer.into_iter().chain(cut_outs::defined(solved, &openings)).collect();
    let located_openings =
        openings.iter().enumerate().filter(|(_, spot)| cut_outs::is_plain(&spot.outline));
    let located_openings: Vec<usize> = located_openings.map(|(i, _)| holes.len() + i).collect();
    let first = if is_many { holes.len() } else { 0 };
    let located = (first..holes.len()).chain(located_openings).collect();
    let mut spots = [holes, openings].concat();
    if hole_dimensions::is_single(solved) {
        // No letter where there is one hole.
        spots.iter_mut().for_each(|spot| spot.label.clear());
        callouts.iter_mut().for_each(|callout| callout.letters.clear());
    }
    Plan {
        defined,
        by_file,
        region,
        marks: marks::marks(solved, &place),
        bends: signs::signs(job, solved, &place),
        faces: faces(solved, &place),
        spots,
        located,
        callouts,
        tabled: is_many,
        notes: [
            welds::notes(job, solved, &place),
            bevels::notes(job, solved, &place),
            beads::notes(job, solved, &place),
        ]
        .concat(),
        rings: [
            recess::rings(solved, &place),
            bevels::rings(solved, &place),
            beads::rings(solved, &place),
        ]
        .concat(),
        found: marks::found(solved, &place),
        points: beads::points(solved, &place),
        laid: plates_on(all, solved, &place).iter().flat_map(corners).collect(),
        phantoms: [plates_on(all, solved, &place), tubes::phantoms(job, solved, &place)].concat(),
        units: job.units,
        largest: f64::INFINITY,
    }
}

/// The words for an outline with curves from a file: the files, and by how much the arcs deviate
/// from these curves; empty where the dimensions define it.
fn by_file(job: &Job, solved: &Solved) -> Vec<String> {
    let curved = solved.part.faces.iter().flat_map(|face| &face.files).filter(|f| f.off > 0.0);
    let off = curved.clone().map(|file| file.off).fold(0.0, f64::max);
    let names: Vec<&str> = curved.map(|file| file.name.as_str()).collect();
    if names.is_empty() {
        return Vec::new();
    }
    // Never less than it is.
    let up = |length: f64| num::text((length * 1e4 - 1e-6).ceil() / 1e4, 4);
    let off = match job.units {
        Units::Millimetre => format!("{} mm", up(off)),
        Units::Inch => format!("{} in", up(off / MM_PER_INCH)),
    };
    vec![
        "outline taken from file".to_owned(),
        names.join(", "),
        format!("arcs deviate from its curves by no more than {off}"),
    ]
}

/// The faces of a part of several by name, each in the flat.
fn faces(solved: &Solved, place: &Place) -> Vec<(String, Region)> {
    if solved.part.faces.len() < 2 {
        return Vec::new();
    }
    let faces = solved.part.faces.iter().zip(&solved.flat.faces).zip(&solved.flat.places);
    let face = |((face, region), of_face): ((&crate::part::Face, &Region), &Place)| {
        (printed::name(&face.name), region.moved(of_face).moved(place))
    };
    faces.map(face).collect()
}

/// The lower left and upper right corner of the rectangle round a plate.
fn corners(plate: &Phantom) -> [Point; 2] {
    let bounds = plate.edges.iter().fold(Bounds::EMPTY, |bounds, e| bounds.and(e.bounds()));
    [bounds.min, bounds.max]
}

/// The outlines of plates that lie on this one.
fn plates_on(all: &[Solved], solved: &Solved, place: &Place) -> Vec<Phantom> {
    let on = |upper: &Solved| {
        let (face, seen) = solve::seen(upper, solved)?;
        let way = upper.flat.places.first()?.back().then(&seen);
        let way = way.then(&solved.flat.places[face]).then(place);
        let outline = upper.flat.region.outer().moved(&way);
        let edges: Vec<Edge> = outline.edges().collect();
        Some(Phantom { edges, label: upper.name.clone() })
    };
    all.iter().filter_map(on).collect()
}
