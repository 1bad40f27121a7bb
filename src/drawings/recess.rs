//! Countersinks, counterbores and flares on drawings: the circles round the hole.

use crate::geom::Place;
use crate::geom::disc;
use crate::paper::Ring;
use crate::solve::Solved;

/// The circle of every recess, where a place brings the flat; dashed on the bottom side.
pub(super) fn rings(solved: &Solved, place: &Place) -> Vec<Ring> {
    let ring = |flat: &crate::flat::FlatHole| {
        let recess = solved.part.hole(flat.id).recess?;
        let outline = disc(flat.outline.bounds().centre(), recess.diameter / 2.0).ok()?;
        let edges = outline.moved(place).edges().collect();
        Some(Ring { edges, hidden: !recess.is_up() })
    };
    let sunk = solved.flat.holes.iter().filter_map(ring);
    let formed = solved.flat.holes.iter().flat_map(|flat| flared(solved, flat, place));
    sunk.chain(formed).collect()
}

/// The foot and the mouth of a flare.
fn flared(solved: &Solved, flat: &crate::flat::FlatHole, place: &Place) -> Vec<Ring> {
    let Some(flare) = solved.part.hole(flat.id).flare else { return Vec::new() };
    let centre = flat.outline.bounds().centre();
    let circles =
        [flare.outside, flare.inside].into_iter().filter_map(|d| disc(centre, d / 2.0).ok());
    let ring = |outline: crate::geom::Outline| Ring {
        edges: outline.moved(place).edges().collect(),
        hidden: !flare.is_up(),
    };
    circles.map(ring).collect()
}
