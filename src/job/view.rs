//! A folded part as it is seen from a corner: isometric, hidden lines hidden.
//!
//! Every side that faces the viewer is a patch. Of two patches that overlap on paper,
//! the one that lies behind the other's plane is drawn first; a ring of such, which
//! needs pieces that run into each other, is broken by the distance of their middles.

mod sector;

use crate::fold::Folded;
use crate::fold::FoldedBend;
use crate::fold::FoldedFace;
use crate::fold::Frame;
use crate::fold::Space;
use crate::fold::dot;
use crate::fold::length;
use crate::fold::minus;
use crate::fold::plus;
use crate::fold::times;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::write::Patch;

/// Degrees of an arc or a bend in one flat patch, at the most. Our choice.
const STEP: f64 = 9.0;

/// Cosine between two patches that belong to one round: of somewhat more than [`STEP`].
const SMOOTH: f64 = 0.96;

/// A side seen under less than this, as a sine, is all rim: the sides beside it draw that.
const GRAZING: f64 = 0.03;

/// Two points nearer than this are one on paper, mm.
const SAME: f64 = 1e-4;

/// One side of a solid, in space.
struct Facet {
    loops: Vec<Vec<Space>>,
    wide: Vec<[Space; 2]>,
    narrow: Vec<[Space; 2]>,
    /// The face whose flat side it is.
    face: Option<usize>,
    normal: Space,
    /// On paper.
    bounds: Bounds,
    middle: Space,
}

/// To the right of the paper, up on it, and towards the viewer.
fn axes() -> [Space; 3] {
    let [two, three, six] = [2.0, 3.0, 6.0].map(|n: f64| 1.0 / n.sqrt());
    [[two, two, 0.0], [-six, six, 2.0 * six], [three, -three, three]]
}

/// The patches of a folded part, those behind first.
pub(super) fn isometric(folded: &Folded, thickness: f64) -> Vec<Patch> {
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

/// Where a point or direction in space is seen on paper.
pub(super) fn paper(p: Space) -> Point {
    let [right, up, _] = axes();
    Point::new(dot(p, right), dot(p, up))
}

impl Facet {
    /// A side seen from where its normal points; none when that is away from the viewer.
    fn seen(loops: Vec<Vec<Space>>, normal: Space) -> Option<Self> {
        if !faces(normal) {
            return None;
        }
        let rim = loops.first()?;
        let bounds = rim.iter().fold(Bounds::EMPTY, |b, p| b.with(paper(*p)));
        let sum = rim.iter().fold([0.0; 3], |sum, p| plus(sum, *p));
        let middle = times(sum, 1.0 / rim.len() as f64);
        let (wide, narrow) = (Vec::new(), Vec::new());
        Some(Self { loops, wide, narrow, face: None, normal, bounds, middle })
    }

    /// Least and most height of another's rim above this one's plane.
    fn heights(&self, other: &Self) -> (f64, f64) {
        let height = |p: &Space| dot(minus(*p, self.middle), self.normal);
        let rim = other.loops[0].iter().map(height);
        rim.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)))
    }

    /// Whether this one must be drawn before another.
    fn behind(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64, c: f64, d: f64| a >= d - SAME || c >= b - SAME;
        let (a, b) = (&self.bounds, &other.bounds);
        if apart(a.least.x, a.most.x, b.least.x, b.most.x)
            || apart(a.least.y, a.most.y, b.least.y, b.most.y)
        {
            return false;
        }
        let (above, below) = (self.heights(other), other.heights(self));
        let first = above.0 > -SAME || below.1 < SAME;
        let second = below.0 > -SAME || above.1 < SAME;
        match (first, second) {
            (true, true) => false,
            (false, false) => {
                let [_, _, near] = axes();
                dot(self.middle, near) < dot(other.middle, near)
            }
            (first, _) => first,
        }
    }
}

fn faces(normal: Space) -> bool {
    dot(normal, axes()[2]) > GRAZING
}

/// The facets so that each comes after all that lie behind it.
fn order(facets: &[Facet]) -> Vec<usize> {
    let [_, _, near] = axes();
    let mut left: Vec<usize> = (0..facets.len()).collect();
    left.sort_by(|a, b| dot(facets[*a].middle, near).total_cmp(&dot(facets[*b].middle, near)));
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

/// The walls along an outline; `out` is 1 for a rim and −1 for a hole.
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
        let rim: Vec<Space> = corners.map(|(p, h)| frame.point(p, h)).to_vec();
        let Some(mut facet) = Facet::seen(vec![rim.clone()], normal) else { continue };
        facet.wide.extend([[rim[0], rim[1]], [rim[2], rim[3]]]);
        // No line where the wall runs on smoothly and is still seen.
        let smooth = |v: Space| faces(v) && dot(v, normal) > SMOOTH;
        for (beside, line) in [((i + n - 1) % n, [rim[3], rim[0]]), ((i + 1) % n, [rim[1], rim[2]])]
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

/// Each edge of an outline as the points along it, both ends included.
fn chains(outline: &Outline) -> Vec<Vec<Point>> {
    let points = |edge: Edge| {
        let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
        let steps = (sweep / STEP).ceil().max(1.0) as usize;
        let at = |i: usize| edge.point_at(i as f64 / steps as f64);
        (0..=steps).map(at).collect()
    };
    outline.edges().map(points).collect()
}

/// Whether an edge of a plate lies where a bend begins or ends.
fn at_bend(frame: &Frame, edge: &[Point], bends: &[FoldedBend]) -> bool {
    let (Some(first), Some(last)) = (edge.first(), edge.last()) else { return false };
    let middle = frame.point(first.midpoint(*last), 0.0);
    let ends = [frame.point(*first, 0.0), frame.point(*last, 0.0)];
    bends.iter().any(|bend| {
        [0.0, 1.0].into_iter().any(|share| {
            let line = bend.frame_at(share);
            let on = |p: Space| {
                let [_, y, z] = line.seen(p);
                y.abs() < SAME && z.abs() < SAME
            };
            let along = line.seen(middle)[0];
            ends.into_iter().all(on) && along > 0.0 && along < bend.width
        })
    })
}
