//! A folded part as it is seen from a corner: isometric, hidden lines hidden.
//!
//! Every side that faces the viewer is a patch. Of two patches that overlap on paper,
//! the one that lies behind the other's plane is drawn first; a ring of such, which
//! needs pieces that run into each other, is broken by the distance of their centres.

mod facet;
mod sector;

pub(crate) use facet::paper;

use crate::fold::Folded;
use crate::fold::FoldedBend;
use crate::fold::FoldedFace;
use crate::fold::Frame;
use crate::fold::Space;
use crate::fold::dot;
use crate::fold::length;
use crate::fold::times;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::view::facet::Facet;
use crate::view::facet::SAME;
use crate::view::facet::SMOOTH;
use crate::view::facet::axes;
use crate::view::facet::chains;
use crate::view::facet::faces;
use crate::write::Patch;

/// The patches of a folded part, those behind first.
pub(crate) fn isometric(folded: &Folded, thickness: f64) -> Vec<Patch> {
    let mut facets = Vec::new();
    for face in &folded.faces {
        plate(&mut facets, face, &folded.bends, thickness);
    }
    for (bend, strip) in folded.bends.iter().zip(&folded.strips) {
        sector::sector(&mut facets, bend, strip);
    }
    let light = [0.25, -0.45, 0.86];
    let order = order(&facets);
    let patch = |facet: &Facet| Patch {
        loops: facet.loops.iter().map(|l| l.iter().map(|p| paper(*p)).collect()).collect(),
        tone: 0.74 + 0.2 * dot(facet.normal, light),
        wide: facet.wide.iter().map(|line| line.map(paper)).collect(),
        narrow: facet.narrow.iter().map(|line| line.map(paper)).collect(),
        face: facet.face,
    };
    order.into_iter().map(|i| patch(&facets[i])).collect()
}

/// The facets so that each comes after all that lie behind it.
fn order(facets: &[Facet]) -> Vec<usize> {
    let [_, _, near] = axes();
    let mut left: Vec<usize> = (0..facets.len()).collect();
    left.sort_by(|a, b| dot(facets[*a].centre, near).total_cmp(&dot(facets[*b].centre, near)));
    let before: Vec<Vec<usize>> = facets
        .iter()
        .map(|f| left.iter().copied().filter(|i| facets[*i].behind(f)).collect())
        .collect();
    let mut order = Vec::with_capacity(facets.len());
    let mut state = vec![0_u8; facets.len()];
    // Depth first without recursion: a facet is drawn when all behind it are, or are waiting.
    for start in left {
        let mut stack = vec![(start, 0)];
        while let Some((facet, next)) = stack.pop() {
            if next == 0 {
                if state[facet] != 0 {
                    continue;
                }
                state[facet] = 1;
            }
            match before[facet].get(next) {
                Some(behind) => {
                    stack.push((facet, next + 1));
                    if state[*behind] == 0 {
                        stack.push((*behind, 0));
                    }
                }
                None => order.push(facet),
            }
        }
    }
    order
}

/// The two sides of a plate and its walls.
fn plate(facets: &mut Vec<Facet>, face: &FoldedFace, bends: &[FoldedBend], thickness: f64) {
    let frame = &face.frame;
    for (height, normal) in [(0.0, frame.z), (-thickness, times(frame.z, -1.0))] {
        let space = |p: &Point| frame.point(*p, height);
        let chains: Vec<Vec<Vec<Point>>> = face.region.outlines().map(chains).collect();
        let flat =
            |c: &Vec<Vec<Point>>| c.iter().flat_map(|e| &e[..e.len() - 1]).map(space).collect();
        let Some(mut facet) = Facet::seen(chains.iter().map(flat).collect(), normal) else {
            continue;
        };
        facet.face = Some(face.face);
        for edge in chains.iter().flatten() {
            let soft = at_bend(frame, edge, bends);
            let lines = edge.windows(2).map(|pair| [space(&pair[0]), space(&pair[1])]);
            if soft { facet.narrow.extend(lines) } else { facet.wide.extend(lines) }
        }
        facets.push(facet);
    }
    walls(facets, frame, face.region.outer(), 1.0, bends, thickness);
    for hole in face.region.holes() {
        walls(facets, frame, hole, -1.0, bends, thickness);
    }
}

/// The walls along an outline; `out` is 1 for the outside and −1 for a hole.
fn walls(
    facets: &mut Vec<Facet>,
    frame: &Frame,
    outline: &Outline,
    out: f64,
    bends: &[FoldedBend],
    thickness: f64,
) {
    let mut walls: Vec<([Point; 2], Option<Space>)> = Vec::new();
    for edge in chains(outline) {
        let open = !at_bend(frame, &edge, bends);
        walls.extend(edge.windows(2).map(|p| {
            let right = Vec2::new(p[1].y - p[0].y, p[0].x - p[1].x) * out;
            let normal = frame.direction(right);
            ([p[0], p[1]], open.then(|| times(normal, 1.0 / length(normal))))
        }));
    }
    let n = walls.len();
    for (i, ([a, b], normal)) in walls.iter().enumerate() {
        let Some(normal) = *normal else { continue };
        let corners = [(*a, 0.0), (*b, 0.0), (*b, -thickness), (*a, -thickness)];
        let quad: Vec<Space> = corners.map(|(p, h)| frame.point(p, h)).to_vec();
        let Some(mut facet) = Facet::seen(vec![quad.clone()], normal) else { continue };
        facet.wide.extend([[quad[0], quad[1]], [quad[2], quad[3]]]);
        // No line where the wall runs on smoothly and is still seen.
        let smooth = |v: Space| faces(v) && dot(v, normal) > SMOOTH;
        for (beside, line) in
            [((i + n - 1) % n, [quad[3], quad[0]]), ((i + 1) % n, [quad[1], quad[2]])]
        {
            match walls[beside].1 {
                // There begins a bend, whose wall goes on from this one.
                None => facet.narrow.push(line),
                Some(other) if !smooth(other) => facet.wide.push(line),
                Some(_) => {}
            }
        }
        facets.push(facet);
    }
}

/// Whether an edge of a plate lies where a bend begins or ends.
fn at_bend(frame: &Frame, edge: &[Point], bends: &[FoldedBend]) -> bool {
    let (Some(first), Some(last)) = (edge.first(), edge.last()) else { return false };
    let centre = frame.point(first.midpoint(*last), 0.0);
    let ends = [frame.point(*first, 0.0), frame.point(*last, 0.0)];
    bends.iter().any(|bend| {
        [0.0, 1.0].into_iter().any(|share| {
            let line = bend.frame_at(share);
            let on = |p: Space| {
                let [_, y, z] = line.seen(p);
                y.abs() < SAME && z.abs() < SAME
            };
            let along = line.seen(centre)[0];
            ends.into_iter().all(on) && along > 0.0 && along < bend.width
        })
    })
}
