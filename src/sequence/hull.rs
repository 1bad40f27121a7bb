//! Convex polygons in the plane square to a bend line, and how far they are from a tool.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::ring_holds;
use crate::geom::ring_sides;

/// The section of a tool as a polygon, which need not be convex.
#[derive(Clone, Debug)]
pub(super) struct Section {
    corners: Vec<Point>,
    pub(super) bounds: Bounds,
    /// The rectangle round each of its sides.
    sides: Vec<Bounds>,
}

impl Section {
    /// The corners of a section as the shop drew it: it has no arcs.
    pub(super) fn new(outline: &Outline) -> Self {
        Self::of(outline.vertices().iter().map(|v| v.at).collect(), outline.bounds())
    }

    fn of(corners: Vec<Point>, bounds: Bounds) -> Self {
        let sides = ring_sides(&corners).map(|(a, b)| self::bounds(&[a, b])).collect();
        Self { corners, bounds, sides }
    }

    /// Its corners in order.
    pub(super) fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// Nothing in a rectangle is nearer to the section than this, mm.
    pub(super) fn at_least(&self, around: &Bounds) -> f64 {
        let nearest = self.sides.iter().map(|side| gap(around, side)).fold(f64::INFINITY, f64::min);
        // No side of it passes, so all of the rectangle lies within or none.
        let lies_within = || ring_holds(&self.corners, around.min);
        if nearest <= 0.0 || lies_within() { 0.0 } else { nearest }
    }

    /// From a convex polygon to the section, mm; 0 where they touch or overlap.
    pub(super) fn distance_to(&self, polygon: &[Point]) -> f64 {
        let overlaps = || {
            polygon.iter().any(|p| ring_holds(&self.corners, *p))
                || self.corners.first().is_some_and(|p| ring_holds(polygon, *p))
        };
        if gap(&bounds(polygon), &self.bounds) <= 0.0 && overlaps() {
            return 0.0;
        }
        let mut min = f64::INFINITY;
        for side in ring_sides(polygon) {
            let around = bounds(&[side.0, side.1]);
            // Most sides, and most pairs, are farther from each other than the minimum found.
            if gap(&around, &self.bounds) >= min {
                continue;
            }
            for (edge, round) in ring_sides(&self.corners).zip(&self.sides) {
                if gap(&around, round) < min {
                    min = min.min(between(side, edge));
                }
            }
        }
        min
    }
}

/// The rectangle round some points.
pub(super) fn bounds(points: &[Point]) -> Bounds {
    let first = points.first().copied().unwrap_or(Point::ZERO);
    points.iter().fold(Bounds { min: first, max: first }, |b, p| b.with(*p))
}

/// The distance between two rectangles along the axis on which it is larger, mm; 0 or less if they
/// overlap. Points in them are no nearer.
fn gap(a: &Bounds, b: &Bounds) -> f64 {
    let along = |[a, b]: [f64; 2], [c, d]: [f64; 2]| (c - b).max(a - d);
    along([a.min.x, a.max.x], [b.min.x, b.max.x]).max(along([a.min.y, a.max.y], [b.min.y, b.max.y]))
}

/// The convex hull, anticlockwise. Of points in one line the two ends.
pub(super) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup_by(|a, b| (*a - *b).hypot() < SAME);
    if points.len() < 3 {
        return points;
    }
    let mut chain: Vec<Point> = Vec::with_capacity(points.len() + 1);
    half_hull(&mut chain, points.iter().copied());
    chain.pop();
    let lower = chain.len();
    let mut upper = Vec::with_capacity(points.len());
    half_hull(&mut upper, points.iter().rev().copied());
    upper.pop();
    chain.truncate(lower);
    chain.extend(upper);
    chain
}

/// Points nearer than this are one, mm.
const SAME: f64 = 1e-9;

fn half_hull(chain: &mut Vec<Point>, points: impl Iterator<Item = Point>) {
    for p in points {
        while let [.., a, b] = chain.as_slice() {
            if (*b - *a).cross(p - *b) > 0.0 {
                break;
            }
            chain.pop();
        }
        chain.push(p);
    }
}

/// The part of a convex polygon where `normal` · (p − `from`) is at least 0.
pub(crate) fn clipped(polygon: &[Point], from: Point, normal: Vec2) -> Vec<Point> {
    let over = |p: Point| (p - from).dot(normal);
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (a, b) in ring_sides(polygon) {
        let (from, to) = (over(a), over(b));
        if from >= 0.0 {
            kept.push(a);
        }
        if (from >= 0.0) != (to >= 0.0) {
            kept.push(a + (b - a) * (from / (from - to)));
        }
    }
    kept
}

/// A polygon and the same moved, with all that lies between.
pub(super) fn swept(polygon: &[Point], from: Vec2, by: Vec2) -> Vec<Point> {
    let ends = polygon.iter().flat_map(|p| [*p + from, *p + from + by]);
    hull(ends.collect())
}

/// From one line to another, mm; 0 where they cross.
fn between((a, b): (Point, Point), (c, d): (Point, Point)) -> f64 {
    let (ab, cd) = (b - a, d - c);
    let turns = |from: Point, along: Vec2, p: Point| along.cross(p - from);
    let (c_side, d_side) = (turns(a, ab, c), turns(a, ab, d));
    let (a_side, b_side) = (turns(c, cd, a), turns(c, cd, b));
    if c_side * d_side < 0.0 && a_side * b_side < 0.0 {
        return 0.0;
    }
    let ends = [to_line(a, c, cd), to_line(b, c, cd), to_line(c, a, ab), to_line(d, a, ab)];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

fn to_line(p: Point, from: Point, along: Vec2) -> f64 {
    let square = along.dot(along);
    let share = if square > 0.0 { ((p - from).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (p - (from + along * share)).hypot()
}

/// A polygon, anticlockwise, as convex pieces.
pub(super) fn convex_pieces(polygon: &[Point]) -> Vec<Vec<Point>> {
    if is_convex(polygon) {
        return vec![polygon.to_vec()];
    }
    let mut rest = polygon.to_vec();
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    while rest.len() > 3 {
        let count = rest.len();
        let Some(ear) = (0..count).find(|i| is_ear(&rest, *i)) else {
            // Corners that all but lie in one line: their hull errs to refusal.
            pieces.push(hull(rest));
            return pieces;
        };
        let at = |i: usize| rest[i % count];
        let triangle = vec![at(ear + count - 1), at(ear), at(ear + 1)];
        rest.remove(ear);
        grow(&mut pieces, triangle);
    }
    grow(&mut pieces, rest);
    pieces
}

fn is_convex(polygon: &[Point]) -> bool {
    let count = polygon.len();
    (0..count).all(|i| {
        let [a, b, c] = [i, i + 1, i + 2].map(|i| polygon[i % count]);
        (b - a).cross(c - b) >= -SAME
    })
}

fn is_ear(polygon: &[Point], at: usize) -> bool {
    let count = polygon.len();
    let [a, b, c] = [at + count - 1, at, at + 1].map(|i| polygon[i % count]);
    if (b - a).cross(c - b) <= 0.0 {
        return false;
    }
    let inside = |p: &Point| {
        let within = [(a, b), (b, c), (c, a)].map(|(from, to)| (to - from).cross(*p - from));
        *p != a && *p != b && *p != c && within.iter().all(|w| *w >= 0.0)
    };
    !polygon.iter().any(inside)
}

/// Adds a triangle to the last piece where that stays convex, else as a separate piece.
fn grow(pieces: &mut Vec<Vec<Point>>, triangle: Vec<Point>) {
    let joined = pieces.last().and_then(|last| joined(last, &triangle));
    match (pieces.last_mut(), joined) {
        (Some(last), Some(joined)) => *last = joined,
        _ => pieces.push(triangle),
    }
}

/// Two convex pieces with a common side as one, if that is convex.
fn joined(piece: &[Point], triangle: &[Point]) -> Option<Vec<Point>> {
    for (i, (a, b)) in ring_sides(piece).enumerate() {
        for (j, (c, d)) in ring_sides(triangle).enumerate() {
            if a == d && b == c {
                let apex = triangle[(j + 2) % 3];
                let mut all = piece.to_vec();
                all.insert(i + 1, apex);
                return is_convex(&all).then_some(all);
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(corners: &[[f64; 2]]) -> Vec<Point> {
        corners.iter().map(|[x, y]| Point::new(*x, *y)).collect()
    }

    fn area(polygon: &[Point]) -> f64 {
        ring_sides(polygon).map(|(a, b)| a.to_vec2().cross(b.to_vec2()) / 2.0).sum()
    }

    #[test]
    fn the_pieces_of_a_polygon_are_convex_and_as_large_as_it() {
        let cross = points(&[
            [0.0, 10.0],
            [10.0, 10.0],
            [10.0, 0.0],
            [20.0, 0.0],
            [20.0, 10.0],
            [30.0, 10.0],
            [30.0, 20.0],
            [20.0, 20.0],
            [20.0, 30.0],
            [10.0, 30.0],
            [10.0, 20.0],
            [0.0, 20.0],
        ]);
        let pieces = convex_pieces(&cross);
        assert!(pieces.len() > 1 && pieces.iter().all(|p| is_convex(p)));
        let sum: f64 = pieces.iter().map(|p| area(p)).sum();
        assert!((sum - 500.0).abs() < 1e-9, "{sum}");
    }

    #[test]
    fn a_hull_leaves_out_what_lies_inside_and_keeps_the_ends_of_a_line() {
        let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0], [2.0, 2.0], [2.0, 0.0]];
        let hulled = hull(points(&square));
        assert_eq!(hulled.len(), 4);
        assert!((area(&hulled) - 16.0).abs() < 1e-12);
        assert_eq!(hull(points(&[[0.0, 0.0], [1.0, 1.0], [3.0, 3.0]])).len(), 2);
    }

    #[test]
    fn distances_are_from_side_to_side_and_nothing_where_one_holds_the_other() {
        let section = |corners: &[[f64; 2]]| Section::of(points(corners), bounds(&points(corners)));
        let tool = section(&[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]);
        let at = |x: f64| points(&[[x, 4.0], [x + 2.0, 4.0], [x + 2.0, 6.0], [x, 6.0]]);
        assert!((tool.distance_to(&at(13.0)) - 3.0).abs() < 1e-12);
        assert_eq!(tool.distance_to(&at(4.0)), 0.0);
        assert_eq!(tool.distance_to(&at(9.0)), 0.0);
        let round = points(&[[-5.0, -5.0], [15.0, -5.0], [15.0, 15.0], [-5.0, 15.0]]);
        assert_eq!(tool.distance_to(&round), 0.0);
        assert_eq!(tool.distance_to(&points(&[[-1.0, 5.0], [11.0, 5.0]])), 0.0);
    }
}
