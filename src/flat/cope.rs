//! A cope that continues from a face through a bend into the face it carries.
//!
//! Each face clears the tube separately. Between them the strip of the bend is cut along the same
//! tube, rolled flat, so that neither a stub nor a notch is left there.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::backwards;
use crate::num::Angle;
use crate::part::Bend;
use crate::part::Cope;
use crate::part::Part;

/// Arcs that a cope through a bend is made of. Over a quarter turn they leave it by less
/// than 0.001 mm.
const ARCS: usize = 8;

/// Depths of the sheet at which the tube is cleared.
const DEPTHS: usize = 17;

/// The faces beside a bend are coped to one tube when its cope through the bend meets their
/// edges within this, mm. Our choice.
const MEETS: f64 = 0.1;

/// The edge that carries a bend, in the drawing of its face: along and out are counted from
/// its midpoint.
#[derive(Clone, Copy)]
pub(super) struct EdgeFrame {
    /// Direction of travel along the edge; metal lies to its left.
    pub(super) along: Vec2,
    /// Away from the metal.
    pub(super) out: Vec2,
    /// Middle of the edge as drawn.
    pub(super) centre: Point,
    /// From the edge back to where the bend begins, mm.
    pub(super) back: f64,
    /// Length of the strip of the bend, mm.
    pub(super) allowance: f64,
    /// How far the carried face is shifted along its own x, mm.
    pub(super) aside: f64,
}

impl EdgeFrame {
    pub(super) fn point(&self, along: f64, out: f64) -> Point {
        self.centre + self.along * along + self.out * out
    }

    /// Where a point lies along the edge, and out from it.
    pub(super) fn seen(&self, p: Point) -> (f64, f64) {
        ((p - self.centre).dot(self.along), (p - self.centre).dot(self.out))
    }
}

/// At which end of the edge the metal is cut back.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Start,
    End,
}

/// The tool extends this far beyond the bend, mm: more than rounding. Our choice.
const BEYOND: f64 = 0.3;

/// Places round a bend at which a tube is sought, to find where it enters. Our choice.
const LOOKS: usize = 64;

/// Halvings that find where it does.
const HALVINGS: usize = 50;

/// Arcs of the tool of a whole bend.
const TOOL_ARCS: usize = 16;

/// The area a tube cuts out of a bend across a face, in the drawing of the face it starts from;
/// `None` where the tube misses it, or runs along it.
pub(crate) fn rolled_tool(part: &Part, bend: &Bend, cope: &Cope) -> Option<Outline> {
    let named = &part.faces[bend.from].edges[bend.edge];
    let along = named.edge.direction_at_start();
    let edge = EdgeFrame {
        along,
        out: Vec2::new(along.y, -along.x),
        centre: named.centre,
        back: bend.drawn_setback(),
        allowance: bend.bend.allowance(),
        aside: bend.aside,
    };
    let limit = |share: f64, end: End| limit(&edge, bend, cope, end, share);
    let meets = |share: f64| limit(share, End::Start).is_some();
    let look = |i: usize| i as f64 / LOOKS as f64;
    let first = (0..=LOOKS).find(|i| meets(look(*i)))?;
    let last = (0..=LOOKS).rev().find(|i| meets(look(*i)))?;
    // From outside the tube to inside it.
    let enters = |mut out: f64, mut inside: f64| {
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(out, inside);
            if meets(middle) { inside = middle } else { out = middle }
        }
        inside
    };
    let tips = [first > 0, last < LOOKS];
    let from = if tips[0] { enters(look(first - 1), look(first)) } else { 0.0 };
    let to = if tips[1] { enters(look(last + 1), look(last)) } else { 1.0 };
    // Closer together towards a tip, where the edges of the cut run square to the bend.
    let share = |i: usize| {
        let s = i as f64 / (2 * TOOL_ARCS) as f64;
        let quarter = |s: f64| Angle::from_degrees(90.0 * s).sin();
        let eased = match tips {
            [false, false] => s,
            [false, true] => quarter(s),
            [true, false] => 1.0 - quarter(1.0 - s),
            [true, true] => f64::midpoint(1.0, -Angle::from_degrees(180.0 * s).cos()),
        };
        // Rounding must not carry it out of the tube.
        (from + (to - from) * eased).clamp(from, to)
    };
    let chain = |end: End| {
        let point = |i: usize| {
            let share = share(i);
            Some(edge.point(limit(share, end)?, edge.allowance * share - edge.back))
        };
        let points: Option<Vec<Point>> = (0..=2 * TOOL_ARCS).map(point).collect();
        let mut chain = through_points(&points?);
        // Straight on beyond the bend where it continues.
        let by = edge.out * BEYOND;
        if !tips[0] {
            chain.insert(0, Vertex { at: chain[0].at - by, bulge: 0.0 });
        }
        if let Some(last) = chain.last().filter(|_| !tips[1]) {
            chain.push(Vertex { at: last.at + by, bulge: 0.0 });
        }
        Some(chain)
    };
    let (high, low) = (chain(End::Start)?, chain(End::End)?);
    Outline::new(high.into_iter().chain(backwards(&low))).ok()
}

/// The cope through the bend at the start and at the end of its edge: from where the bend begins to
/// where it ends, on the standing face. `None` where a face beside it is not coped to the same
/// tube.
pub(super) fn through(
    edge: &EdgeFrame,
    bend: &Bend,
    copes: &[Cope],
    standing: &Region,
    carried: &Region,
) -> [Option<Vec<Vertex>>; 2] {
    [End::Start, End::End].map(|end| {
        let of = |cope: &Cope| {
            let limits = limits(edge, bend, cope, end)?;
            let (near, far) = (limits[0], limits[limits.len() - 1]);
            let inward = if end == End::Start { MEETS } else { -MEETS };
            let on = |face: &Region, p: Point, within: Point| {
                face.outer().distance(p) < MEETS && face.contains(within)
            };
            let back = edge.back;
            let x = |along: f64| -along - edge.aside;
            let met =
                on(standing, edge.point(near, -back), edge.point(near + inward, -back - MEETS))
                    && on(
                        carried,
                        Point::new(x(far), back),
                        Point::new(x(far + inward), back + MEETS),
                    );
            met.then(|| arcs(edge, &limits))
        };
        copes.iter().find_map(of)
    })
}

/// How far the metal may extend along the edge, at even steps through the bend.
fn limits(edge: &EdgeFrame, bend: &Bend, cope: &Cope, end: End) -> Option<Vec<f64>> {
    let share = |step: usize| step as f64 / (2 * ARCS) as f64;
    (0..=2 * ARCS).map(|step| limit(edge, bend, cope, end, share(step))).collect()
}

/// The same after a share of the bend; `None` if the tube meets no depth of it.
fn limit(edge: &EdgeFrame, bend: &Bend, cope: &Cope, end: End, share: f64) -> Option<f64> {
    let bent = bend.bend;
    let (radius, thickness) = (bent.radius(), bent.thickness());
    let rotation = Angle::from_degrees(bent.angle().degrees() * share);
    let all = (0..DEPTHS).filter_map(|depth| {
        let r = radius + thickness * depth as f64 / (DEPTHS - 1) as f64;
        let out = r * rotation.sin() - edge.back;
        // Above mid-thickness of the standing face.
        let inside = radius + thickness / 2.0 - r * rotation.cos();
        let up = if bend.up { inside } else { -inside };
        let [low, high] = crossed(edge, cope, (out, up))?;
        Some(if end == End::Start { high } else { low })
    });
    if end == End::Start { all.reduce(f64::max) } else { all.reduce(f64::min) }
}

/// Where a line along the edge, at these distances out and up, enters the tube and leaves it.
fn crossed(edge: &EdgeFrame, cope: &Cope, (out, up): (f64, f64)) -> Option<[f64; 2]> {
    let (along, from) = edge.seen(cope.at);
    let axis = [cope.along.dot(edge.along), cope.along.dot(edge.out), cope.rise];
    let w = [-along, out - from, up - cope.above];
    let share: f64 = w.iter().zip(axis).map(|(a, b)| a * b).sum();
    let square: f64 = w.iter().map(|a| a * a).sum();
    let a = 1.0 - axis[0] * axis[0];
    let b = w[0] - share * axis[0];
    let c = square - share * share - cope.radius * cope.radius;
    let root = b * b - a * c;
    if a < 1e-9 || root < 0.0 {
        return None;
    }
    let root = root.sqrt();
    Some([(-b - root) / a, (-b + root) / a])
}

/// The limits as a chain of arcs in the flat; the last vertex has no arc.
fn arcs(edge: &EdgeFrame, limits: &[f64]) -> Vec<Vertex> {
    let steps = (limits.len() - 1) as f64;
    let point = |i: usize| edge.point(limits[i], edge.allowance * i as f64 / steps - edge.back);
    through_points(&(0..limits.len()).map(point).collect::<Vec<_>>())
}

/// A chain of arcs, each through three points; the last vertex has no arc.
fn through_points(points: &[Point]) -> Vec<Vertex> {
    let arc = |k: usize| {
        let (from, between, to) = (points[2 * k], points[2 * k + 1], points[2 * k + 2]);
        let (u, v) = (from - between, to - between);
        // By the angle in which the chord is seen; counted to the right of travel.
        let bulge = -(to - from).cross(between - from) / (u.hypot() * v.hypot() - u.dot(v));
        // At a point of inflection it is straight.
        Vertex { at: from, bulge }.straightened(to)
    };
    let last = Vertex { at: points[points.len() - 1], bulge: 0.0 };
    (0..points.len() / 2).map(arc).chain([last]).collect()
}

/// The same with its ends moved along the edge to where the faces beside it end.
pub(super) fn fitted(edge: &EdgeFrame, chain: &[Vertex], near: f64, far: f64) -> Vec<Vertex> {
    let mut chain = chain.to_vec();
    let last = chain.len() - 1;
    for (i, along) in [(0, near), (last, far)] {
        let by = along - edge.seen(chain[i].at).0;
        if by.abs() <= MEETS {
            chain[i].at += edge.along * by;
        }
    }
    chain
}
