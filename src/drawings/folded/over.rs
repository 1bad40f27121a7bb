//! Sizes over two flanges whose bends are diagonal: where both end level with each other, a
//! caliper reads from the outside of one to that of the other.

use crate::geom::Place;
use crate::geom::Point;
use crate::part::Bend;
use crate::solve::Solved;

/// Level within this, mm; a flange reaches an end of its edge within it.
const LEVEL: f64 = 0.01;

/// Square within this angle, degrees.
const SQUARE: f64 = 1e-6;

/// The size over two flanges of a face at one of their ends, mm.
pub(super) struct Over {
    /// The flanges, by the indices of their faces.
    pub(super) flanges: [usize; 2],
    pub(super) mm: f64,
}

/// The sizes over flanges beside the slanting bends of a face, along and square to its axes.
pub(super) fn sizes(solved: &Solved, face: usize, axes: &Place) -> Vec<Over> {
    let bends = solved.part.bends.iter().filter(|bend| bend.from == face);
    let slanting = bends.filter(|bend| {
        let along = solved.part.faces[face].edges[bend.edge].edge.direction_at_start();
        let along = axes.direction(along);
        let is_slanting = along.x.abs() > LEVEL && along.y.abs() > LEVEL;
        let off = bend.bend.angle().degrees() - 90.0;
        is_slanting && off.abs() < SQUARE && !bend.bend.form().is_hem()
    });
    let ends: Vec<(&Bend, Vec<Point>)> =
        slanting.map(|bend| (bend, outside(solved, bend, axes))).collect();
    let mut sizes = Vec::new();
    for (i, (one, here)) in ends.iter().enumerate() {
        for (other, there) in ends[i + 1..].iter().filter(|(other, _)| other.up == one.up) {
            let pairs = here.iter().flat_map(|a| there.iter().map(move |b| *b - *a));
            let level = pairs.filter(|by| by.x.abs() < LEVEL || by.y.abs() < LEVEL);
            let far = level.map(|by| by.hypot()).filter(|mm| *mm > LEVEL);
            sizes.extend(far.map(|mm| Over { flanges: [one.to, other.to], mm }));
        }
    }
    sizes
}

/// The ends of an edge, to the mould line, that a flange reaches.
fn outside(solved: &Solved, bend: &Bend, axes: &Place) -> Vec<Point> {
    let named = &solved.part.faces[bend.from].edges[bend.edge];
    let along = named.edge.direction_at_start();
    let flange = solved.flat.faces[bend.to].bounds();
    // x of the carried face runs against the edge.
    let x = |p: Point| -(p - named.centre).dot(along) - bend.aside;
    let is_reached = |p: &Point| (flange.min.x - LEVEL..=flange.max.x + LEVEL).contains(&x(*p));
    let ends = [named.edge.from, named.edge.to];
    ends.into_iter().filter(is_reached).map(|p| axes.apply(p)).collect()
}
