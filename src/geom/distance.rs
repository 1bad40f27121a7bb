//! Exact distances between lines and arcs, and where they meet.

use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::num::Angle;
use kurbo::Point;

/// Minimum distance between two edges in mm; 0 when they meet.
pub fn edge_distance(a: &Edge, b: &Edge) -> f64 {
    if !crossings(a, b).is_empty() {
        return 0.0;
    }
    nearest_pairs(a, b).into_iter().map(|(p, q)| (q - p).hypot()).fold(f64::INFINITY, f64::min)
}

/// Minimum distance between any of some edges and any of others in mm; infinite where there are
/// none.
pub(crate) fn edges_distance(some: impl IntoIterator<Item = Edge>, others: &[Edge]) -> f64 {
    let pairs = some.into_iter().flat_map(|a| others.iter().map(move |b| edge_distance(&a, b)));
    pairs.fold(f64::INFINITY, f64::min)
}

/// Pairs of points, of the first edge and of the second, which include every local minimum of the
/// distance of two edges that do not meet.
pub(super) fn nearest_pairs(a: &Edge, b: &Edge) -> Vec<(Point, Point)> {
    let mut pairs = facing(a, b);
    pairs.extend([a.from, a.to].map(|p| (p, b.nearest(p))));
    pairs.extend([b.from, b.to].map(|q| (a.nearest(q), q)));
    pairs
}

/// Points where two edges meet; approaches within `near` count as meeting.
pub(super) fn meeting(a: &Edge, b: &Edge, near: f64) -> Vec<Point> {
    let mut points = crossings(a, b);
    for (end, edge) in [(a.from, b), (a.to, b), (b.from, a), (b.to, a)] {
        if (edge.nearest(end) - end).hypot() <= near {
            points.push(end);
        }
    }
    points
}

/// Points that lie on both edges, ends included; none for edges along one line or circle.
pub(super) fn crossings(a: &Edge, b: &Edge) -> Vec<Point> {
    match (a.arc(), b.arc()) {
        (None, None) => line_line(a, b).into_iter().collect(),
        (None, Some(arc)) => line_arc(a, &arc),
        (Some(arc), None) => line_arc(b, &arc),
        (Some(first), Some(second)) => arc_arc(&first, &second),
    }
}

fn line_line(a: &Edge, b: &Edge) -> Option<Point> {
    let (u, v) = (a.to - a.from, b.to - b.from);
    let turn = u.cross(v);
    if turn.abs() <= 1e-12 * u.hypot() * v.hypot() {
        return None;
    }
    let between = b.from - a.from;
    let (s, t) = (between.cross(v) / turn, between.cross(u) / turn);
    let on = |x: f64| (0.0..=1.0).contains(&x);
    (on(s) && on(t)).then(|| a.from.lerp(a.to, s))
}

fn line_arc(line: &Edge, arc: &Arc) -> Vec<Point> {
    let chord = line.to - line.from;
    let length = chord.hypot();
    let along = chord / length;
    let middle = (arc.centre - line.from).dot(along);
    let aside = (arc.centre - line.from).cross(along);
    let half = arc.radius * arc.radius - aside * aside;
    if half < 0.0 {
        return Vec::new();
    }
    [middle - half.sqrt(), middle + half.sqrt()]
        .into_iter()
        .filter(|t| (0.0..=length).contains(t))
        .map(|t| line.from + along * t)
        .filter(|p| arc.includes(direction(arc.centre, *p)))
        .collect()
}

fn arc_arc(a: &Arc, b: &Arc) -> Vec<Point> {
    let between = b.centre - a.centre;
    let distance = between.hypot();
    if distance < 1e-12 {
        return Vec::new();
    }
    let along =
        (distance * distance + a.radius * a.radius - b.radius * b.radius) / (2.0 * distance);
    let half = a.radius * a.radius - along * along;
    if half < 0.0 {
        return Vec::new();
    }
    let unit = between / distance;
    let foot = a.centre + unit * along;
    let across = kurbo::Vec2::new(-unit.y, unit.x) * half.sqrt();
    [foot + across, foot - across]
        .into_iter()
        .filter(|p| a.includes(direction(a.centre, *p)) && b.includes(direction(b.centre, *p)))
        .collect()
}

/// Pairs of inner points at which two edges face each other squarely.
fn facing(a: &Edge, b: &Edge) -> Vec<(Point, Point)> {
    match (a.arc(), b.arc()) {
        (None, None) => Vec::new(),
        (None, Some(arc)) => line_facing_arc(a, &arc),
        (Some(arc), None) => line_facing_arc(b, &arc).into_iter().map(|(p, q)| (q, p)).collect(),
        (Some(first), Some(second)) => arc_facing_arc(&first, &second),
    }
}

fn line_facing_arc(line: &Edge, arc: &Arc) -> Vec<(Point, Point)> {
    let chord = line.to - line.from;
    let t = (arc.centre - line.from).dot(chord) / chord.hypot2();
    if !(0.0..=1.0).contains(&t) {
        return Vec::new();
    }
    let foot = line.from.lerp(line.to, t);
    let towards = direction(arc.centre, foot);
    if arc.includes(towards) { vec![(foot, arc.point(towards))] } else { Vec::new() }
}

fn arc_facing_arc(a: &Arc, b: &Arc) -> Vec<(Point, Point)> {
    let between = b.centre - a.centre;
    if between.hypot() < 1e-12 {
        return Vec::new();
    }
    let unit = between / between.hypot();
    let mut found = Vec::new();
    for p in [a.centre + unit * a.radius, a.centre - unit * a.radius] {
        for q in [b.centre + unit * b.radius, b.centre - unit * b.radius] {
            if a.includes(direction(a.centre, p)) && b.includes(direction(b.centre, q)) {
                found.push((p, q));
            }
        }
    }
    found
}

fn direction(from: Point, to: Point) -> Angle {
    Angle::of(to.x - from.x, to.y - from.y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::clearance::outline_distance;
    use proptest::prelude::*;

    fn edge() -> impl Strategy<Value = Edge> {
        let c = || -10.0..10.0f64;
        (c(), c(), c(), c(), prop_oneof![Just(0.0), -1.0..1.0f64])
            .prop_filter("has a length", |(x, y, u, v, _)| (x - u).abs() + (y - v).abs() > 0.1)
            .prop_map(|(x, y, u, v, bulge)| Edge {
                from: Point::new(x, y),
                to: Point::new(u, v),
                bulge,
            })
    }

    proptest! {
        /// Against the brute way: many points along each edge.
        #[test]
        fn distance_agrees_with_many_points(a in edge(), b in edge()) {
            let exact = edge_distance(&a, &b);
            let steps = 400;
            let sampled = (0..=steps)
                .map(|i| { let p = a.point_at(f64::from(i) / f64::from(steps)); (b.nearest(p) - p).hypot() })
                .fold(f64::INFINITY, f64::min);
            prop_assert!(exact <= sampled + 1e-9, "{exact} > {sampled}");
            prop_assert!(sampled - exact <= a.length() / f64::from(steps), "{sampled} {exact}");
        }
    }

    #[test]
    fn circles_beside_and_within_each_other() {
        let disc = |x: f64, r: f64| crate::geom::disc(Point::new(x, 0.0), r).unwrap();
        assert!((outline_distance(&disc(0.0, 5.0), &disc(20.0, 6.0)) - 9.0).abs() < 1e-12);
        assert!((outline_distance(&disc(0.0, 10.0), &disc(2.0, 3.0)) - 5.0).abs() < 1e-12);
        assert_eq!(outline_distance(&disc(0.0, 5.0), &disc(6.0, 5.0)), 0.0);
    }
}
