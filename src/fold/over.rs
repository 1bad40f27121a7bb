//! What a bend lays over the face beside it: the return of a hem, a leg past 90°, an eye.

use crate::fold::folded::Folded;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::flatten;
use crate::geom::ring_edges;
use crate::geom::ring_holds;
use crate::num::Angle;
use crate::part::Part;

/// Arcs leave their chords by this at the most, mm: far below a clearance. Our choice.
const CHORD: f64 = 0.01;

/// What lies over a point of a face, seen square to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// Metal.
    Metal,
    /// An opening of the metal over it, whose edge is so far away, mm.
    Opening(f64),
    /// Nothing: the metal that is laid over the face ends so far away, mm.
    Beside(f64),
}

impl Over {
    /// How near the metal comes, mm.
    pub const fn room(self) -> f64 {
        match self {
            Self::Metal => 0.0,
            Self::Opening(room) | Self::Beside(room) => room,
        }
    }
}

/// What a bend lays over a point of a face beside it; `None` for a bend of up to 90°, which lays
/// nothing over it, and for a face that is not beside the bend.
pub fn over(part: &Part, folded: &Folded, bend: usize, (face, at): (usize, Point)) -> Option<Over> {
    let made = &part.bends[bend];
    let other = match (made.from == face, made.to == face) {
        (true, _) => made.to,
        (_, true) => made.from,
        _ => return None,
    };
    if made.bend.angle().degrees() <= 90.0 + SAME {
        return None;
    }
    let own = &folded.faces[face].frame;
    let laid = &folded.faces[other];
    let seen = |outline: &Outline| -> Vec<Point> {
        let corners = flatten(outline, CHORD, Side::On);
        let seen = corners.into_iter().map(|corner| own.seen(laid.frame.point(corner, 0.0)));
        seen.map(|[x, y, _]| Point::new(x, y)).collect()
    };
    let outer = seen(laid.region.outer());
    let openings: Vec<Vec<Point>> = laid.region.holes().iter().map(seen).collect();
    let back = apart(folded, bend, own, at);
    if back <= 0.0 {
        return Some(Over::Metal);
    }
    let edges = std::iter::once(&outer).chain(&openings).map(|corners| distance(corners, at));
    let room = edges.fold(back, f64::min);
    if !ring_holds(&outer, at) {
        return Some(Over::Beside(room));
    }
    let opening = openings.iter().any(|corners| ring_holds(corners, at));
    Some(if opening { Over::Opening(room) } else { Over::Metal })
}

/// From a point of a face to what a bend of more than half a turn itself brings back over the
/// face, mm; less than 0 below it.
fn apart(folded: &Folded, bend: usize, own: &Frame, at: Point) -> f64 {
    let bend = &folded.bends[bend];
    let past = bend.angle.degrees() - 180.0;
    if past <= SAME {
        return f64::INFINITY;
    }
    let sine = Angle::from_degrees(past.min(90.0)).sin();
    let back = (bend.radius + bend.thickness) * sine;
    // The bend looks alike from both faces beside it: the nearer end is that of this face.
    let ends = [0.0, 1.0].map(|share| {
        let ends = [0.0, bend.width].map(|along| own.seen(bend.point(along, share, 0.0)));
        let [from, to] = ends.map(|[x, y, _]| Point::new(x, y));
        let height = ends[0][2].abs();
        (height, (Edge::line(from, to).nearest(at) - at).hypot())
    });
    let [near, far] = ends;
    if near.0 <= far.0 { near.1 - back } else { far.1 - back }
}

/// Angles are one when they differ by less, degrees: rounding.
const SAME: f64 = 1e-6;

/// From a point to the sides of a polygon, mm.
fn distance(corners: &[Point], at: Point) -> f64 {
    let apart = ring_edges(corners).into_iter().map(|side| (side.nearest(at) - at).hypot());
    apart.fold(f64::INFINITY, f64::min)
}

/// What a bend beside a face covers as far as it leads away from the face, in the drawing of the
/// face and seen square to it: up to a quarter turn, and the corners of its outline.
pub fn shadow(part: &Part, folded: &Folded, bend: usize, face: usize) -> Vec<Point> {
    let made = &folded.bends[bend];
    let own = &folded.faces[face].frame;
    // The share of the angle from this face, from the start of the bend.
    let quarter = if made.angle == Angle::ZERO { 1.0 } else { 90.0 / made.angle.degrees() };
    let turned = |share: f64| match part.bends[bend].from == face {
        true => share.min(quarter),
        false => share.max(1.0 - quarter),
    };
    let outside = if made.up { -made.thickness } else { 0.0 };
    let corners = flatten(folded.strips[bend].outer(), CHORD, Side::On);
    let seen = corners.into_iter().map(|corner| {
        let share = turned(corner.y / made.allowance);
        own.seen(made.point(corner.x, share, outside))
    });
    seen.map(|[x, y, _]| Point::new(x, y)).collect()
}
