//! The metal a bend lays over the face beside it: the return of a hem, a leg past 90°, an eye.

use crate::fold::folded::Folded;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::Space;
use crate::geom::dot;
use crate::geom::edges_distance;
use crate::geom::flatten;
use crate::geom::plus;
use crate::geom::ring_edges;
use crate::geom::ring_holds;
use crate::geom::times;
use crate::num::Angle;
use crate::part::Part;

/// Maximum deviation of chords from arcs, mm: far below a clearance. Our choice.
const CHORD: f64 = 0.01;

/// The metal over a point of a face, seen square to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// Metal.
    Metal,
    /// An opening of the metal over it, with its edge at this distance, mm.
    Opening(f64),
    /// Nothing: the metal that is laid over the face ends at this distance, mm.
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

/// The metal a bend lays over a face beside it, seen square to that face and in its drawing.
#[derive(Clone, Debug)]
pub struct Laid {
    outer: Ring,
    openings: Vec<Ring>,
    /// The metal that a bend of more than half a turn itself brings back over the face.
    back: Option<Ring>,
}

/// A boundary of the metal laid over a face.
#[derive(Clone, Debug)]
enum Ring {
    /// Of metal parallel to the face: lines and true arcs.
    Level(Outline),
    /// Of inclined metal: its arcs appear as parts of ellipses and are divided into short chords.
    Leaning(Vec<Point>),
}

impl Ring {
    fn edges(&self) -> Vec<Edge> {
        match self {
            Self::Level(outline) => outline.edges().collect(),
            Self::Leaning(corners) => ring_edges(corners),
        }
    }

    fn contains(&self, at: Point) -> bool {
        match self {
            Self::Level(outline) => outline.contains(at),
            Self::Leaning(corners) => ring_holds(corners, at),
        }
    }

    /// From a point to the boundary, mm.
    fn distance(&self, at: Point) -> f64 {
        let apart = self.edges().into_iter().map(|edge| (edge.nearest(at) - at).hypot());
        apart.fold(f64::INFINITY, f64::min)
    }
}

impl Laid {
    /// What lies over a point.
    pub fn over(&self, at: Point) -> Over {
        let back = self.back.as_ref();
        if back.is_some_and(|back| back.contains(at)) {
            return Over::Metal;
        }
        let back = back.map_or(f64::INFINITY, |back| back.distance(at));
        let rings = std::iter::once(&self.outer).chain(&self.openings);
        let room = rings.map(|ring| ring.distance(at)).fold(back, f64::min);
        if !self.outer.contains(at) {
            return Over::Beside(room);
        }
        let opening = self.openings.iter().any(|opening| opening.contains(at));
        if opening { Over::Opening(room) } else { Over::Metal }
    }

    /// Whether any of its metal lies over what an outline encloses.
    pub fn reaches(&self, outline: &Outline) -> bool {
        let starts = [Some(self.outer.edges()), self.back.as_ref().map(Ring::edges)];
        let within = |edges: Vec<Edge>| edges.first().is_some_and(|e| outline.contains(e.from));
        starts.into_iter().flatten().any(within) || outline.edges().any(|edge| self.meets(&edge))
    }

    /// Whether any of its metal lies over an edge.
    pub fn meets(&self, edge: &Edge) -> bool {
        let rings = std::iter::once(&self.outer).chain(&self.openings).chain(&self.back);
        let sides: Vec<Edge> = rings.flat_map(Ring::edges).collect();
        self.over(edge.from) == Over::Metal || edges_distance([*edge], &sides) == 0.0
    }
}

/// What a bend lays over a face beside it; `None` for a bend of up to 90°, which lays nothing over
/// it, and for a face that is not beside the bend.
pub fn laid(part: &Part, folded: &Folded, bend: usize, face: usize) -> Option<Laid> {
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
    let level = level(own, &laid.frame);
    let seen = |outline: &Outline| match level {
        Some(place) => Ring::Level(outline.moved(&place)),
        None => {
            let corners = flatten(outline, CHORD, Side::On).into_iter();
            Ring::Leaning(corners.map(|corner| flat(own, laid.frame.point(corner, 0.0))).collect())
        }
    };
    Some(Laid {
        outer: seen(laid.region.outer()),
        openings: laid.region.holes().iter().map(seen).collect(),
        back: back(folded, bend, own),
    })
}

/// A place in space in the drawing of a face, seen square to it.
fn flat(own: &Frame, place: Space) -> Point {
    let [x, y, _] = own.seen(place);
    Point::new(x, y)
}

/// Where the drawing of a face lies in that of another, where the two are parallel.
fn level(own: &Frame, laid: &Frame) -> Option<Place> {
    let turned = dot(own.z, laid.z);
    if 1.0 - turned.abs() > PARALLEL {
        return None;
    }
    let mirrored = turned < 0.0;
    let [x, y] = [own.x, own.y].map(|axis| dot(laid.x, axis));
    let rotation = if mirrored { Angle::of(-x, -y) } else { Angle::of(x, y) };
    Some(Place { mirrored, rotation, shift: flat(own, laid.origin).to_vec2() })
}

/// What a bend of more than half a turn itself brings back over a face: from the line at which it
/// leaves the face, as far as it comes back; none below it.
fn back(folded: &Folded, bend: usize, own: &Frame) -> Option<Ring> {
    let bend = &folded.bends[bend];
    let past = bend.angle.degrees() - 180.0;
    if past <= SAME {
        return None;
    }
    let sine = Angle::from_degrees(past.min(90.0)).sin();
    let by = (bend.radius + bend.thickness) * sine;
    // The bend looks alike from both faces beside it: the nearer end is that of this face, which
    // lies behind the start and before the end.
    let ends = [(0.0, -1.0), (1.0, 1.0)].map(|(share, towards)| {
        let frame = bend.frame_at(share);
        let ends = [0.0, bend.width].map(|along| bend.point(along, share, 0.0));
        let over = ends.map(|end| flat(own, plus(end, times(frame.y, towards * by))));
        let height = own.seen(ends[0])[2].abs();
        (height, ends.map(|end| flat(own, end)), over)
    });
    let [near, far] = ends;
    let (_, [from, to], over) = if near.0 <= far.0 { near } else { far };
    Some(Ring::Leaning(vec![from, to, over[1], over[0]]))
}

/// Angles are one when they differ by less, degrees: rounding.
const SAME: f64 = 1e-6;

/// Two directions are parallel if 1 minus their cosine is no more: rounding.
const PARALLEL: f64 = 1e-12;

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

#[cfg(test)]
mod tests {
    use super::*;

    /// A bend along x from 0 to 40 brings back 6 mm over a face whose sheet is laid 100 mm away: a
    /// place 3 mm beside the end of that strip has nothing over it, one on it has metal, by either
    /// method.
    #[test]
    fn what_a_bend_brings_back_ends_where_the_bend_does() {
        let ring = |from: Point, to: Point| {
            let (low, high) = (Point::new(to.x, from.y), Point::new(from.x, to.y));
            Ring::Leaning(vec![from, low, to, high])
        };
        let laid = Laid {
            outer: ring(Point::new(0.0, 100.0), Point::new(40.0, 120.0)),
            openings: Vec::new(),
            back: Some(ring(Point::ZERO, Point::new(40.0, 6.0))),
        };
        assert_eq!(laid.over(Point::new(43.0, 2.0)), Over::Beside(3.0));
        assert_eq!(laid.over(Point::new(20.0, 9.0)), Over::Beside(3.0));
        assert_eq!(laid.over(Point::new(20.0, 2.0)), Over::Metal);
        for (centre, reached) in [(Point::new(43.0, 2.0), false), (Point::new(20.0, 2.0), true)] {
            let hole = crate::geom::disc(centre, 1.0).expect("a disc of 1 mm radius is one");
            assert_eq!(laid.reaches(&hole), reached);
        }
    }
}
