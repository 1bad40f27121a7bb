//! The distance of curves from lines and arcs: a bound valid along their whole length.

use crate::geom::bezier::Bezier;
use crate::geom::edge::Edge;
use crate::num::Angle;
use kurbo::Point;

/// A bound exceeds the measured distance by at most this share of the required one. Our choice.
const SLACK: f64 = 0.003;

/// Maximum number of times a curve is halved. Our choice: its parts are then below the rounding.
const DEEP: u32 = 30;

/// How far a point is from the nearest of some edges.
pub(super) fn distance(edges: &[Edge], p: Point) -> f64 {
    edges.iter().map(|e| (e.nearest(p) - p).hypot()).fold(f64::MAX, f64::min)
}

/// A length by which curves leave edges nowhere, mm; where it is above `close`, that they may.
///
/// From end to end it is one for the edges as well, if these are tangent to each other, turn less
/// than a right angle between any two of their places, and have no radius below it: then each
/// point so near to them has one nearest on them, which moves along all of them with the curve.
pub(super) fn bound(curves: &[Bezier], edges: &[Edge], close: f64) -> f64 {
    let ends = curves.iter().flat_map(|c| [c.start(), c.end()]);
    let seen = ends.map(|p| distance(edges, p)).fold(0.0, f64::max);
    let mut search = Search { edges, close, seen, bound: 0.0 };
    curves.iter().for_each(|curve| search.refine(curve, DEEP));
    search.bound.max(seen)
}

/// The part of a curve with the largest bound is halved until its bound is near to the distance
/// measured somewhere.
struct Search<'a> {
    edges: &'a [Edge],
    close: f64,
    /// The furthest that was measured.
    seen: f64,
    /// The largest bound found.
    bound: f64,
}

impl Search<'_> {
    fn refine(&mut self, curve: &Bezier, deep: u32) {
        let bound = of_one(curve, self.edges);
        if bound <= self.seen + SLACK * self.close || self.seen > self.close || deep == 0 {
            self.bound = self.bound.max(bound);
            return;
        }
        let [first, then] = curve.halves();
        self.seen = self.seen.max(distance(self.edges, first.end()));
        self.refine(&first, deep - 1);
        self.refine(&then, deep - 1);
    }
}

/// A bound for one curve: it is within the hull of its control points, so no further from its
/// chord than they are; and how far a chord is from an edge is known.
fn of_one(curve: &Bezier, edges: &[Edge]) -> f64 {
    let chord = Edge::line(curve.start(), curve.end());
    let width = curve.points.iter().map(|(p, _)| distance(&[chord], *p)).fold(0.0, f64::max);
    width + edges.iter().map(|edge| of_chord(&chord, edge)).fold(f64::MAX, f64::min)
}

/// The maximum distance of a line from an edge. The distance of its points from a line or from a
/// point is largest at one of its ends.
fn of_chord(chord: &Edge, edge: &Edge) -> f64 {
    let most = |off: &dyn Fn(Point) -> f64| off(chord.from).max(off(chord.to));
    let Some(arc) = edge.arc() else { return most(&|p| (edge.nearest(p) - p).hypot()) };
    // Directions to points of an arc of at most half a circle: those between two are one interval.
    let on_arc = |p: Point| arc.includes(Angle::of(p.x - arc.centre.x, p.y - arc.centre.y));
    if on_arc(chord.from) && on_arc(chord.to) {
        let inside = arc.radius - (chord.nearest(arc.centre) - arc.centre).hypot();
        return most(&|p| ((p - arc.centre).hypot() - arc.radius).abs()).max(inside);
    }
    most(&|p| (p - edge.from).hypot()).min(most(&|p| (p - edge.to).hypot()))
}
