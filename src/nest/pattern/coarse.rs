//! A contour of fewer corners round one of many.
//!
//! The cost of the search for patterns grows with the third power of the corners or more. A coarser
//! contour contains the finer one, so parts clear of it are clear of the finer one.

use crate::nest::problem::progress::Stop;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::cross;
use crate::nest::shape::polygon::sides;

/// How far a new corner is moved beyond the intersection of two edges, in micrometres. Our choice:
/// rounded to the grid it is still outside.
const BEYOND: f64 = 1.5;

/// A change that removes a corner.
struct Change {
    /// Twice the area that is added.
    added: i128,
    /// The corner that is removed.
    goes: usize,
    /// Where the one behind it moves to.
    moves: Option<Spot>,
}

/// A simple ring that contains the given one, anticlockwise, with at most this number of corners if
/// possible; of all changes the smallest is made first. If the work must end, the present ring is
/// returned.
pub(super) fn coarser(ring: &Ring, max: usize, stop: &Stop) -> Ring {
    let mut ring = ring.clone();
    while ring.len() > max.max(4) && !stop.now() {
        let mut changes: Vec<Change> = (0..ring.len()).filter_map(|i| change(&ring, i)).collect();
        changes.sort_by_key(|change| (change.added, change.goes));
        let Some(change) = changes.iter().find(|change| is_clear(&ring, change)) else { break };
        if let Some(to) = change.moves {
            let next = (change.goes + 1) % ring.len();
            ring[next] = to;
        }
        ring.remove(change.goes);
    }
    ring
}

/// The corners round corner `i`: the one before it, itself, and the two behind it.
fn round(ring: &Ring, i: usize) -> [Spot; 4] {
    let n = ring.len();
    [ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n], ring[(i + 2) % n]]
}

/// A corner that turns right is removed; an edge between two that turn left shrinks to the
/// intersection of its neighbours. `None` where they do not intersect.
fn change(ring: &Ring, i: usize) -> Option<Change> {
    let [a, b, c, d] = round(ring, i);
    let rotation = cross(b - a, c - b);
    if rotation <= 0 {
        return Some(Change { added: -rotation, goes: i, moves: None });
    }
    let (first, last) = (b - a, d - c);
    let between = cross(first, last);
    if cross(c - b, last) <= 0 || between <= 0 {
        return None;
    }
    let along = cross(c - a, last) as f64 / between as f64;
    let (x, y) = (a.x as f64 + along * first.x as f64, a.y as f64 + along * first.y as f64);
    let out = (x - (b.x + c.x) as f64 / 2.0, y - (b.y + c.y) as f64 / 2.0);
    let far = crate::num::hypot(out.0, out.1).max(1.0);
    let beyond = |at: f64, out: f64| (at + BEYOND * out / far).round() as i64;
    let to = Spot::new(beyond(x, out.0), beyond(y, out.1));
    let holds = b.side(a, to) >= 0 && c.side(to, d) >= 0;
    holds.then(|| Change { added: cross(c - b, to - b).abs(), goes: i, moves: Some(to) })
}

/// Whether the area that is added contains nothing else of the ring.
fn is_clear(ring: &Ring, change: &Change) -> bool {
    let [a, b, c, d] = round(ring, change.goes);
    let (own, added) = match change.moves {
        None => (vec![a, b, c], [a, c, b]),
        Some(to) => (vec![a, b, c, d], [b, to, c]),
    };
    let within = |s: &Spot| {
        let side = |i: usize| s.side(added[i], added[(i + 1) % 3]);
        let sides = [side(0), side(1), side(2)];
        sides.iter().all(|x| *x >= 0) || sides.iter().all(|x| *x <= 0)
    };
    let others = ring.iter().filter(|s| !own.contains(s));
    let crossed = |(from, to): (Spot, Spot)| {
        let moved = change.moves.is_some_and(|corner| {
            [(a, corner), (corner, d)].iter().any(|(p, q)| {
                let apart = |s: i128, t: i128| (s > 0 && t > 0) || (s < 0 && t < 0);
                !apart(from.side(*p, *q), to.side(*p, *q))
                    && !apart(p.side(from, to), q.side(from, to))
            })
        });
        moved && !own.contains(&from) && !own.contains(&to)
    };
    !others.clone().any(within) && !sides(ring).any(crossed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::disc;
    use crate::geom::slot;
    use crate::nest::shape::grown::grown;
    use crate::nest::shape::polygon::double_area;
    use crate::num::Angle;
    use geo::Contains;
    use geo::Validation;
    use proptest::prelude::*;

    fn polygon(ring: &Ring) -> geo::Polygon<f64> {
        geo::Polygon::new(ring.iter().map(|s| (s.x as f64, s.y as f64)).collect(), vec![])
    }

    /// Simple, and every corner of the finer one within it or on it.
    fn encloses(coarse: &Ring, fine: &Ring) -> bool {
        let polygon = polygon(coarse);
        let on_contour = |s: &Spot| {
            sides(coarse).any(|(a, b)| {
                s.side(a, b) == 0
                    && (a.x.min(b.x)..=a.x.max(b.x)).contains(&s.x)
                    && (a.y.min(b.y)..=a.y.max(b.y)).contains(&s.y)
            })
        };
        let within =
            |s: &Spot| on_contour(s) || polygon.contains(&geo::Point::new(s.x as f64, s.y as f64));
        polygon.is_valid() && fine.iter().all(within)
    }

    #[test]
    fn round_parts_grow_by_little() {
        let outlines = [disc(Point::ZERO, 40.0).unwrap(), slot(Point::ZERO, 90.0, 30.0).unwrap()];
        for outline in outlines {
            let fine = grown(&outline, 1.5, outline.bounds().min).unwrap().contour;
            let coarse = coarser(&fine, 24, &Stop::never());
            assert!(fine.len() > 24 && coarse.len() <= 24, "{} {}", fine.len(), coarse.len());
            assert!(encloses(&coarse, &fine));
            let more = double_area(&coarse) as f64 / double_area(&fine) as f64;
            assert!((1.0..1.01).contains(&more), "{more}");
            assert_eq!(coarser(&fine, fine.len(), &Stop::never()), fine);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]
        /// Jagged stars, some of them mostly reflex.
        #[test]
        fn any_contour_is_within_its_coarser_one(
            radii in prop::collection::vec(5_000.0..90_000.0f64, 12..120),
            max in 6usize..40,
        ) {
            let n = radii.len();
            let fine: Ring = radii
                .iter()
                .enumerate()
                .map(|(i, r)| {
                    let angle = Angle::from_degrees(360.0 * i as f64 / n as f64);
                    Spot::new((r * angle.cos()).round() as i64, (r * angle.sin()).round() as i64)
                })
                .collect();
            let coarse = coarser(&fine, max, &Stop::never());
            prop_assert!(encloses(&coarse, &fine), "{coarse:?}");
            prop_assert!(coarse.len() <= fine.len());
        }
    }
}
