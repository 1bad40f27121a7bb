//! The skin of a solid as flat patches with their edges, for a viewer that rotates and draws it
//! elsewhere.

use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::ring_sides;
use crate::geom::times;
use crate::solid::Solid;
use crate::view::course::TURN;
use crate::view::pieces;
use crate::view::shape::Shape;
use crate::view::skin::Side;
use crate::view::skin::Skin;
use serde::Serialize;

/// Sine of an angle at which two sides run on smoothly into each other.
const SMOOTH: f64 = 1e-3;

/// Patches and edges. Lengths are mm, in hundredths: less than is seen.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Patches {
    /// The patches.
    pub patches: Vec<Patch>,
    /// The edges.
    pub edges: Vec<PatchEdge>,
}

/// A flat piece of skin.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Patch {
    /// Its rings, by the even-odd rule.
    pub rings: Vec<Vec<Space>>,
    /// Out of the metal, of length 1.
    pub normal: Space,
}

/// A straight piece of an edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PatchEdge {
    /// Where it begins and ends.
    pub ends: [Space; 2],
    /// How it is drawn.
    pub kind: EdgeKind,
    /// The patches beside it.
    pub of: Vec<usize>,
}

/// How an edge is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum EdgeKind {
    /// An edge of the metal.
    Edge,
    /// Two sides run on smoothly into each other.
    Tangent,
    /// Within a round side: drawn only where that turns away.
    Turning,
}

impl Patches {
    /// The patches of a solid.
    pub fn of(solid: &Solid) -> Self {
        let skin = Skin::of(std::slice::from_ref(solid));
        let mut all = Self::default();
        let parted: Vec<Parted> = skin.sides.iter().map(|side| all.side(side)).collect();
        for edge in &skin.edges {
            let count = edge.course.pieces();
            for i in 0..count {
                let at = |k: usize| edge.course.at(k as f64 / count as f64);
                let ends = [at(i), at(i + 1)];
                let middle = edge.course.at((i as f64 + 0.5) / count as f64);
                let [a, b] = edge.sides.map(|side| skin.normal(side, middle));
                let smooth = dot(a, b) > 0.0 && length(cross(a, b)) < SMOOTH;
                let kind = if smooth { EdgeKind::Tangent } else { EdgeKind::Edge };
                let of = edge.sides.map(|side| parted[side].at(&skin.sides[side], middle));
                all.edges.push(PatchEdge { ends: ends.map(rounded), kind, of: of.to_vec() });
            }
        }
        all
    }

    fn side(&mut self, side: &Side) -> Parted {
        let parted = Parted { first: self.patches.len(), stops: pieces::stops(side, &[]) };
        for piece in pieces::pieces(side, &parted.stops) {
            let ring = |ring: Vec<Space>| ring.into_iter().map(rounded).collect();
            let rings = piece.rings.into_iter().filter(|ring| ring.len() > 2).map(ring);
            self.patches.push(Patch { rings: rings.collect(), normal: piece.normal });
        }
        let inner = parted.stops.iter().enumerate().skip(1);
        let inner = inner.take(parted.stops.len().saturating_sub(2));
        for (i, angle) in inner {
            let of = vec![parted.first + i - 1, parted.first + i];
            for ends in across(side, *angle) {
                let ends = ends.map(|p| rounded(side.shape.space(p)));
                self.edges.push(PatchEdge { ends, kind: EdgeKind::Turning, of: of.clone() });
            }
        }
        parted
    }
}

/// The patches of a side: the first, and where the strips of a round one meet.
struct Parted {
    first: usize,
    stops: Vec<f64>,
}

impl Parted {
    /// The patch on which a point of the side lies.
    fn at(&self, side: &Side, p: Space) -> usize {
        match &side.shape {
            Shape::Plane(_) => self.first,
            Shape::Round { .. } => {
                let least = self.stops.first().copied().unwrap_or(0.0);
                let angle = side.shape.own(p, least).x;
                let angle = angle + ((least - 1e-6 - angle) / TURN).ceil() * TURN;
                let after = self.stops.partition_point(|stop| *stop <= angle);
                self.first + after.clamp(1, self.stops.len().max(2) - 1) - 1
            }
            Shape::Ruled(pairs) => {
                let off = |two: &[[Space; 2]]| {
                    let all = two.iter().flatten().fold([0.0; 3], |sum, p| plus(sum, *p));
                    length(minus(times(all, 0.25), p))
                };
                let all = pairs.windows(2).map(off).enumerate();
                self.first + all.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(i, _)| i)
            }
        }
    }
}

/// The lines along a round side at an angle, over its length.
fn across(side: &Side, angle: f64) -> Vec<[Point; 2]> {
    let mut met: Vec<f64> = Vec::new();
    for (a, b) in side.rings.iter().flat_map(|ring| ring_sides(ring)) {
        if (a.x <= angle) != (b.x <= angle) {
            met.push(a.y + (b.y - a.y) * (angle - a.x) / (b.x - a.x));
        }
    }
    met.sort_by(f64::total_cmp);
    met.chunks_exact(2).map(|two| [two[0], two[1]].map(|z| Point::new(angle, z))).collect()
}

fn rounded(p: Space) -> Space {
    p.map(|x| (x * 100.0).round() / 100.0 + 0.0)
}
