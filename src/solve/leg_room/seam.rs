//! The welds of a set, and the places at which each is tested.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::part::LegRoom;
use crate::part::Weld;
use crate::solve::solved::Solved;

/// From one place to the next along a weld, mm, and most places of one edge. Our choice: past a
/// hole of 5 mm it misses 0.01 mm.
const STEP: f64 = 0.5;
const PLACES: f64 = 400.0;

/// How far within its edge metal is sought, mm. Our choice.
const WITHIN: f64 = 0.02;

/// A weld with the room for its leg.
pub(super) struct Found {
    /// Index of its part, of its face there, and of it.
    pub(super) of: [usize; 3],
    pub(super) room: LegRoom,
}

/// A place of a weld, in the drawing of its face.
#[derive(Clone, Copy)]
pub(super) struct Spot {
    pub(super) at: Point,
    /// Out of the metal, of length 1.
    pub(super) out: Vec2,
    /// To the nearer end of its edge, mm.
    pub(super) to_end: f64,
}

/// Every weld of all parts, with its indices.
pub(super) fn welds(solved: &[Solved]) -> impl Iterator<Item = ([usize; 3], &Solved, &Weld)> {
    solved.iter().enumerate().flat_map(|(i, of)| {
        of.part.faces.iter().enumerate().flat_map(move |(f, face)| {
            face.welds.iter().enumerate().map(move |(w, weld)| ([i, f, w], of, weld))
        })
    })
}

/// The places at which a weld is tested: between the ends of its edges, without the stretches that
/// bends and openings remove.
pub(super) fn spots(solved: &Solved, face: usize, weld: &Weld) -> Vec<Spot> {
    let metal = &solved.folded.faces[face].region;
    weld.stretches.iter().flat_map(|edge| of_edge(edge, metal)).collect()
}

fn of_edge(edge: &Edge, metal: &Region) -> Vec<Spot> {
    let long = edge.length();
    let n = (long / STEP).ceil().clamp(2.0, PLACES);
    let spot = |i: u32| {
        let share = (f64::from(i) + 0.5) / n;
        let along = edge.between(share, 1.0).direction_at_start();
        let (at, out) = (edge.point_at(share), Vec2::new(along.y, -along.x));
        metal.contains(at - out * WITHIN).then_some((long * share, Spot { at, out, to_end: 0.0 }))
    };
    let there: Vec<(f64, Spot)> = (0..n as u32).filter_map(spot).collect();
    let ends = [there.first(), there.last()].map(|end| end.map_or(0.0, |(along, _)| *along));
    let to_end = |along: f64| (along - ends[0]).min(ends[1] - along);
    there.into_iter().map(|(along, spot)| Spot { to_end: to_end(along), ..spot }).collect()
}

/// The narrowest of some rooms.
pub(super) fn narrowest(rooms: impl Iterator<Item = LegRoom>) -> Option<LegRoom> {
    rooms.min_by(|a, b| a.mm.total_cmp(&b.mm))
}
