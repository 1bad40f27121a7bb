//! Pairs of arcs that join two points with given tangents, and smooth curves made of them.

use crate::geom::edge::Edge;
use crate::geom::outline::Vertex;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A point of a curve, and the direction in which it runs there, of length 1.
pub(super) type Tangent = (Point, Vec2);

/// The two arcs from one point to another, with tangents of equal length up to their joint. The
/// vertex at the end is left to what follows.
pub(super) fn biarc((p, u): Tangent, (q, v): Tangent) -> [Vertex; 2] {
    // The joint at equal tangent lengths d from both ends: |q − p − d(u + v)| = 2d.
    let (chord, sum) = (q - p, u + v);
    let den = 2.0 * (1.0 - u.dot(v));
    let along = chord.dot(sum);
    let square = chord.hypot2();
    let d = square / ((along * along + den * square).sqrt() + along);
    let joint = (p + u * d).midpoint(q - v * d);
    [Vertex { at: p, bulge: bulge(p, u, joint) }, Vertex { at: joint, bulge: -bulge(q, -v, joint) }]
}

/// Bulge of the arc that leaves `from` along `tangent` and ends at `to`.
pub(super) fn bulge(from: Point, tangent: Vec2, to: Point) -> f64 {
    let chord = to - from;
    let half = Angle::of(tangent.dot(chord), tangent.cross(chord));
    Angle::from_degrees(half.degrees() / 2.0).tan()
}

/// A curve turns less than this from one end of a pair of arcs to the other: cosine. Our choice.
const TURNS: f64 = 0.2;

/// Between two neighbours it has a corner where it turns more: cosine of 15°. Our choice.
const CORNER: f64 = 0.966;

/// A closed curve through points as arcs that leave none of them by more than `close`, mm.
pub(super) fn closed(points: &[Tangent], close: f64) -> Vec<Vertex> {
    let at = |i: usize| points[i % points.len()];
    let (mut vertices, mut i) = (Vec::new(), 0);
    while i < points.len() {
        if at(i).1.dot(at(i + 1).1) < CORNER {
            vertices.push(Vertex { at: at(i).0, bulge: 0.0 });
            i += 1;
            continue;
        }
        let holds = |j: usize| j <= points.len() && fits(&at, i, j, close);
        // As far as one pair of arcs reaches.
        let mut reach = 1;
        while holds(i + 2 * reach) {
            reach *= 2;
        }
        let mut step = reach;
        while step > 1 {
            step /= 2;
            if holds(i + reach + step) {
                reach += step;
            }
        }
        vertices.extend(biarc(at(i), at(i + reach)));
        i += reach;
    }
    straightened(vertices)
}

/// The same with arcs that leave their chords by rounding alone as lines.
fn straightened(vertices: Vec<Vertex>) -> Vec<Vertex> {
    let next = |i: usize| vertices[(i + 1) % vertices.len()].at;
    vertices.iter().enumerate().map(|(i, v)| v.straightened(next(i))).collect()
}

/// Whether one pair of arcs from a point to another leaves none between them.
fn fits(at: &dyn Fn(usize) -> Tangent, from: usize, to: usize, close: f64) -> bool {
    let ends = [at(from), at(to)];
    let turns = |i: usize| at(i).1.dot(ends[0].1) > TURNS && at(i).1.dot(at(i + 1).1) >= CORNER;
    if !(from..to).all(turns) || ends[1].1.dot(ends[0].1) <= TURNS {
        return false;
    }
    let [first, joint] = biarc(ends[0], ends[1]);
    let arcs = [
        Edge { from: first.at, to: joint.at, bulge: first.bulge },
        Edge { from: joint.at, to: ends[1].0, bulge: joint.bulge },
    ];
    let off =
        |p: Point| arcs.iter().map(|arc| (arc.nearest(p) - p).hypot()).fold(f64::MAX, f64::min);
    (from + 1..to).all(|i| off(at(i).0) <= close)
}
