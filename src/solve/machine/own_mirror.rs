//! Whether a folded part is its own mirror image.
//!
//! Its corners, the centres of its arcs and holes, and what is on one side of its sheet are points in space, each with a
//! kind. The part is its own mirror image where a motion with a reflection brings every point onto one of its
//! kind: three points fix that motion, so every three that are as far apart are tried.

use crate::fold::FoldedFace;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::job::through;
use crate::part::Hole;
use crate::recipe::Side;
use crate::solve::solved::Solved;

/// Points this near are the same, mm. Our choice.
const SAME: f64 = 0.1;

/// Kinds are radii in steps of this, mm. Our choice.
const STEP: f64 = 0.05;

/// A point with its kind: 0 for a corner, else a radius in steps; less than 0 on one side of the sheet.
#[derive(Clone, Copy)]
struct Feature {
    at: Space,
    kind: i64,
}

/// Whether the mirror image of a part is the same piece.
pub(super) fn is_own_mirror(of: &Solved) -> bool {
    let one_sided = of.part.faces.iter().any(|face| {
        !face.beads.is_empty() || face.bevels.iter().any(|bevel| bevel.sides.is_one_sided())
    });
    !one_sided && has_reflection(&features(of))
}

fn features(of: &Solved) -> Vec<Feature> {
    let half = of.part.thickness / 2.0;
    let of_face = |face: &FoldedFace| {
        let mut own = Vec::new();
        let mut add = |at: Point, z: f64, kind: i64| {
            own.push(Feature { at: face.frame.point(at, z), kind });
        };
        let loops = std::iter::once(face.region.outer()).chain(face.region.holes());
        for (at, radius) in loops.flat_map(of_loop) {
            add(at, -half, (radius / STEP).round() as i64);
        }
        for (at, kind, side) in of.part.faces[face.face].holes.iter().flat_map(one_sided) {
            add(at, if side == Side::Up { 0.0 } else { -2.0 * half }, kind);
        }
        own
    };
    of.folded.faces.iter().flat_map(of_face).collect()
}

/// What is on one side of the sheet at a hole.
fn one_sided(hole: &Hole) -> impl Iterator<Item = (Point, i64, Side)> {
    let recess = hole.recess.as_ref().map(|of| (hole.at, -1, of.side));
    let flare = hole.flare.as_ref().map(|of| (hole.at, -2, of.side));
    let insert = hole.insert.as_ref().map(|of| (hole.at, -3, of.side));
    [recess, flare, insert].into_iter().flatten()
}

/// The corners of a loop, with radius 0, and the centres of its arcs, with theirs. Edges that continue one another count as
/// one.
fn of_loop(outline: &Outline) -> Vec<(Point, f64)> {
    let edges: Vec<Edge> = outline.edges().collect();
    let mut all = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        let before = &edges[(i + edges.len() - 1) % edges.len()];
        if !continues(before, edge) {
            all.push((edge.from, 0.0));
        }
        let centre = edge.arc().map(|arc| (arc.centre, arc.radius));
        let is_known = |(at, radius): &(Point, f64)| {
            centre.is_some_and(|(c, r)| (c - *at).hypot() < SAME && (r - radius).abs() < SAME)
        };
        if let Some(centre) = centre.filter(|_| !all.iter().any(is_known)) {
            all.push(centre);
        }
    }
    all
}

/// Whether an edge is the continuation of the one before: on one line, or on one circle.
fn continues(before: &Edge, edge: &Edge) -> bool {
    match (before.arc(), edge.arc()) {
        (Some(one), Some(other)) => {
            (one.centre - other.centre).hypot() < NEAR.max(1e-3)
                && (one.radius - other.radius).abs() < 1e-3
                && (one.sweep.degrees() > 0.0) == (other.sweep.degrees() > 0.0)
        }
        (None, None) => {
            let (one, other) = (before.to - before.from, edge.to - edge.from);
            let sine = (one.x * other.y - one.y * other.x).abs();
            sine <= 1e-6 * one.hypot() * other.hypot() && one.x * other.x + one.y * other.y > 0.0
        }
        _ => false,
    }
}

/// Whether a motion with a reflection brings the points onto themselves.
fn has_reflection(all: &[Feature]) -> bool {
    let Some(three) = anchors(all) else { return true };
    let Some(own) = through(three.map(|of| of.at)) else { return true };
    let [first, second, third] = three;
    let far = |a: &Feature, b: &Feature| length(minus(a.at, b.at));
    let like = |from: &'_ Feature, of: Feature, anchor: Feature| {
        let (is, from) = (far(&first, &anchor), *from);
        move |to: &&Feature| to.kind == of.kind && (far(&from, to) - is).abs() <= SAME
    };
    all.iter().filter(|of| of.kind == first.kind).any(|one| {
        all.iter().filter(like(one, second, second)).any(|two| {
            let is = far(&second, &third);
            let mut others = all.iter().filter(like(one, third, third));
            others.any(|other| {
                (far(two, other) - is).abs() <= SAME
                    && through([one.at, two.at, other.at]).is_some_and(|to| maps(all, [&own, &to]))
            })
        })
    })
}

/// Whether the points come onto points of their kinds where one frame is brought to the other, mirrored in its plane.
fn maps(all: &[Feature], [own, to]: [&Frame; 2]) -> bool {
    all.iter().all(|of| {
        let [x, y, z] = own.seen(of.at);
        let there = to.at([x, y, -z]);
        all.iter().any(|it| it.kind == of.kind && length(minus(it.at, there)) <= 2.0 * SAME)
    })
}

/// Three points far apart, the first of the rarest kind; `None` if all are on one line.
fn anchors(all: &[Feature]) -> Option<[Feature; 3]> {
    let count = |kind: i64| all.iter().filter(|of| of.kind == kind).count();
    let first = *all.iter().min_by_key(|of| count(of.kind))?;
    let far = |of: &Feature| length(minus(of.at, first.at));
    let second = *all.iter().max_by(|a, b| far(a).total_cmp(&far(b)))?;
    let along = minus(second.at, first.at);
    let off = |of: &Feature| length(cross(along, minus(of.at, first.at)));
    let third = *all.iter().max_by(|a, b| off(a).total_cmp(&off(b)))?;
    (off(&third) > SAME * length(along)).then_some([first, second, third])
}
