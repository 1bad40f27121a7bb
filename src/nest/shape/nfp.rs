//! No-fit polygons: the positions of one shape at which it overlaps another.
//!
//! Two simple polygons overlap in exactly those positions that the convolution of their outlines
//! winds round: its winding number counts the pieces they have in common (Guibas, Ramshaw and
//! Stolfi, "A kinetic framework for computational geometry", 1983). So one convolution, filled by a
//! library of integer polygons, is the whole no-fit polygon, and no shape is cut into convex
//! pieces. Touching is not overlap.
//!
//! Positions that fit without play, like a plug in a slot of its own width, have no area and are
//! lost; that errs on the safe side.

use crate::nest::shape::polygon::Patch;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::cross;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::filled;
use crate::nest::shape::polygon::sides;
use crate::nest::shape::polygon::strictly_within;
use crate::nest::shape::polygon::without;
use i_overlay::core::fill_rule::FillRule;

/// The positions of the origin of `moving` at which it overlaps `fixed`: the inside of these areas.
/// Their corners are exact, or rounded where two slanting edges cross.
pub(crate) fn no_fit(fixed: &[Spot], moving: &[Spot]) -> Vec<Patch> {
    let rotated: Ring = moving.iter().map(|s| -*s).collect();
    let mut forbidden = filled(&closed_lines(convolution(fixed, &rotated)), FillRule::Positive);
    for patch in &mut forbidden {
        // Where many slanting edges cross nearly at one point, rounding may open a hole of a
        // few hundredths of a millimetre.
        patch
            .holes
            .retain(|hole| spot_within(hole).is_some_and(|at| are_disjoint(fixed, moving, at)));
    }
    forbidden
}

/// A spot within a ring, not on it; `None` when the ring is too narrow to find one easily.
fn spot_within(ring: &[Spot]) -> Option<Spot> {
    let n = ring.len();
    let middle = |i: usize| {
        let (a, b, c) = (ring[i], ring[(i + 1) % n], ring[(i + 2) % n]);
        Spot::new((a.x + b.x + c.x) / 3, (a.y + b.y + c.y) / 3)
    };
    (0..n).map(middle).find(|at| strictly_within(ring, *at))
}

/// Whether two shapes have no area in common when the second is moved by this vector.
fn are_disjoint(fixed: &[Spot], moving: &[Spot], by: Spot) -> bool {
    let moving: Ring = moving.iter().map(|s| *s + by).collect();
    let opposite = |a: i128, b: i128| (a > 0 && b < 0) || (a < 0 && b > 0);
    let crossed = |(a, b): (Spot, Spot)| {
        sides(&moving).any(|(c, d)| {
            opposite(a.side(c, d), b.side(c, d)) && opposite(c.side(a, b), d.side(a, b))
        })
    };
    // Square shapes may overlap with all corners on edges.
    let within = |a: &[Spot], b: &[Spot]| {
        let middle = |a: Spot, b: Spot| Spot::new(i64::midpoint(a.x, b.x), i64::midpoint(a.y, b.y));
        sides(a).any(|(p, q)| strictly_within(b, p) || strictly_within(b, middle(p, q)))
    };
    !(within(&moving, fixed) || within(fixed, &moving) || sides(fixed).any(crossed))
}

/// The positions of the origin of `moving` at which it stays within `room` and out of its holes:
/// these areas with their boundaries.
pub(crate) fn inner_fit(room: &Patch, moving: &[Spot]) -> Vec<Patch> {
    let ((room_least, room_most), (min, max)) = (extent(&room.contour), extent(moving));
    let (low, high) = (room_least - min, room_most - max);
    if low.x >= high.x || low.y >= high.y {
        return Vec::new();
    }
    let forbidden: Vec<Patch> = surroundings(&room.contour)
        .iter()
        .chain(&room.holes)
        .flat_map(|ring| no_fit(ring, moving))
        .collect();
    // In a hole of a no-fit polygon the shape surrounds the obstacle.
    let whole = [boxed(low, high)];
    let forbidden: Vec<Ring> = forbidden.into_iter().flat_map(wound).collect();
    without(&whole, &forbidden)
}

/// The outer contour anticlockwise and the holes clockwise, as winding needs them.
pub(crate) fn wound(patch: Patch) -> impl Iterator<Item = Ring> {
    let reversed = |hole: Ring| hole.into_iter().rev().collect();
    std::iter::once(patch.contour).chain(patch.holes.into_iter().map(reversed))
}

/// The surroundings of a ring, wide enough that nothing gets past them.
fn surroundings(contour: &Ring) -> Vec<Ring> {
    let (min, max) = extent(contour);
    let width = 1 + (max.x - min.x).max(max.y - min.y);
    let far = Spot::new(width, width);
    around(std::slice::from_ref(contour), min - far, max + far)
}

/// What rings leave of a box, as shapes without holes: it is cut through the centre of each ring,
/// so that no ring is within a piece.
pub(crate) fn around(contours: &[Ring], low: Spot, high: Spot) -> Vec<Ring> {
    let middle = |contour: &Ring| {
        let (min, max) = extent(contour);
        i64::midpoint(min.x, max.x)
    };
    let mut cuts: Vec<i64> = contours.iter().map(middle).chain([low.x, high.x]).collect();
    cuts.sort_unstable();
    let strip = |x: &[i64]| boxed(Spot::new(x[0], low.y), Spot::new(x[1], high.y));
    let strips = cuts.windows(2).filter(|x| low.x <= x[0] && x[0] < x[1] && x[1] <= high.x);
    strips.flat_map(|x| without(&[strip(x)], contours)).map(|p| p.contour).collect()
}

/// A rectangle from its lower left and upper right corner.
pub(crate) fn boxed(low: Spot, high: Spot) -> Ring {
    vec![low, Spot::new(high.x, low.y), high, Spot::new(low.x, high.y)]
}

/// Each edge of either ring, moved to every corner of the other that turns through its direction:
/// forwards where the corner turns left, backwards where it turns right. Of two edges in one
/// direction that of `a` counts as further left.
fn convolution(a: &[Spot], b: &[Spot]) -> Vec<(Spot, Spot)> {
    let mut steps = Vec::with_capacity(2 * (a.len() + b.len()));
    for ring_is_a in [true, false] {
        let (edges, corners) = if ring_is_a { (a, b) } else { (b, a) };
        for j in 0..corners.len() {
            let at = corners[j];
            let before = at - corners[(j + corners.len() - 1) % corners.len()];
            let after = corners[(j + 1) % corners.len()] - at;
            let turn = cross(before, after);
            let (from, to) = if turn > 0 { (before, after) } else { (after, before) };
            if turn == 0 {
                continue;
            }
            for (i, start) in edges.iter().enumerate() {
                let end = edges[(i + 1) % edges.len()];
                let along = end - *start;
                let (first, last) = (cross(from, along), cross(along, to));
                let passed = if ring_is_a {
                    (first > 0 || (first == 0 && same_way(from, along))) && last > 0
                } else {
                    first > 0 && (last > 0 || (last == 0 && same_way(along, to)))
                };
                if passed {
                    let (start, end) = (*start + at, end + at);
                    steps.push(if turn > 0 { (start, end) } else { (end, start) });
                }
            }
        }
    }
    steps
}

/// Of two parallel directions.
fn same_way(a: Spot, b: Spot) -> bool {
    a.x.signum() == b.x.signum() && a.y.signum() == b.y.signum()
}

/// Steps that leave every point as often as they reach it, joined to closed lines.
fn closed_lines(mut steps: Vec<(Spot, Spot)>) -> Vec<Ring> {
    steps.sort_unstable();
    let mut taken = vec![false; steps.len()];
    let mut lines = Vec::new();
    for first in 0..steps.len() {
        let mut line = Ring::new();
        let mut next = Some(first);
        while let Some(step) = next.filter(|i| !taken[*i]) {
            taken[step] = true;
            let (from, to) = steps[step];
            line.push(from);
            let start = steps.partition_point(|s| s.0 < to);
            next = (start..steps.len()).take_while(|i| steps[*i].0 == to).find(|i| !taken[*i]);
        }
        if line.len() > 2 {
            lines.push(line);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Relate;
    use geo::coordinate_position::CoordPos;
    use geo::dimensions::Dimensions;
    use proptest::prelude::*;

    #[test]
    fn shapes_are_apart_when_they_only_touch() {
        let square = boxed(Spot::new(0, 0), Spot::new(10, 10));
        let bar = boxed(Spot::new(-5, 3), Spot::new(15, 6));
        let to = Spot::new;
        assert!(
            are_disjoint(&square, &square, to(10, 0)) && !are_disjoint(&square, &square, to(9, 0))
        );
        // Neither has a corner in the other.
        assert!(!are_disjoint(&square, &bar, to(0, 0)) && are_disjoint(&square, &bar, to(0, 7)));
        let small = boxed(to(2, 2), to(4, 4));
        assert!(
            !are_disjoint(&square, &small, to(0, 0)) && !are_disjoint(&small, &square, to(0, 0))
        );
        assert_eq!(spot_within(&square), Some(to(6, 3)));
        assert_eq!(spot_within(&[to(0, 0), to(1, 0), to(1, 1)]), None);
    }

    /// Whether the insides of two rings meet, by another library.
    fn overlap(a: &[Spot], b: &[Spot]) -> bool {
        let polygon = |ring: &[Spot]| {
            let line = ring.iter().map(|s| (s.x as f64, s.y as f64)).collect();
            geo::Polygon::<f64>::new(line, vec![])
        };
        polygon(a).relate(&polygon(b)).get(CoordPos::Inside, CoordPos::Inside) != Dimensions::Empty
    }

    fn winds_round(ring: &[Spot], at: Spot) -> bool {
        let mut inside = false;
        for (a, b) in sides(ring) {
            let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
            if low.y <= at.y && at.y < high.y && at.side(low, high) > 0 {
                inside = !inside;
            }
        }
        inside
    }

    fn on_contour(ring: &[Spot], at: Spot) -> bool {
        sides(ring).any(|(a, b)| {
            at.side(a, b) == 0 && {
                let (min, max) = extent(&[a, b]);
                (min.x..=max.x).contains(&at.x) && (min.y..=max.y).contains(&at.y)
            }
        })
    }

    fn within_some(patches: &[Patch], at: Spot) -> bool {
        patches.iter().any(|p| {
            winds_round(&p.contour, at)
                && !on_contour(&p.contour, at)
                && !p.holes.iter().any(|h| winds_round(h, at) || on_contour(h, at))
        })
    }

    /// Whether a contour of the areas passes within `reach` of a point.
    fn near_contour(patches: &[Patch], at: Spot, reach: f64) -> bool {
        let near = |(a, b): (Spot, Spot)| {
            let (d, p) = (b - a, at - a);
            let (dx, dy, px, py) = (d.x as f64, d.y as f64, p.x as f64, p.y as f64);
            let t = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            crate::num::hypot(px - t * dx, py - t * dy) <= reach
        };
        patches.iter().flat_map(|p| p.holes.iter().chain([&p.contour])).any(|r| sides(r).any(near))
    }

    fn moved(ring: &[Spot], by: Spot) -> Ring {
        ring.iter().map(|s| *s + by).collect()
    }

    /// A star with a number of corners at random distances: simple, with bays.
    fn star(reaches: &[i64]) -> Ring {
        let n = reaches.len() as f64;
        reaches
            .iter()
            .enumerate()
            .map(|(i, r)| {
                let a = crate::num::Angle::from_degrees(360.0 * i as f64 / n + 7.0);
                Spot::new((*r as f64 * a.cos()) as i64, (*r as f64 * a.sin()) as i64)
            })
            .collect()
    }

    /// A skyline: bars of random heights on a line, all corners square.
    fn skyline(heights: &[i64]) -> Ring {
        let mut ring = vec![Spot::new(0, 0), Spot::new(heights.len() as i64 * 4, 0)];
        for (i, h) in heights.iter().enumerate().rev() {
            ring.push(Spot::new(i as i64 * 4 + 4, *h));
            ring.push(Spot::new(i as i64 * 4, *h));
        }
        ring.dedup();
        ring
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

        #[test]
        fn inside_is_where_shapes_overlap(
            a in prop::collection::vec(2_000i64..40_000, 3..12),
            b in prop::collection::vec(2_000i64..40_000, 3..12),
            at in prop::collection::vec((-60_000i64..60_000, -60_000i64..60_000), 40),
        ) {
            let (a, b) = (star(&a), star(&b));
            prop_assume!(double_area_is_positive(&a) && double_area_is_positive(&b));
            let forbidden = no_fit(&a, &b);
            for (x, y) in at {
                let at = Spot::new(x, y);
                if !near_contour(&forbidden, at, 1.5) {
                    let met = overlap(&a, &moved(&b, at));
                    prop_assert_eq!(within_some(&forbidden, at), met, "{:?}", at);
                }
            }
        }

        /// Square corners stay on the grid, so touching is exact.
        #[test]
        fn touching_is_no_overlap(
            a in prop::collection::vec(1i64..9, 1..5),
            b in prop::collection::vec(1i64..9, 1..5),
        ) {
            let (a, b) = (skyline(&a), skyline(&b));
            let forbidden = no_fit(&a, &b);
            for x in -20..=20 {
                for y in -10..=10 {
                    let at = Spot::new(x, y);
                    let met = overlap(&a, &moved(&b, at));
                    let within = within_some(&forbidden, at);
                    // A part that fits without play has no area of free positions.
                    let no_play = || {
                        let around = [(1, 0), (-1, 0), (0, 1), (0, -1)];
                        let shut = |d: &(i64, i64)| overlap(&a, &moved(&b, at + Spot::new(d.0, d.1)));
                        around.iter().filter(|d| shut(d)).count() >= 2
                    };
                    let right = within == met || (within && no_play());
                    prop_assert!(right, "{at:?} {met}");
                }
            }
        }

        #[test]
        fn within_a_room_is_out_of_all_round_it(
            room in prop::collection::vec(20_000i64..60_000, 3..10),
            part in prop::collection::vec(2_000i64..20_000, 3..8),
            at in prop::collection::vec((-40_000i64..40_000, -40_000i64..40_000), 40),
        ) {
            let (contour, part) = (star(&room), star(&part));
            prop_assume!(double_area_is_positive(&contour) && double_area_is_positive(&part));
            let fits = inner_fit(&Patch { contour: contour.clone(), holes: vec![] }, &part);
            let outside = surroundings(&contour);
            for (x, y) in at {
                let at = Spot::new(x, y);
                if !near_contour(&fits, at, 1.5) {
                    let there = moved(&part, at);
                    let inside = !outside.iter().any(|o| overlap(o, &there))
                        && there.iter().all(|s| winds_round(&contour, *s));
                    prop_assert_eq!(within_some(&fits, at), inside, "{:?}", at);
                }
            }
        }
    }

    /// Reaches that differ much may turn a star with few corners inside out.
    fn double_area_is_positive(ring: &[Spot]) -> bool {
        crate::nest::shape::polygon::double_area(ring) > 0
    }

    #[test]
    fn a_pin_in_a_ring_has_its_own_room() {
        let contour = boxed(Spot::new(0, 0), Spot::new(100, 80));
        let hole = boxed(Spot::new(40, 30), Spot::new(60, 50));
        let pin = boxed(Spot::new(0, 0), Spot::new(10, 10));
        let fits = inner_fit(&Patch { contour, holes: vec![hole] }, &pin);
        assert_eq!(fits.len(), 1);
        assert_eq!(extent(&fits[0].contour), (Spot::new(0, 0), Spot::new(90, 70)));
        assert_eq!(extent(&fits[0].holes[0]), (Spot::new(30, 20), Spot::new(60, 50)));
    }

    #[test]
    fn a_block_in_a_bay_leaves_a_hole_in_the_no_fit_polygon() {
        // A square ring with a narrow mouth; the block fits its inside, not its mouth.
        let ring = [(0, 0), (50, 0), (50, 20), (40, 20), (40, 10), (10, 10), (10, 40), (40, 40)]
            .into_iter()
            .chain([(40, 25), (50, 25), (50, 50), (0, 50)])
            .map(|(x, y)| Spot::new(x, y))
            .collect::<Ring>();
        let forbidden = no_fit(&ring, &boxed(Spot::new(0, 0), Spot::new(20, 20)));
        assert_eq!((forbidden.len(), forbidden[0].holes.len()), (1, 1));
        assert_eq!(extent(&forbidden[0].holes[0]), (Spot::new(10, 10), Spot::new(20, 20)));
    }
}
