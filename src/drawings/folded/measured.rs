//! The measured dimensions of a formed part.
//!
//! Sizes are what a caliper reads along a leg: to the mould line, where the outer faces
//! beside a bend would meet, up to 90°; beyond that to the outside of the bend itself.

use crate::drawings::offsets::Offset;
use crate::drawings::offsets::offsets;
use crate::fold::FoldedFace;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::job::Job;
use crate::num::Angle;
use crate::paper::Size;
use crate::paper::figure_text;
use crate::solve::Solved;
use crate::view::Sight;

/// Square within this length of a unit vector.
const SQUARE: f64 = 1e-6;

/// How a face is measured.
pub(super) struct Measured {
    /// Transforms its own drawing to the axes it is measured along.
    pub(super) axes: Place,
    /// Its overall size in these as a caliper reads it, mm.
    pub(super) bounds: Bounds,
    /// Whether it ends at a bend diagonal to these axes, so that it has no overall dimension.
    pub(super) is_slanting: bool,
}

/// A face's overall size as a caliper reads it.
pub(super) fn measured(solved: &Solved, face: usize) -> Measured {
    let part = &solved.part;
    let edges = part.bends.iter().filter(|bend| bend.from == face);
    let stands = edges.map(|bend| (part.faces[face].edges[bend.edge].edge, bend.to_caliper()));
    // A face that a bend carries is drawn from that bend: y = 0, metal above.
    let foot = Edge::line(Point::new(0.0, 0.0), Point::new(1.0, 0.0));
    let carried = part.bends.iter().filter(|bend| bend.to == face);
    let ends: Vec<(Edge, f64)> =
        stands.chain(carried.map(|bend| (foot, bend.to_caliper()))).collect();
    let metal = &solved.flat.faces[face];
    let axes = sides(metal.outer(), &ends).map_or_else(Place::default, |along| {
        let rotation = Angle::from_degrees(-Angle::of(along.x, along.y).degrees());
        Place::rotated(rotation, Point::ZERO)
    });
    // The rest of it between its bends, and these as far as a caliper touches them.
    let mut bounds = metal.moved(&axes).bounds();
    let mut is_slanting = false;
    for (edge, by) in &ends {
        let edge = edge.moved(&axes);
        let along = edge.direction_at_start();
        if !is_square(along) {
            is_slanting = true;
            continue;
        }
        // A corner where bends meet may be off the metal: only how far out it is counts.
        let out = edge.from + Vec2::new(along.y, -along.x) * *by;
        let Point { x, y } = bounds.centre();
        let level = along.y.abs() < SQUARE;
        bounds = bounds.with(if level { Point::new(x, out.y) } else { Point::new(out.x, y) });
    }
    Measured { axes, bounds, is_slanting }
}

/// Whether a direction is that of an axis.
fn is_square(direction: Vec2) -> bool {
    direction.x.abs() < SQUARE || direction.y.abs() < SQUARE
}

/// The direction of the sides of a strip that runs at a slant to its bends: two of its edges
/// are parallel, and except for its bends none half as long is along an axis.
fn sides(outer: &Outline, ends: &[(Edge, f64)]) -> Option<Vec2> {
    let mut free: Vec<Edge> = outer.edges().filter(Edge::is_line).collect();
    for (bend, _) in ends {
        let along = bend.direction_at_start();
        let off = |edge: &Edge| (edge.point_at(0.5) - bend.from).cross(along).abs();
        let beside = |edge: &Edge| edge.direction_at_start().cross(along).abs() < SQUARE;
        let next = free.iter().enumerate().filter(|(_, edge)| beside(edge));
        let next = next.min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map(|(i, _)| i);
        if let Some(i) = next {
            free.remove(i);
        }
    }
    let (square, free): (Vec<Edge>, Vec<Edge>) =
        free.into_iter().partition(|edge| is_square(edge.direction_at_start()));
    let is_paired = |edge: &&Edge| {
        let along = edge.direction_at_start();
        free.iter().any(|other| (other.direction_at_start() + along).hypot() < SQUARE)
    };
    let side = free.iter().filter(is_paired).max_by(|a, b| a.length().total_cmp(&b.length()))?;
    if square.iter().any(|edge| edge.length() > side.length() / 2.0) {
        return None;
    }
    let along = side.direction_at_start();
    Some(if along.x < 0.0 { -along } else { along })
}

/// On which of the two sides of a face, against `out` and along it, an overall size along them is
/// dimensioned: on one that is much shorter it would be read as the size of that.
fn reaching(outer: &Outline, out: Vec2) -> [bool; 2] {
    /// By such a share of the face more its corners may be off one side than off the other. Our choice.
    const MORE: f64 = 0.25;
    let along = Vec2::new(-out.y, out.x);
    let corners = || outer.edges().map(|edge| edge.from.to_vec2());
    let span = |of: Vec2| {
        let at = corners().map(|p| p.dot(of));
        at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], x| [low.min(x), high.max(x)])
    };
    let (sides, ends) = (span(out), span(along));
    let off = |side: f64| {
        let to = |end: f64| {
            let there = corners().filter(|p| (p.dot(along) - end).abs() < SQUARE);
            there.map(|p| (p.dot(out) - side).abs()).fold(f64::INFINITY, f64::min)
        };
        to(ends[0]).max(to(ends[1]))
    };
    let [low, high] = sides.map(off);
    let most = MORE * (sides[1] - sides[0]);
    [low - high <= most, high - low <= most]
}

/// Whether the size of a face along the bend that carries it is one of the flat: all bends on it
/// are parallel to that bend.
fn is_as_cut(solved: &Solved, face: usize) -> bool {
    let part = &solved.part;
    let is_level = |edge: &Edge| edge.direction_at_start().y.abs() < SQUARE;
    let mut stand = part.bends.iter().filter(|bend| bend.from == face);
    stand.all(|bend| is_level(&part.faces[face].edges[bend.edge].edge))
}

/// The sizes of a face that only the formed part has, each with the edges along which it can be
/// dimensioned.
pub(super) fn sizes(job: &Job, solved: &Solved, face: &FoldedFace, sight: &Sight) -> Vec<Size> {
    let camera = &sight.camera;
    let Measured { axes, bounds: Bounds { min, max }, .. } = measured(solved, face.face);
    let is_carried = solved.part.bends.iter().any(|bend| bend.to == face.face);
    let back = axes.back();
    let up = solved.part.bends.iter().any(|b| (b.from == face.face || b.to == face.face) && b.up);
    let outside = if up { -solved.part.thickness } else { 0.0 };
    let flat = |p: Point| camera.paper(face.frame.point(back.apply(p), outside));
    let away = |direction: Space| {
        let v = camera.paper(direction).to_vec2();
        (v.hypot() > 0.2).then(|| v.normalize())
    };
    let (x, y) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    let metal = solved.flat.faces[face.face].moved(&axes);
    // Behind its own sheet a place is still seen at the edge. What is behind other metal is in the table
    // alone.
    let is_hidden = |p: &Point| {
        let sides = [0.0, -solved.part.thickness];
        sides.into_iter().all(|height| sight.hides(face.frame.point(back.apply(*p), height)))
    };
    let ways = |ends: [[Point; 2]; 2], out: Vec2| -> Vec<([Point; 2], Vec2)> {
        let mut ways = Vec::new();
        let is_theirs = reaching(metal.outer(), out);
        for ((ends, side), _) in
            ends.into_iter().zip([-1.0, 1.0]).zip(is_theirs).filter(|(_, is)| *is)
        {
            if ends.iter().any(is_hidden) {
                continue;
            }
            let ends = ends.map(flat);
            let outward = face.frame.direction(back.direction(out * side));
            let normals = [1.0, -1.0].map(|turned| face.frame.z.map(|z| z * turned));
            let found = std::iter::once(outward).chain(normals).filter_map(away);
            ways.extend(found.map(|v| (ends, v)));
        }
        ways
    };
    let corner = Point::new;
    let across = [
        [corner(min.x, min.y), corner(max.x, min.y)],
        [corner(min.x, max.y), corner(max.x, max.y)],
    ];
    let tall = [
        [corner(min.x, min.y), corner(min.x, max.y)],
        [corner(max.x, min.y), corner(max.x, max.y)],
    ];
    let tall = Size::along(ways(tall, x), figure_text(job.units, max.y - min.y));
    let across = Size::along(ways(across, y), figure_text(job.units, max.x - min.x));
    let is_ramp = |offset: &Offset| offset.ramp == face.face && offset.is_slanting(&solved.part);
    if offsets(solved).iter().any(is_ramp) {
        return if is_as_cut(solved, face.face) { Vec::new() } else { vec![across] };
    }
    match (is_carried, axes == Place::default()) {
        // Along its sides the strip is as wide as cut.
        (true, false) => vec![across],
        (true, true) if is_as_cut(solved, face.face) => vec![tall],
        _ => vec![across, tall],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;

    #[test]
    fn a_size_over_all_does_not_stand_beside_a_shorter_edge() {
        let [x, y] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
        let of = |points: &[(f64, f64)]| {
            let vertex = |(x, y): &(f64, f64)| Vertex { at: Point::new(*x, *y), bulge: 0.0 };
            let outer = Outline::new(points.iter().map(vertex)).expect("a ring");
            [x, y].map(|out| reaching(&outer, out))
        };
        let leg = of(&[(0.0, 0.0), (80.0, 0.0), (80.0, 30.0), (0.0, 60.0)]);
        assert_eq!(leg, [[true, false], [true, false]]);
        let chamfered = of(&[(0.0, 0.0), (80.0, 0.0), (80.0, 52.0), (72.0, 60.0), (0.0, 60.0)]);
        assert_eq!(chamfered, [[true, true], [true, true]]);
    }
}
