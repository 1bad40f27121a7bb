//! Rings: closed chains of straight lines, by their corners.

use crate::geom::edge::Edge;
use kurbo::Point;

/// The sides of a ring, each from one corner to the next.
pub(crate) fn ring_sides(corners: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    let last = corners.len().saturating_sub(1);
    let next = move |i: usize| corners[if i == last { 0 } else { i + 1 }];
    corners.iter().enumerate().map(move |(i, at)| (*at, next(i)))
}

/// The sides of a ring as edges; none between two equal corners.
pub(crate) fn ring_edges(corners: &[Point]) -> Vec<Edge> {
    ring_sides(corners).filter(|(a, b)| a != b).map(|(a, b)| Edge::line(a, b)).collect()
}

/// Whether a point lies within a ring.
pub(crate) fn ring_holds(corners: &[Point], p: Point) -> bool {
    crossings(corners, p.y).filter(|x| p.x < *x).count() % 2 == 1
}

/// Where a level line crosses some rings, from left to right.
pub(crate) fn rings_at<'a>(rings: impl IntoIterator<Item = &'a [Point]>, y: f64) -> Vec<f64> {
    let mut found: Vec<f64> = rings.into_iter().flat_map(|ring| crossings(ring, y)).collect();
    found.sort_by(f64::total_cmp);
    found
}

fn crossings(corners: &[Point], y: f64) -> impl Iterator<Item = f64> {
    let crossed = ring_sides(corners).filter(move |(a, b)| (a.y > y) != (b.y > y));
    crossed.map(move |(a, b)| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_holds_what_a_level_line_enters_and_has_not_left() {
        let corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (3.0, 1.0), (0.0, 4.0)];
        let ring = corners.map(Point::from);
        assert_eq!(rings_at([&ring[..]], 2.0), [0.0, 2.0, 4.0, 6.0]);
        let holds = |x: f64| ring_holds(&ring, Point::new(x, 2.0));
        assert_eq!([-1.0, 1.0, 3.0, 5.0, 7.0].map(holds), [false, true, false, true, false]);
        assert_eq!(ring_edges(&[corners[0], corners[0], corners[1]].map(Point::from)).len(), 2);
    }
}
