//! Sheet metal: plates of any outline, and formed parts.
//!
//! A plate is divided into strips across its drawing, each a prism of four corners: arcs become
//! chords outside the metal, and openings chords inside the opening.

use crate::fold::Folded;
use crate::fold::FoldedBend;
use crate::geom::Frame;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Side;
use crate::geom::Space;
use crate::geom::flatten;
use crate::machine::convex::Convex;
use crate::machine::convex::Disc;
use crate::machine::round::CHORD;
use crate::machine::round::chords;
use crate::part::Part;

/// Strips narrower than this are no metal, mm: rounding.
const NARROW: f64 = 1e-9;

/// The metal of a formed part, the part where a frame brings it.
pub fn folded(part: &Part, folded: &Folded, to: &Frame) -> Vec<Convex> {
    let mut pieces = Vec::new();
    for face in &folded.faces {
        let frame = to.within(&face.frame);
        pieces.extend(plate(&face.region, &frame, [-part.thickness, 0.0]));
        let drawn = &part.faces[face.face];
        for bead in &drawn.beads {
            let heights = out(bead.is_up(), part.thickness, bead.depth);
            let corners = bead.outline().into_iter().map(|edge| edge.from);
            pieces.push(prism(&corners.collect::<Vec<_>>(), &frame, heights));
        }
        for (hole, flare) in drawn.holes.iter().filter_map(|h| Some((h, h.flare.as_ref()?))) {
            let heights = out(flare.is_up(), part.thickness, flare.height);
            let radius = flare.outside / 2.0;
            let disc = |z| Disc { centre: frame.point(hole.at, z), normal: frame.z, radius };
            pieces.push(Convex::new(heights.map(disc).to_vec(), 0.0));
        }
    }
    pieces.extend(folded.bends.iter().flat_map(|bend| sector(bend, to)));
    pieces
}

/// The heights of a projection from a sheet on one side.
fn out(is_up: bool, thickness: f64, height: f64) -> [f64; 2] {
    if is_up { [0.0, height] } else { [-thickness - height, -thickness] }
}

/// A bend, in sectors of flat sides: what its outside leaves of its chords is added all round.
fn sector(bend: &FoldedBend, to: &Frame) -> Vec<Convex> {
    let outside = if bend.radius.is_finite() { bend.radius + bend.thickness } else { 0.0 };
    let (steps, off) = match outside > 0.0 {
        true => chords(outside, bend.angle.radians()),
        false => (1, 0.0),
    };
    let piece = |i: usize| {
        let shares = [i, i + 1].map(|i| i as f64 / steps as f64);
        let corner = |(share, along, height)| to.at(bend.point(along, share, height));
        let corners = shares.into_iter().flat_map(|share| {
            [0.0, bend.width].into_iter().flat_map(move |along| {
                [0.0, -bend.thickness].map(move |height| (share, along, height))
            })
        });
        Convex::points(corners.map(corner), off)
    };
    (0..steps).map(piece).collect()
}

/// A plate between two heights over its drawing.
pub fn plate(region: &Region, frame: &Frame, heights: [f64; 2]) -> Vec<Convex> {
    let ring = |outline: &Outline, side| flatten(outline, CHORD, side);
    let holes = region.holes().iter().map(|hole| ring(hole, Side::Inside));
    let rings: Vec<Vec<Point>> =
        std::iter::once(ring(region.outer(), Side::Outside)).chain(holes).collect();
    if let [outer] = rings.as_slice()
        && is_convex(outer)
    {
        return vec![prism(outer, frame, heights)];
    }
    strips(&rings).iter().map(|corners| prism(corners, frame, heights)).collect()
}

/// The prism on a convex outline between two heights.
pub fn prism(corners: &[Point], frame: &Frame, heights: [f64; 2]) -> Convex {
    let corners = corners.iter().flat_map(|p| heights.map(|z| frame.point(*p, z)));
    Convex::points(corners.collect::<Vec<Space>>(), 0.0)
}

/// Whether a polygon turns one way at every corner.
pub(crate) fn is_convex(ring: &[Point]) -> bool {
    let n = ring.len();
    let turn = |i: usize| {
        let (a, b, c) = (ring[i], ring[(i + 1) % n], ring[(i + 2) % n]);
        (b - a).cross(c - b)
    };
    let turns: Vec<f64> = (0..n).map(turn).collect();
    turns.iter().all(|turn| *turn >= 0.0) || turns.iter().all(|turn| *turn <= 0.0)
}

/// The area between rings in strips along x, each of four corners.
fn strips(rings: &[Vec<Point>]) -> Vec<[Point; 4]> {
    let mut levels: Vec<f64> = rings.iter().flatten().map(|p| p.y).collect();
    levels.sort_by(f64::total_cmp);
    let mut strips = Vec::new();
    for pair in levels.windows(2).filter(|pair| pair[1] - pair[0] > NARROW) {
        let (low, high) = (pair[0], pair[1]);
        let mut sides: Vec<[f64; 2]> = Vec::new();
        for ring in rings {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                let (under, over) = if a.y < b.y { (*a, b) } else { (b, *a) };
                // The levels include every corner: a side passes right through a strip or not at
                // all.
                if under.y <= low && over.y >= high && over.y - under.y > NARROW {
                    let x =
                        |y: f64| under.x + (over.x - under.x) * (y - under.y) / (over.y - under.y);
                    sides.push([x(low), x(high)]);
                }
            }
        }
        sides.sort_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])));
        for side in sides.chunks_exact(2) {
            let [[a, d], [b, c]] = [side[0], side[1]];
            strips.push([(a, low), (b, low), (c, high), (d, high)].map(Point::from));
        }
    }
    strips
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: an L has as much in its strips as in its outline, and its hollow is empty.
    #[test]
    fn the_strips_of_an_outline_hold_its_area_and_no_more() {
        let l = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)];
        let hole = [(5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0)];
        let rings = [l.map(Point::from).to_vec(), hole.map(Point::from).to_vec()];
        let strips = strips(&rings);
        let area = |s: &[Point; 4]| {
            let side = |i: usize| s[i].to_vec2().cross(s[(i + 1) % 4].to_vec2());
            (0..4).map(side).sum::<f64>() / 2.0
        };
        let whole: f64 = strips.iter().map(area).sum();
        assert!((whole - (60.0 * 20.0 + 20.0 * 40.0 - 100.0)).abs() < 1e-9, "{whole}");
        assert!(!is_convex(&rings[0]) && is_convex(&rings[1]));
    }
}
