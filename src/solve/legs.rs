//! How far the gap between two legs of a formed part may be off, and which of its legs face each other.

use crate::fit::sheet_tolerance;
use crate::geom::Bounds;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::flatten;
use crate::geom::minus;
use crate::num::Angle;
use crate::solve::solved::Solved;
use crate::table::Tables;

/// Faces at less than this to each other are parallel, degrees. Our choice: about what a brake misses.
const PARALLEL: f64 = 1.0;

/// Arcs of an outline leave their chords by this at most, mm. Our choice.
const CHORD: f64 = 0.1;

/// Two legs that face each other.
pub(super) struct Facing {
    /// Between their faces as drawn, mm.
    pub(super) gap: f64,
    /// How far that may be off, mm, either way: by root sum square, and in the worst case.
    pub(super) off: [f64; 2],
}

/// How far the gap between two faces may be off along a direction, at the worst of some places on the
/// second, mm: by root sum square, and in the worst case. The sheet counts twice, and every bend between
/// them by its place and by its angle (tables `sheet-tolerance`, `tolerance`).
pub(super) fn off(
    of: &Solved,
    faces: [usize; 2],
    (places, way): (&[Space], Space),
    tables: &Tables,
) -> [f64; 2] {
    let row = tables.row("tolerance", "bend");
    let length = row.map_or(0.0, |row| row.measure("length"));
    let rotation = Angle::from_degrees(row.map_or(0.0, |row| row.measure("angle")));
    let sheet = sheet_tolerance(of.part.thickness, tables);
    let mut each = vec![sheet, sheet];
    for bend in bends_between(of, faces) {
        each.push(length);
        let Some((on, along)) = of.folded.bends[bend].axis() else { continue };
        let arm = |place: &Space| dot(cross(along, minus(*place, on)), way).abs();
        each.push(places.iter().map(arm).fold(0.0, f64::max) * rotation.tan());
    }
    let squares: f64 = each.iter().map(|off| off * off).sum();
    [squares.sqrt(), each.iter().sum()]
}

/// The bends on the way from one face to another.
fn bends_between(of: &Solved, [from, to]: [usize; 2]) -> Vec<usize> {
    let bends = &of.part.bends;
    let mut came: Vec<Option<usize>> = vec![None; of.part.faces.len()];
    let mut reached = vec![from];
    let mut next = 0;
    while next < reached.len() {
        let here = reached[next];
        next += 1;
        for (i, bend) in bends.iter().enumerate() {
            let over = [(bend.from, bend.to), (bend.to, bend.from)];
            for (_, there) in over.into_iter().filter(|(side, _)| *side == here) {
                if !reached.contains(&there) {
                    came[there] = Some(i);
                    reached.push(there);
                }
            }
        }
    }
    let mut way = Vec::new();
    let mut here = to;
    while let Some(bend) = came[here] {
        way.push(bend);
        let of = &bends[bend];
        here = if of.from == here { of.to } else { of.from };
    }
    way
}

/// Every two legs of a part that face each other with room between them.
pub(super) fn facing(of: &Solved, tables: &Tables) -> Vec<Facing> {
    let faces = &of.folded.faces;
    let parallel = Angle::from_degrees(PARALLEL).cos();
    let mut all = Vec::new();
    for (i, one) in faces.iter().enumerate() {
        for (j, other) in faces.iter().enumerate().skip(i + 1) {
            if dot(one.frame.z, other.frame.z).abs() < parallel {
                continue;
            }
            let ring = flatten(other.region.outer(), CHORD, Side::On);
            let places: Vec<Space> = ring.iter().map(|p| other.frame.point(*p, 0.0)).collect();
            let gap = apart(&one.frame, &other.frame, of.part.thickness);
            if gap > 0.0 && overlap(one.region.bounds(), &one.frame, &places) {
                let off = off(of, [i, j], (&places, one.frame.z), tables);
                all.push(Facing { gap, off });
            }
        }
    }
    all
}

/// Between the facing sides of two parallel plates, mm; less than 0 where they are at one height.
fn apart(one: &Frame, other: &Frame, thickness: f64) -> f64 {
    let level = |height: f64| {
        let at = other.point(Point::ZERO, height);
        dot(minus(at, one.origin), one.z)
    };
    let levels = [level(0.0), level(-thickness)];
    let (low, high) = (levels[0].min(levels[1]), levels[0].max(levels[1]));
    low.max(-thickness - high)
}

/// Whether places are over a face, by the boxes of both.
fn overlap(own: Bounds, frame: &Frame, places: &[Space]) -> bool {
    let seen: Vec<Space> = places.iter().map(|place| frame.seen(*place)).collect();
    let range = |axis: usize| {
        let of = seen.iter().map(|place| place[axis]);
        (of.clone().fold(f64::INFINITY, f64::min), of.fold(f64::NEG_INFINITY, f64::max))
    };
    let meets = |(low, high): (f64, f64), min: f64, max: f64| low < max && min < high;
    meets(range(0), own.min.x, own.max.x) && meets(range(1), own.min.y, own.max.y)
}
