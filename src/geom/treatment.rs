//! What replaces the corner between two edges: a round, a chamfer or a clip.

use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// Edges whose directions differ by less make no corner, degrees. Our choice.
const SMOOTH: f64 = 1e-6;

/// The treatment of a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CornerKind {
    /// Unchanged.
    Sharp,
    /// Rounded with a radius in mm.
    Round(f64),
    /// Cut off at this distance from the corner along both edges, in mm.
    Chamfer(f64),
    /// Hollowed by a disc of this radius in mm round the corner, as clearance for a weld.
    Clip(f64),
}

/// The replacement of a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Replaced {
    /// Taken from the end of the edge before, along it, mm.
    pub(super) before: f64,
    /// Taken from the start of the edge after, along it, mm.
    pub(super) after: f64,
    /// Where it begins on the edge before.
    pub(super) from: Point,
    /// Where it ends on the edge after.
    pub(super) to: Point,
    /// Of the arc between; 0 for a line.
    pub(super) bulge: f64,
}

/// Why there is nothing to replace a corner with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refused {
    /// The edges run on in one direction, or turn right back.
    Straight,
    /// Nothing of that size fits between the edges.
    Unfit,
}

/// What replaces the corner where `before` ends and `after` starts; `None` where it stays
/// sharp.
pub(super) fn replaced(
    kind: CornerKind,
    before: &Edge,
    after: &Edge,
) -> Result<Option<Replaced>, Refused> {
    let leaving = |e: &Edge| if e.is_line() { e.to - e.from } else { e.direction_at_start() };
    let (u, v) = (-leaving(&before.reversed()), leaving(after));
    let turn = Angle::of(u.dot(v), u.cross(v));
    let flat = turn.degrees().abs() < SMOOTH || turn.degrees().abs() > 180.0 - SMOOTH;
    match kind {
        CornerKind::Sharp => Ok(None),
        _ if flat => Err(Refused::Straight),
        CornerKind::Round(radius) => rounded(radius, before, after, turn).map(Some),
        CornerKind::Chamfer(size) => cut_off(size, before, after).map(Some),
        CornerKind::Clip(radius) => {
            let cut = cut_off(radius, before, after)?;
            let (back, on) = (cut.from - before.to, cut.to - before.to);
            // The disc round the corner is passed on its far side, against the turn.
            let inner = Angle::of(on.dot(back), on.cross(back)).degrees();
            Ok(Some(Replaced { bulge: Angle::from_degrees(-inner / 4.0).tan(), ..cut }))
        }
    }
}

/// The arc of a radius that touches both edges on the inside of the turn.
fn rounded(radius: f64, before: &Edge, after: &Edge, turn: Angle) -> Result<Replaced, Refused> {
    let corner = before.to;
    if before.is_line() && after.is_line() {
        let taken = radius * Angle::from_degrees(turn.degrees().abs() / 2.0).tan();
        let (u, v) = ((corner - before.from).normalize(), (after.to - corner).normalize());
        return Ok(Replaced {
            before: taken,
            after: taken,
            from: corner - u * taken,
            to: corner + v * taken,
            bulge: Angle::from_degrees(turn.degrees() / 4.0).tan(),
        });
    }
    let left = radius * turn.degrees().signum();
    let offsets = [before, after].map(|edge| Offset::new(edge, left));
    let [Some(first), Some(second)] = offsets else { return Err(Refused::Unfit) };
    let near = |a: &Point, b: &Point| (*a - corner).hypot().total_cmp(&(*b - corner).hypot());
    let centre = first.meets(&second).into_iter().min_by(near).ok_or(Refused::Unfit)?;
    let (from, to) = (foot(before, centre), foot(after, centre));
    let ends = [direction(before, from), direction(after, to)];
    let sweep = Angle::of(ends[0].dot(ends[1]), ends[0].cross(ends[1]));
    Ok(Replaced {
        before: run(&before.reversed(), from).ok_or(Refused::Unfit)?,
        after: run(after, to).ok_or(Refused::Unfit)?,
        from,
        to,
        bulge: Angle::from_degrees(sweep.degrees() / 4.0).tan(),
    })
}

/// The line between the places of both edges that lie `size` from the corner.
fn cut_off(size: f64, before: &Edge, after: &Edge) -> Result<Replaced, Refused> {
    let at = |edge: &Edge| match edge.arc() {
        None => Some((size, edge.from + (edge.to - edge.from).normalize() * size)),
        Some(arc) => {
            let half = size / (2.0 * arc.radius);
            if half > 1.0 {
                return None;
            }
            let angle = Angle::from_degrees(2.0 * num::asin(half).degrees());
            let turned = arc.start.degrees() + angle.degrees() * arc.sweep.degrees().signum();
            Some((arc.radius * angle.radians(), arc.point(Angle::from_degrees(turned))))
        }
    };
    let back = at(&before.reversed()).ok_or(Refused::Unfit)?;
    let on = at(after).ok_or(Refused::Unfit)?;
    Ok(Replaced { before: back.0, after: on.0, from: back.1, to: on.1, bulge: 0.0 })
}

/// The line or circle on which the centre of a round lies.
enum Offset {
    /// A point and a unit direction.
    Line(Point, Vec2),
    /// Centre and radius.
    Circle(Point, f64),
}

impl Offset {
    /// Offset to the left of an edge; `None` past the centre of its circle.
    fn new(edge: &Edge, left: f64) -> Option<Self> {
        let Some(arc) = edge.arc() else {
            let along = (edge.to - edge.from).normalize();
            return Some(Self::Line(edge.from + Vec2::new(-along.y, along.x) * left, along));
        };
        let radius = arc.radius - left * edge.bulge.signum();
        (radius > 0.0).then_some(Self::Circle(arc.centre, radius))
    }

    fn meets(&self, other: &Self) -> Vec<Point> {
        match (self, other) {
            (Self::Line(p, u), Self::Line(q, v)) => {
                let across = u.cross(*v);
                let meets = across.abs() > 0.0;
                meets.then(|| *p + *u * ((*q - *p).cross(*v) / across)).into_iter().collect()
            }
            (Self::Line(p, u), Self::Circle(c, r)) | (Self::Circle(c, r), Self::Line(p, u)) => {
                let foot = *p + *u * (*c - *p).dot(*u);
                let off = (foot - *c).hypot();
                let half = (r - off) * (r + off);
                let ends = [-1.0, 1.0].map(|s| foot + *u * (s * half.max(0.0).sqrt()));
                if half < 0.0 { Vec::new() } else { ends.to_vec() }
            }
            (Self::Circle(a, r), Self::Circle(b, s)) => {
                let (d, way) = ((*b - *a).hypot(), (*b - *a).normalize());
                let along = (d * d + r * r - s * s) / (2.0 * d);
                let half = (r - along) * (r + along);
                let across = Vec2::new(-way.y, way.x) * half.max(0.0).sqrt();
                let foot = *a + way * along;
                if d == 0.0 || half < 0.0 { Vec::new() } else { vec![foot + across, foot - across] }
            }
        }
    }
}

/// Where the line or circle of an edge is nearest to a point.
fn foot(edge: &Edge, p: Point) -> Point {
    match edge.arc() {
        None => {
            let along = (edge.to - edge.from).normalize();
            edge.from + along * (p - edge.from).dot(along)
        }
        Some(arc) => arc.centre + (p - arc.centre).normalize() * arc.radius,
    }
}

/// The direction of travel at a point of an edge.
fn direction(edge: &Edge, p: Point) -> Vec2 {
    match edge.arc() {
        None => (edge.to - edge.from).normalize(),
        Some(arc) => {
            let out = (p - arc.centre).normalize();
            Vec2::new(-out.y, out.x) * edge.bulge.signum()
        }
    }
}

/// From the start of an edge to a point of its line or circle, along it, mm; `None` where that
/// is not on the edge.
fn run(edge: &Edge, p: Point) -> Option<f64> {
    match edge.arc() {
        None => {
            let along = (p - edge.from).dot((edge.to - edge.from).normalize());
            (along >= 0.0).then_some(along)
        }
        Some(arc) => on_arc(&arc, p),
    }
}

fn on_arc(arc: &Arc, p: Point) -> Option<f64> {
    let out = p - arc.centre;
    let past =
        (Angle::of(out.x, out.y).degrees() - arc.start.degrees()) * arc.sweep.degrees().signum();
    let past = past.rem_euclid(360.0);
    (past <= arc.sweep.degrees().abs()).then(|| arc.radius * Angle::from_degrees(past).radians())
}
