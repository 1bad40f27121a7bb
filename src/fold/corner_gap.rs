//! The clear distance of two flanges at a corner, measured on the folded part.
//!
//! Along the straight edge of each flange that faces the corner, from end to end, both
//! surfaces of the sheet are held against the whole of the other flange.

use crate::flat::Flat;
use crate::fold::folded::Folded;
use crate::fold::folded::FoldedFace;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::part::Part;

/// Places along an edge at which the gap is measured.
const PLACES: usize = 33;

/// An edge faces the corner when it runs up the flange more than along its bend.
const STEEP: f64 = 0.2;

/// The gap at a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerGap {
    /// Indices of the two bends.
    pub bends: [usize; 2],
    /// What is asked for, mm.
    pub asked: f64,
    /// Where it is narrowest, mm.
    pub min: f64,
    /// Where it is widest, mm, as high as both flanges reach.
    pub max: f64,
}

/// The gaps at all corners at which two flanges are to meet; without those where a flange
/// has no straight edge that faces the other.
pub fn corner_gaps(part: &Part, flat: &Flat, folded: &Folded) -> Vec<CornerGap> {
    let gap = |corner: &crate::flat::Corner| {
        let [first, second] = corner.bends.map(|b| &folded.faces[part.bends[b].to]);
        // Along the edge of the first bend the corner comes at its end, where x of the
        // carried face is least.
        let both =
            [along(first, second, -1.0, part.thickness), along(second, first, 1.0, part.thickness)];
        let min = both.iter().flatten().copied().min_by(f64::total_cmp)?;
        // Of two that overlap one runs on past the gap: what the nearer edge sees counts.
        let widest = both.iter().filter_map(|gaps| gaps.iter().copied().max_by(f64::total_cmp));
        let max = widest.min_by(f64::total_cmp)?;
        Some(CornerGap { bends: corner.bends, asked: corner.gap, min, max })
    };
    flat.corners.iter().filter_map(gap).collect()
}

/// The gaps along the edge of one flange that faces the other, as far as that reaches.
fn along(face: &FoldedFace, other: &FoldedFace, side: f64, thickness: f64) -> Vec<f64> {
    let Some(edge) = facing(face, side) else { return Vec::new() };
    let bounds = other.region.bounds();
    let gap = |i: usize| {
        let at = edge.point_at(i as f64 / (PLACES - 1) as f64);
        let seen = [0.0, -thickness].map(|h| other.frame.seen(face.frame.point(at, h)));
        let beside = |y: f64| y >= bounds.min.y && y <= bounds.max.y;
        if !seen.iter().all(|p| beside(p[1])) {
            return None;
        }
        let apart = seen.map(|[x, y, z]| {
            let at = Point::new(x, y);
            let outer = other.region.outer();
            let level = if outer.contains(at) { 0.0 } else { outer.distance(at) };
            num::hypot(level, z.max(-thickness - z).max(0.0))
        });
        Some(apart[0].min(apart[1]))
    };
    (0..PLACES).filter_map(gap).collect()
}

/// The longest straight edge of a flange on one side of it: −1 where x is least, 1 where most.
fn facing(face: &FoldedFace, side: f64) -> Option<Edge> {
    let steep = |edge: &Edge| {
        let way = edge.direction_at_start();
        // Metal lies to the left of the way, so an edge on the side where x is most runs up.
        edge.is_line() && way.y * side > STEEP
    };
    let edges = face.region.outer().edges().filter(steep);
    edges.max_by(|a, b| a.length().total_cmp(&b.length()))
}
