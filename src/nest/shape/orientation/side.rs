//! The long sides of an outline.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::flatten;
use crate::num::Angle;

/// Maximum deviation of polygons from arcs, in mm. Our choice: long sides need no more.
const TOLERANCE: f64 = 0.05;

/// A side is long from this share of the largest extent on. Our choice: chords of arcs are shorter,
/// the hypotenuse of any gusset is longer.
const LONG: f64 = 0.25;

/// Directions nearer to each other than this, in degrees, are one. Our choice.
const SAME: f64 = 0.01;

/// The directions of the long sides, and of the long sides of the convex hull, in degrees from 0 up
/// to 90: square to each other is the same. The longest together come first.
pub(super) fn sides(outline: &Outline) -> Vec<f64> {
    let hull = hull(&flatten(outline, TOLERANCE, Side::Outside));
    let straight = outline.edges().filter(|e| e.is_line()).map(|e| (e.from, e.to));
    let ruled = hull.iter().copied().zip(hull.iter().copied().cycle().skip(1));
    let across = hull.iter().flat_map(|a| hull.iter().map(move |b| (*a - *b).hypot()));
    let long = LONG * across.fold(0.0, f64::max);
    let mut found: Vec<(f64, f64)> = Vec::new();
    for (from, to) in straight.chain(ruled) {
        let along = to - from;
        let length = along.hypot();
        if length < long {
            continue;
        }
        let direction = Angle::of(along.x, along.y).degrees().rem_euclid(90.0);
        let same = |other: &&mut (f64, f64)| {
            let apart = (other.1 - direction).abs();
            apart.min(90.0 - apart) < SAME
        };
        match found.iter_mut().find(same) {
            Some(known) => known.0 += length,
            None => found.push((length, direction)),
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    found.into_iter().map(|(_, direction)| direction).collect()
}

/// The corners of the convex hull, anticlockwise (Andrew's monotone chain, 1979).
fn hull(points: &[Point]) -> Vec<Point> {
    let mut points = points.to_vec();
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..]
                && (b - a).cross(p - b) <= 0.0
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut chain = half(&mut points.iter().copied());
    chain.extend(half(&mut points.iter().rev().copied()));
    chain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Vertex;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn chain(corners: &[(f64, f64)]) -> Outline {
        Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap()
    }

    #[test]
    fn the_longest_sides_come_first_and_arcs_have_none() {
        // 3, 4, 5: the legs are square to each other and together longer than the long side.
        let gusset = chain(&[(0.0, 0.0), (80.0, 0.0), (0.0, 60.0)]);
        let found = sides(&gusset);
        let wanted = [0.0, Angle::of(60.0, 80.0).degrees()];
        assert_eq!(found.len(), 2, "{found:?}");
        for (found, wanted) in found.iter().zip(wanted) {
            assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
        }
        assert_eq!(sides(&disc(Point::ZERO, 40.0).unwrap()), Vec::<f64>::new());
        // The hull over the bay of an L is on no side of it.
        let ell =
            chain(&[(0.0, 0.0), (60.0, 0.0), (60.0, 9.0), (9.0, 9.0), (9.0, 60.0), (0.0, 60.0)]);
        assert_eq!(sides(&ell), [0.0, 45.0]);
    }

    #[test]
    fn rotated_outlines_have_rotated_sides() {
        let plate = rectangle(Point::new(7.0, 3.0), 90.0, 30.0, 5.0).unwrap();
        for degrees in [0.0, 12.5, 37.5, 89.0] {
            let rotation = Angle::from_degrees(degrees);
            let found = sides(&plate.moved(&Place { rotation, ..Place::default() }));
            assert_eq!(found.len(), 1);
            assert!((found[0] - degrees).abs() < 1e-9, "{found:?} {degrees}");
        }
    }
}
