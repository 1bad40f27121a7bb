//! Where the inside or the outside of an outline is narrow.
//!
//! The places that vanish when a shape is opened by a disc as wide as a limit, except what
//! every corner loses: two stretches of the outline that face each other, within
//! [`PARALLEL`] of each other's direction or square across at a neck, nearer than the limit
//! and with nothing between. A dead end counts only where it is [`DEEP`] times as deep as
//! wide. Corners, rounds, and recesses that are about as wide as deep are none.

use crate::geom::bounds::Bounds;
use crate::geom::distance::crossings;
use crate::geom::distance::nearest_pairs;
use crate::geom::edge::Edge;
use crate::geom::outline::Outline;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// The side of an outline to test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Within {
    /// The area it encloses.
    Inside,
    /// The area round it.
    Outside,
}

/// A narrow place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrow {
    /// Where it is narrowest, mm.
    pub width: f64,
    /// There, half way across.
    pub at: Point,
    /// The rectangle round all of it.
    pub bounds: Bounds,
}

/// Two sides that lean less from each other face each other; a wider wedge is a corner,
/// whose end every cut makes a little shorter. Our choice.
pub(super) const PARALLEL: Angle = Angle::from_degrees(15.0);

/// Minimum ratio of depth to width of a dead end that counts: the round that clears a corner is
/// 1.21 times as deep as its mouth. Our choice.
const DEEP: f64 = 1.5;

/// Samples of an edge are a share of the limit apart. Our choice: a dead end is found to a quarter
/// of its permitted depth.
const SHARE: f64 = 0.25;

/// How far from its own edge a test line begins, mm: beyond rounding.
const START: f64 = 1e-5;

/// All places narrower than a limit in mm, whose dead ends are deeper than `detail` mm.
pub fn narrow(outline: &Outline, within: Within, limit: f64, detail: f64) -> Vec<Narrow> {
    let edges: Vec<Edge> = outline.edges().collect();
    let boxes: Vec<Bounds> = edges.iter().map(Edge::bounds).collect();
    let view = View { outline, within, limit, detail, edges, boxes };
    let place = |chord: Chord| {
        let (p, q) = chord.ends;
        Narrow { width: chord.width, at: p.midpoint(q), bounds: Bounds::EMPTY.with(p).with(q) }
    };
    gathered(view.chords().into_iter().map(place), limit)
}

/// A straight way across, from side to side.
struct Chord {
    ends: (Point, Point),
    width: f64,
}

struct View<'a> {
    outline: &'a Outline,
    within: Within,
    limit: f64,
    detail: f64,
    edges: Vec<Edge>,
    boxes: Vec<Bounds>,
}

impl View<'_> {
    /// Every way across that is too short.
    fn chords(&self) -> Vec<Chord> {
        let mut chords = Vec::new();
        for i in 0..self.edges.len() {
            let beside = self.beside(i);
            let faces = |j: &usize| self.may_face(i, *j);
            if beside.iter().any(faces) {
                chords.extend(self.samples(i).filter_map(|share| self.across(i, share, &beside)));
            }
            for j in beside.iter().copied().filter(|j| *j > i && !self.joins(i, *j)) {
                let pairs = nearest_pairs(&self.edges[i], &self.edges[j]);
                chords.extend(pairs.into_iter().filter_map(|pair| self.pair(pair, &beside)));
            }
        }
        chords.retain(|chord| !self.is_shallow(chord));
        chords
    }

    /// The edges that come within the limit of an edge, itself among them.
    fn beside(&self, i: usize) -> Vec<usize> {
        let near = |j: &usize| self.boxes[i].distance(&self.boxes[*j]) < self.limit;
        (0..self.edges.len()).filter(near).collect()
    }

    /// Whether one edge begins where the other ends.
    fn joins(&self, i: usize, j: usize) -> bool {
        let n = self.edges.len();
        (i + 1) % n == j || (j + 1) % n == i
    }

    /// Whether an edge may face another: itself or a neighbour only where one is an arc or
    /// they lie in a narrow wedge.
    fn may_face(&self, i: usize, j: usize) -> bool {
        let (a, b) = (&self.edges[i], &self.edges[j]);
        if i != j && !self.joins(i, j) {
            return true;
        }
        let small = |e: &Edge| e.arc().is_some_and(|arc| 2.0 * arc.radius < self.limit);
        if i == j || small(a) || small(b) {
            return small(a) || small(b);
        }
        let ends = [a, b].map(|e| (e.direction_at_start(), -e.reversed().direction_at_start()));
        let leans = Angle::from_degrees(2.0 * PARALLEL.degrees()).cos();
        let back = |from: Vec2, to: Vec2| from.dot(to) < -leans;
        back(ends[0].1, ends[1].0) || back(ends[1].1, ends[0].0)
    }

    /// Shares of an edge at which test lines across are drawn.
    fn samples(&self, i: usize) -> impl Iterator<Item = f64> + use<> {
        let steps = (self.edges[i].length() / (SHARE * self.limit)).ceil().max(2.0);
        // An even number has a sample half way.
        let steps = 2 * (steps / 2.0).ceil() as usize;
        let near = [START, 1.0 - START].map(|share| share.clamp(0.001, 0.999));
        (1..steps).map(move |k| k as f64 / steps as f64).chain(near)
    }

    /// The way across from a point of an edge, square to it.
    fn across(&self, i: usize, share: f64, beside: &[usize]) -> Option<Chord> {
        let edge = &self.edges[i];
        let p = edge.point_at(share);
        let along = match edge.arc() {
            None => edge.direction_at_start(),
            Some(arc) => {
                let out = (p - arc.centre) / arc.radius * edge.bulge.signum();
                Vec2::new(-out.y, out.x)
            }
        };
        let side = if self.within == Within::Inside { 1.0 } else { -1.0 };
        let into = Vec2::new(-along.y, along.x) * side;
        let ray = Edge::line(p + into * START, p + into * self.limit);
        let hits = beside.iter().flat_map(|j| crossings(&ray, &self.edges[*j]));
        let q = hits.min_by(|a, b| (*a - p).hypot2().total_cmp(&(*b - p).hypot2()))?;
        self.chord((p, q), PARALLEL.cos(), beside)
    }

    /// The way between two points at which edges are nearest to each other.
    fn pair(&self, (p, q): (Point, Point), beside: &[usize]) -> Option<Chord> {
        let within = |at: Point| self.outline.contains(at) == (self.within == Within::Inside);
        let apart = (q - p).hypot();
        if apart >= self.limit || apart < START || !within(p.midpoint(q)) {
            return None;
        }
        // It leans as much from the one side as from the other.
        let lean = Angle::from_degrees(PARALLEL.degrees() / 2.0);
        self.chord((p, q), lean.cos(), beside)
    }

    /// A line across, if no edge is nearer to its midpoint than a share of the distance to its
    /// ends.
    fn chord(&self, (p, q): (Point, Point), share: f64, beside: &[usize]) -> Option<Chord> {
        let (at, half) = (p.midpoint(q), (q - p).hypot() / 2.0);
        let clear = beside.iter().map(|j| (self.edges[*j].nearest(at) - at).hypot());
        let clear = clear.fold(half, f64::min);
        let width = 2.0 * clear;
        let crosses = clear >= half * share && width < self.limit;
        crosses.then_some(Chord { ends: (p, q), width })
    }

    /// Whether a way across cuts off a dead end that is not deep.
    fn is_shallow(&self, chord: &Chord) -> bool {
        let (p, q) = chord.ends;
        let min = (DEEP * chord.width).max(self.detail) + START;
        let [first, second] = [p, q].map(|at| self.position(at));
        self.depth(first, second, chord) <= min || self.depth(second, first, chord) <= min
    }

    /// The edge a point of the outline is on.
    fn position(&self, p: Point) -> (usize, f64) {
        let mut best = (0, 0.0, f64::INFINITY);
        for (i, edge) in self.edges.iter().enumerate() {
            let off = (edge.nearest(p) - p).hypot();
            if off < best.2 {
                best = (i, (p - edge.from).hypot(), off);
            }
        }
        (best.0, best.1)
    }

    /// How far the outline departs from a line across, between the ends of it.
    fn depth(&self, from: (usize, f64), to: (usize, f64), chord: &Chord) -> f64 {
        let n = self.edges.len();
        let wraps = from.0 == to.0 && to.1 <= from.1;
        let count = if wraps { n } else { (to.0 + n - from.0) % n };
        let (p, q) = chord.ends;
        let across = (q - p).normalize();
        let out = Vec2::new(-across.y, across.x);
        let middles = (0..=count).map(|k| self.edges[(from.0 + k) % n].point_at(0.5));
        // The first and the last edge are only partly between; their midpoints may be outside.
        let inner = middles.enumerate().filter(|(k, _)| *k > 0 && *k < count).map(|(_, at)| at);
        let corners = (0..count).map(|k| self.edges[(from.0 + k) % n].to);
        corners.chain(inner).map(|at| (at - p).dot(out).abs()).fold(0.0, f64::max)
    }
}

/// Ways across near each other, made one place.
fn gathered(chords: impl Iterator<Item = Narrow>, limit: f64) -> Vec<Narrow> {
    let mut places: Vec<Narrow> = Vec::new();
    for mut place in chords {
        // Edges it touches become part of it, which may touch more.
        while let Some(i) =
            places.iter().position(|known| known.bounds.distance(&place.bounds) < limit)
        {
            let other = places.remove(i);
            let bounds = place.bounds.and(other.bounds);
            place = Narrow { bounds, ..if other.width <= place.width { other } else { place } };
        }
        places.push(place);
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use crate::geom::slot;

    fn outline(points: &[(f64, f64)]) -> Outline {
        Outline::new(points.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap()
    }

    fn widths(outline: &Outline, within: Within) -> Vec<f64> {
        let found = narrow(outline, within, 3.0, 0.5);
        found.iter().map(|place| (place.width * 1e6).round() / 1e6).collect()
    }

    /// A plate of 100 by 20 with a bar of a width and height on its upper side.
    fn with_bar(width: f64, height: f64) -> Outline {
        let (x, y) = (width / 2.0, 20.0 + height);
        let points = [(-50.0, 0.0), (50.0, 0.0), (50.0, 20.0), (x, 20.0), (x, y)];
        let more = [(-x, y), (-x, 20.0), (-50.0, 20.0)];
        outline(&[&points[..], &more[..]].concat())
    }

    #[test]
    fn a_bar_thinner_than_the_limit_is_found_where_it_is_long() {
        assert_eq!(widths(&with_bar(0.3, 10.0), Within::Inside), [0.3]);
        assert_eq!(widths(&with_bar(2.9, 6.0), Within::Inside), [2.9]);
        assert!(widths(&with_bar(2.9, 4.0), Within::Inside).is_empty());
        assert!(widths(&with_bar(3.0, 10.0), Within::Inside).is_empty());
        assert!(widths(&with_bar(0.3, 10.0), Within::Outside).is_empty());
    }

    #[test]
    fn a_slit_is_narrow_outside_and_a_neck_inside() {
        let slit = outline(&[
            (-50.0, 0.0),
            (50.0, 0.0),
            (50.0, 50.0),
            (0.5, 50.0),
            (0.5, 20.0),
            (-0.5, 20.0),
            (-0.5, 50.0),
            (-50.0, 50.0),
        ]);
        assert_eq!(widths(&slit, Within::Outside), [1.0]);
        assert!(widths(&slit, Within::Inside).is_empty());
        // Two notches that point at each other.
        let neck = outline(&[
            (-50.0, 0.0),
            (-6.0, 0.0),
            (0.0, 9.0),
            (6.0, 0.0),
            (50.0, 0.0),
            (50.0, 20.0),
            (6.0, 20.0),
            (0.0, 11.0),
            (-6.0, 20.0),
            (-50.0, 20.0),
        ]);
        assert_eq!(widths(&neck, Within::Inside), [2.0]);
    }

    #[test]
    fn corners_rounds_and_points_are_not_narrow() {
        let o = Point::ZERO;
        for whole in [
            rectangle(o, 40.0, 20.0, 0.0).unwrap(),
            rectangle(o, 40.0, 20.0, 1.0).unwrap(),
            disc(o, 10.0).unwrap(),
            slot(o, 30.0, 3.0).unwrap(),
            outline(&[(0.0, 0.0), (40.0, 0.0), (0.0, 12.0)]),
            crate::geom::tongue::tongue_slot(o, 20.0, 5.0, 0.75).unwrap(),
        ] {
            assert!(widths(&whole, Within::Inside).is_empty(), "{whole:?}");
            assert!(widths(&whole, Within::Outside).is_empty(), "{whole:?}");
        }
    }

    #[test]
    fn a_needle_is_narrow_though_its_sides_lean() {
        let needle = outline(&[(0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 4.0), (-40.0, 0.0)]);
        assert_eq!(narrow(&needle, Within::Inside, 3.0, 0.5).len(), 1);
    }

    #[test]
    fn curved_openings_are_as_wide_as_they_are() {
        let ring =
            |r: f64, bulge: f64| [Vertex { at: Point::new(-r, 0.0), bulge }, Vertex::sharp(r, 0.0)];
        let [a, b] = ring(20.0, 1.0);
        let [c, d] = ring(19.5, -1.0);
        let crescent =
            Outline::new([a, b, Vertex { bulge: c.bulge, ..d }, Vertex::sharp(c.at.x, 0.0)]);
        assert_eq!(widths(&crescent.unwrap(), Within::Inside), [0.5]);
    }
}
