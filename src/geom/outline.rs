//! A closed chain of lines and arcs that does not cross itself.

use crate::geom::bounds::Bounds;
use crate::geom::distance::meeting;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::place::Place;
use crate::num::Angle;
use cavalier_contours::polyline::PlineSource;
use cavalier_contours::polyline::PlineSourceMut;
use cavalier_contours::polyline::Polyline;
use kurbo::Point;
use thiserror::Error;

/// A corner, and the edge that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// Where.
    pub at: Point,
    /// Bulge of the edge from here to the next vertex.
    pub bulge: f64,
}

impl Vertex {
    /// A vertex from which a line leaves.
    pub fn sharp(x: f64, y: f64) -> Self {
        Self { at: Point::new(x, y), bulge: 0.0 }
    }

    /// The same with a line to the next vertex where the arc leaves its chord by rounding alone: the
    /// enormous radius of such an arc is not exact.
    pub(crate) fn straightened(self, next: Point) -> Self {
        let height = self.bulge.abs() * (next - self.at).hypot() / 2.0;
        Self { bulge: if height < NEAR { 0.0 } else { self.bulge }, ..self }
    }
}

/// A closed outline.
///
/// # Guarantees
/// Finite; anticlockwise; at least two edges; no two vertices in one place; no arc
/// over half a circle; no crossing of itself; neighbouring edges on the same line or
/// circle are one edge; the first vertex is the lowest, of those the leftmost.
/// So the same shape is the same value wherever its description began.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    vertices: Vec<Vertex>,
}

/// A bulge nearer to 1 than this is a half circle. Our choice: a micrometre at a radius of 10 mm.
const HALF: f64 = 1e-4;

/// Why a chain of vertices is no outline.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum OutlineError {
    /// A coordinate or bulge is NaN or infinite.
    #[error("a corner has coordinates that are not finite")]
    NotFinite,
    /// Fewer than two corners, or no area.
    #[error("the outline encloses no area")]
    Empty,
    /// Dimensions that make no shape; the words say why.
    #[error("{0}")]
    Measures(&'static str),
    /// The outline crosses or touches itself.
    #[error("the outline crosses itself near x = {:.3} mm, y = {:.3} mm", .0.x, .0.y)]
    Crossing(Point),
}

impl Outline {
    /// An outline through the vertices in order, back to the first.
    ///
    /// # Errors
    /// When the chain is not finite, encloses nothing or crosses itself.
    pub fn new(vertices: impl IntoIterator<Item = Vertex>) -> Result<Self, OutlineError> {
        let mut chain: Vec<Vertex> = vertices.into_iter().collect();
        if chain.iter().any(|v| !(v.at.is_finite() && v.bulge.is_finite())) {
            return Err(OutlineError::NotFinite);
        }
        split_large_arcs(&mut chain);
        drop_repeats(&mut chain);
        let mut outline = Self { vertices: merged(chain) };
        if outline.vertices.len() < 2 || outline.area().abs() < NEAR {
            // Two lobes of a figure of eight may cancel out.
            let crossing = outline.crossing().filter(|_| outline.vertices.len() > 3);
            return Err(crossing.map_or(OutlineError::Empty, OutlineError::Crossing));
        }
        if outline.area() < 0.0 {
            outline.reverse();
        }
        if let Some(at) = outline.crossing() {
            return Err(OutlineError::Crossing(at));
        }
        outline.start_lowest();
        Ok(outline)
    }

    /// The vertices in order.
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// The edges in order.
    pub fn edges(&self) -> impl Iterator<Item = Edge> + '_ {
        let next = self.vertices.iter().cycle().skip(1);
        self.vertices.iter().zip(next).map(|(v, next)| Edge {
            from: v.at,
            to: next.at,
            bulge: v.bulge,
        })
    }

    /// Enclosed area in mm², positive.
    pub fn area(&self) -> f64 {
        self.edges().map(|e| e.area_share()).sum()
    }

    /// Length of the outline in mm.
    pub fn length(&self) -> f64 {
        self.edges().map(|e| e.length()).sum()
    }

    /// The rectangle round it.
    pub fn bounds(&self) -> Bounds {
        self.edges().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()))
    }

    /// Whether a point lies inside. On the outline itself either answer may come.
    pub fn contains(&self, p: Point) -> bool {
        self.edges().filter(|e| ray_crossings(e, p) % 2 == 1).count() % 2 == 1
    }

    /// Distance from a point to the outline in mm, inside or out.
    pub fn distance(&self, p: Point) -> f64 {
        self.edges().map(|e| (e.nearest(p) - p).hypot()).fold(f64::INFINITY, f64::min)
    }

    /// The same shape elsewhere.
    #[must_use]
    pub fn moved(&self, place: &Place) -> Self {
        let mut moved = Self {
            vertices: self
                .vertices
                .iter()
                .map(|v| Vertex {
                    at: place.apply(v.at),
                    bulge: if place.mirrored { -v.bulge } else { v.bulge },
                })
                .collect(),
        };
        if place.mirrored {
            moved.reverse();
        }
        moved.start_lowest();
        moved
    }

    /// The circle this outline is, when all its edges lie on one: centre and radius.
    pub fn circle(&self) -> Option<(Point, f64)> {
        let first = self.edges().next()?.arc()?;
        let same = |e: Edge| {
            e.arc().is_some_and(|a| {
                (a.centre - first.centre).hypot() < NEAR && (a.radius - first.radius).abs() < NEAR
            })
        };
        self.edges().all(same).then_some((first.centre, first.radius))
    }

    /// The round-ended slot this outline is: its centre, overall length and width.
    pub fn slot(&self) -> Option<(Point, f64, f64)> {
        let edges: Vec<Edge> = self.edges().collect();
        let [a, b, c, d] = edges.as_slice() else { return None };
        let (side, end, back, start) = if a.is_line() { (a, b, c, d) } else { (b, c, d, a) };
        let is_half = |edge: &Edge| (edge.bulge - 1.0).abs() < HALF;
        let (along, across) = (side.to - side.from, end.to - end.from);
        let level = (along + (back.to - back.from)).hypot() < NEAR;
        let square = along.dot(across).abs() < NEAR * along.hypot();
        if !(side.is_line() && back.is_line() && is_half(end) && is_half(start) && level && square)
        {
            return None;
        }
        let width = across.hypot();
        let centre = side.from.midpoint(back.from);
        Some((centre, along.hypot() + width, width))
    }

    pub(super) fn to_polyline(&self) -> Polyline<f64> {
        let mut line = Polyline::new_closed();
        for v in &self.vertices {
            line.add(v.at.x, v.at.y, v.bulge);
        }
        line
    }

    pub(super) fn from_polyline(line: &Polyline<f64>) -> Result<Self, OutlineError> {
        Self::new(line.iter_vertexes().map(|v| Vertex { at: Point::new(v.x, v.y), bulge: v.bulge }))
    }

    fn reverse(&mut self) {
        let n = self.vertices.len();
        let bulges: Vec<f64> = (0..n).map(|i| -self.vertices[(2 * n - 2 - i) % n].bulge).collect();
        self.vertices.reverse();
        for (v, bulge) in self.vertices.iter_mut().zip(bulges) {
            v.bulge = bulge;
        }
    }

    fn start_lowest(&mut self) {
        let key = |v: &Vertex| (v.at.y, v.at.x);
        let lower = |a: (f64, f64), b: (f64, f64)| {
            a.0 < b.0 - NEAR || (a.0 < b.0 + NEAR && a.1 < b.1 - NEAR)
        };
        let mut first = 0;
        for i in 1..self.vertices.len() {
            if lower(key(&self.vertices[i]), key(&self.vertices[first])) {
                first = i;
            }
        }
        self.vertices.rotate_left(first);
    }

    /// A place where the outline meets itself, other than neighbours at their shared corner.
    fn crossing(&self) -> Option<Point> {
        let edges: Vec<Edge> = self.edges().collect();
        let boxes: Vec<Bounds> = edges.iter().map(|e| e.bounds().grown(NEAR)).collect();
        let n = edges.len();
        for i in 0..n {
            for j in i + 1..n {
                if boxes[i].distance(&boxes[j]) > 0.0 {
                    continue;
                }
                let shared: Vec<Point> = [(i, j), (j, i)]
                    .iter()
                    .filter(|(a, b)| (a + 1) % n == *b)
                    .map(|(a, _)| edges[*a].to)
                    .collect();
                let meets = meeting(&edges[i], &edges[j], NEAR);
                let away = |p: &Point| shared.iter().all(|s| (*s - *p).hypot() > 10.0 * NEAR);
                if let Some(at) = meets.into_iter().find(away) {
                    return Some(at);
                }
            }
        }
        None
    }
}

/// How often a ray from `p` towards +x crosses the edge.
fn ray_crossings(edge: &Edge, p: Point) -> usize {
    let above = |q: Point| q.y > p.y;
    let chord = edge.to - edge.from;
    // A point on the line of the chord counts as a hair to its right in x, or above a level
    // one. Both questions below use this one answer, so they cannot contradict each other.
    let side = chord.cross(p - edge.from);
    let right_of_chord = match chord.y {
        _ if side != 0.0 => side < 0.0,
        0.0 => chord.x < 0.0,
        rise => rise > 0.0,
    };
    let crosses = above(edge.from) != above(edge.to) && right_of_chord != above(edge.to);
    let mut crossings = usize::from(crosses);
    // Using the arc instead of its chord changes the answer only within the segment between them.
    if right_of_chord == (edge.bulge > 0.0) {
        let inside = edge.arc().is_some_and(|arc| (p - arc.centre).hypot() < arc.radius);
        crossings += usize::from(inside);
    }
    crossings
}

fn split_large_arcs(chain: &mut Vec<Vertex>) {
    let next = chain.iter().cycle().skip(1);
    let edges =
        chain.iter().zip(next).map(|(v, next)| Edge { from: v.at, to: next.at, bulge: v.bulge });
    let halves = edges.flat_map(|edge| edge.halves());
    *chain = halves.map(|edge| Vertex { at: edge.from, bulge: edge.bulge }).collect();
}

fn drop_repeats(chain: &mut Vec<Vertex>) {
    let mut kept: Vec<Vertex> = Vec::with_capacity(chain.len());
    for v in chain.iter() {
        match kept.last_mut() {
            Some(last) if (last.at - v.at).hypot() < NEAR => last.bulge = v.bulge,
            _ => kept.push(*v),
        }
    }
    while kept.len() > 1 && (kept[0].at - kept[kept.len() - 1].at).hypot() < NEAR {
        kept.pop();
    }
    *chain = kept;
}

/// Neighbouring edges on one line, or on one circle and together at most half of it, made into one.
fn merged(chain: Vec<Vertex>) -> Vec<Vertex> {
    let mut chain = chain;
    let mut i = 0;
    let mut unchanged = 0;
    while chain.len() > 2 && unchanged <= chain.len() {
        let n = chain.len();
        let (a, b, c) = (chain[i % n], chain[(i + 1) % n], chain[(i + 2) % n]);
        let first = Edge { from: a.at, to: b.at, bulge: a.bulge };
        let second = Edge { from: b.at, to: c.at, bulge: b.bulge };
        match joined(&first, &second) {
            Some(bulge) => {
                chain[i % n].bulge = bulge;
                chain.remove((i + 1) % n);
                unchanged = 0;
                i %= chain.len();
            }
            None => {
                i = (i + 1) % n;
                unchanged += 1;
            }
        }
    }
    chain
}

/// The bulge of the one edge that two neighbours are, when they are.
fn joined(first: &Edge, second: &Edge) -> Option<f64> {
    match (first.arc(), second.arc()) {
        (None, None) => {
            let whole = Edge::line(first.from, second.to);
            let onward = (first.to - first.from).dot(second.to - second.from) > 0.0;
            let straight = (whole.nearest(first.to) - first.to).hypot() < NEAR / 2.0;
            (onward && straight).then_some(0.0)
        }
        (Some(a), Some(b)) => {
            let same = (a.centre - b.centre).hypot() < NEAR && (a.radius - b.radius).abs() < NEAR;
            let sweep = a.sweep.degrees() + b.sweep.degrees();
            let one_way = first.bulge.signum() == second.bulge.signum();
            let fits = sweep.abs() <= 180.0 + 1e-9 && (second.to - first.from).hypot() > NEAR;
            (same && one_way && fits)
                .then(|| Angle::from_degrees(sweep / 4.0).tan().clamp(-1.0, 1.0))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Vec2;

    fn tab() -> Vec<Vertex> {
        vec![
            Vertex::sharp(-20.0, 0.0),
            Vertex::sharp(20.0, 0.0),
            Vertex { at: Point::new(20.0, 30.0), bulge: 1.0 },
            Vertex::sharp(-20.0, 30.0),
        ]
    }

    #[test]
    fn start_and_direction_do_not_matter() {
        let wanted = Outline::new(tab()).unwrap();
        for shift in 0..4 {
            let mut rotated = tab();
            rotated.rotate_left(shift);
            assert_eq!(Outline::new(rotated).unwrap(), wanted);
        }
        let mut other_way = Outline::new(tab()).unwrap();
        other_way.reverse();
        assert_eq!(Outline::new(other_way.vertices).unwrap(), wanted);
    }

    #[test]
    fn area_length_and_bounds_are_exact() {
        let outline = Outline::new(tab()).unwrap();
        let pi = crate::num::PI;
        assert!((outline.area() - (40.0 * 30.0 + pi * 200.0)).abs() < 1e-9);
        assert!((outline.length() - (40.0 + 60.0 + 20.0 * pi)).abs() < 1e-9);
        assert!((outline.bounds().max.y - 50.0).abs() < 1e-9);
    }

    /// The centre of a round plate lies on the chords of both its halves.
    #[test]
    fn a_point_on_a_chord_is_inside_once() {
        let disc = crate::geom::disc(Point::ZERO, 10.0).unwrap();
        for turn in [0.0, 90.0, 180.0, 270.0, 37.0] {
            let place = Place::rotated(Angle::from_degrees(turn), Point::new(15.0, 15.0));
            let rotated = disc.moved(&place);
            for x in [-10.5, -9.5, -4.0, 0.0, 0.1, 4.0, 9.5, 10.5] {
                let p = place.apply(Point::new(x, 0.0));
                assert_eq!(rotated.contains(p), x.abs() < 10.0, "{x} turned by {turn}");
            }
        }
    }

    #[test]
    fn inside_is_inside_for_arcs_as_well() {
        let outline = Outline::new(tab()).unwrap();
        for (x, y, inside) in [
            (0.0, 10.0, true),
            (0.0, 49.9, true),
            (0.0, 50.1, false),
            (19.0, 45.0, false),
            (-13.0, 44.0, true),
            (-30.0, 30.0, false),
            (-21.0, 35.0, false),
        ] {
            assert_eq!(outline.contains(Point::new(x, y)), inside, "({x}, {y})");
        }
        let notch = Outline::new([
            Vertex::sharp(0.0, 0.0),
            Vertex::sharp(40.0, 0.0),
            Vertex::sharp(40.0, 20.0),
            Vertex { at: Point::new(30.0, 20.0), bulge: -1.0 },
            Vertex::sharp(10.0, 20.0),
            Vertex::sharp(0.0, 20.0),
        ])
        .unwrap();
        assert!(!notch.contains(Point::new(20.0, 15.0)));
        assert!(notch.contains(Point::new(20.0, 5.0)));
        assert!(notch.contains(Point::new(2.0, 15.0)));
        assert!(!notch.contains(Point::new(-5.0, 15.0)));
    }

    #[test]
    fn crossing_and_touching_outlines_are_refused() {
        let bow =
            [(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 12.0)].map(|(x, y)| Vertex::sharp(x, y));
        assert!(matches!(Outline::new(bow), Err(OutlineError::Crossing(_))));
        let even =
            [(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)].map(|(x, y)| Vertex::sharp(x, y));
        assert_eq!(Outline::new(even), Err(OutlineError::Crossing(Point::new(5.0, 5.0))));
        let pinched = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 0.0), (0.0, 10.0)]
            .map(|(x, y)| Vertex::sharp(x, y));
        assert!(matches!(Outline::new(pinched), Err(OutlineError::Crossing(_))));
        let flat = [(0.0, 0.0), (10.0, 0.0), (5.0, 0.0)].map(|(x, y)| Vertex::sharp(x, y));
        assert_eq!(Outline::new(flat), Err(OutlineError::Empty));
        assert_eq!(Outline::new([Vertex::sharp(f64::NAN, 0.0)]), Err(OutlineError::NotFinite));
    }

    #[test]
    fn mirrored_and_turned_keeps_the_area() {
        let outline = Outline::new(tab()).unwrap();
        let place = Place {
            mirrored: true,
            rotation: Angle::from_degrees(17.0),
            shift: Vec2::new(5.0, 6.0),
        };
        let moved = outline.moved(&place);
        assert!((moved.area() - outline.area()).abs() < 1e-9);
        assert!(moved.contains(place.apply(Point::new(15.0, 5.0))));
    }

    #[test]
    fn a_circle_in_four_pieces_is_two() {
        let quarter = Angle::from_degrees(22.5).tan();
        let circle = Outline::new(
            [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
                .map(|(x, y)| Vertex { at: Point::new(x, y), bulge: quarter }),
        )
        .unwrap();
        assert_eq!(circle.vertices().len(), 2);
        let (centre, radius) = circle.circle().unwrap();
        assert!(centre.to_vec2().hypot() < 1e-9 && (radius - 1.0).abs() < 1e-9);
    }
}
