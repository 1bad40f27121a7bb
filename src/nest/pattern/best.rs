//! The best patterns of one part for a sheet.

use crate::nest::pattern::cut::Goal;
use crate::nest::pattern::cut::PatternPart;
use crate::nest::pattern::cut::cut;
use crate::nest::pattern::kin::Kin;
use crate::nest::pattern::kin::Repeat;
use crate::nest::pattern::lattice;
use crate::nest::pattern::rows;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::orientation::Orientation;
use crate::nest::shape::polygon::Ring;
use crate::num::Angle;
use rayon::prelude::*;

/// The repeats of one part for rooms of one height.
pub(super) struct Repeats {
    height: i64,
    kins: Vec<(Kin, Vec<Repeat>)>,
}

impl Repeats {
    /// `orientations` are the shapes in the orientations allowed, those of one skew adjacent.
    pub(super) fn new(orientations: &[(Orientation, Ring)], height: i64, stop: &Stop) -> Self {
        let with_repeats = |kin: Kin| {
            let repeats = repeats(&kin, height, stop);
            (kin, repeats)
        };
        Self { height, kins: kins(orientations).into_par_iter().map(with_repeats).collect() }
    }

    /// Patterns of the part, the best first, each from left to right. Empty when the part does not
    /// fit the room.
    pub(super) fn patterns(&self, goal: Goal, stop: &Stop) -> Vec<Vec<PatternPart>> {
        let all: Vec<(&Kin, &Repeat)> =
            self.kins.iter().flat_map(|(kin, of)| of.iter().map(move |r| (kin, r))).collect();
        let cuts = all.par_iter().filter_map(|(kin, r)| cut(kin, r, self.height, goal, stop));
        let mut found: Vec<(i64, Vec<PatternPart>)> = cuts.collect();
        found.sort();
        found.dedup();
        found.truncate(MAX_PATTERNS);
        found.into_iter().map(|(_, pattern)| pattern).collect()
    }
}

/// Maximum number of patterns of one part. Our choice.
const MAX_PATTERNS: usize = 8;

fn kins(orientations: &[(Orientation, Ring)]) -> Vec<Kin> {
    let at = |skew: Angle, quarters: u8| {
        orientations
            .iter()
            .position(|(orientation, _)| *orientation == Orientation { skew, quarters })
    };
    let pair = |skew: Angle, first: u8| {
        let found = [at(skew, first), at(skew, first + 2)];
        let found: Vec<usize> = found.into_iter().flatten().collect();
        (!found.is_empty()).then(|| Kin::new(orientations, found))
    };
    let skews = orientations.chunk_by(|a, b| a.0.skew == b.0.skew).map(|of_skew| of_skew[0].0.skew);
    skews.flat_map(|skew| [0, 1].into_iter().filter_map(move |q| pair(skew, q))).collect()
}

/// All repeats worth cutting to a room of that height.
fn repeats(kin: &Kin, height: i64, stop: &Stop) -> Vec<Repeat> {
    let mut repeats = rows::columns(kin, height, stop);
    repeats.extend(rows::rows(kin, height, stop));
    repeats.extend(lattice::lattices(kin, stop));
    repeats.retain(|r| !stop.now() && r.is_disjoint(kin));
    repeats
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::Vertex;
    use crate::nest::problem::item::Item;
    use crate::nest::problem::layout::Placed;
    use crate::nest::problem::rules::Rules;
    use crate::nest::problem::stock::Stock;
    use crate::nest::shape::grown::grown;
    use crate::nest::shape::polygon::GRID;
    use crate::nest::shape::polygon::Spot;
    use crate::nest::shape::polygon::double_area;
    use crate::nest::shape::polygon::extent;
    use crate::nest::value::audit::survey;
    use proptest::prelude::*;

    const TEE: &[(i64, i64)] =
        &[(0, 0), (28, 0), (28, 58), (52, 58), (52, 86), (-24, 86), (-24, 58), (0, 58)];
    const END: &[(i64, i64)] =
        &[(0, 0), (88, 0), (88, 68), (66, 68), (66, 26), (22, 26), (22, 68), (0, 68)];
    const GUSSET: &[(i64, i64)] =
        &[(0, 0), (125, 0), (134, 9), (134, 19), (28, 96), (10, 96), (0, 86)];

    fn ring(corners: &[(i64, i64)]) -> Ring {
        corners.iter().map(|(x, y)| Spot::new(x * 1000, y * 1000)).collect()
    }

    fn rotated(ring: &Ring, quarter: u8) -> Ring {
        let rotate = |ring: Ring| ring.iter().map(|s| Spot::new(-s.y, s.x)).collect();
        (0..quarter).fold(ring.clone(), |ring, _| rotate(ring))
    }

    fn at(ring: &Ring, quarters: &[u8]) -> Vec<(Orientation, Ring)> {
        let orientation = |q: &u8| Orientation { skew: Angle::ZERO, quarters: *q };
        quarters.iter().map(|q| (orientation(q), rotated(ring, *q))).collect()
    }

    fn outline(corners: &[(i64, i64)]) -> Outline {
        Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x as f64, *y as f64))).unwrap()
    }

    fn patterns(
        orientations: &[(Orientation, Ring)],
        height: i64,
        goal: Goal,
    ) -> Vec<Vec<PatternPart>> {
        let stop = Stop::never();
        Repeats::new(orientations, height, &stop).patterns(goal, &stop)
    }

    /// The area for each part in the densest repeat found, in µm².
    fn densest(orientations: &[(Orientation, Ring)]) -> Option<f64> {
        let kins = kins(orientations);
        let stop = Stop::never();
        let cells = kins.iter().flat_map(|kin| lattice::lattices(kin, &stop)).map(|r| r.cell());
        cells.reduce(f64::min)
    }

    /// The right end of a pattern.
    fn end(orientations: &[(Orientation, Ring)], pattern: &[PatternPart]) -> i64 {
        pattern.iter().map(|l| l.at.x + extent(&orientations[l.orientation].1).1.x).max().unwrap()
    }

    #[test]
    fn a_shape_that_tiles_the_plane_has_no_waste() {
        let upright: &[u8] = &[0];
        let both: &[u8] = &[0, 2];
        for (name, corners, orientations) in [
            ("square", vec![(0, 0), (40, 0), (40, 40), (0, 40)], upright),
            ("triangle", vec![(0, 0), (70, 0), (20, 40)], both),
            ("trapezium", vec![(0, 0), (70, 0), (50, 30), (10, 30)], both),
            ("four with unequal sides", vec![(0, 0), (60, 10), (50, 50), (5, 35)], both),
            (
                "corner of three squares",
                vec![(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)],
                both,
            ),
            (
                "cross of five squares",
                vec![
                    (10, 0),
                    (20, 0),
                    (20, 10),
                    (30, 10),
                    (30, 20),
                    (20, 20),
                    (20, 30),
                    (10, 30),
                    (10, 20),
                    (0, 20),
                    (0, 10),
                    (10, 10),
                ],
                upright,
            ),
        ] {
            let ring = ring(&corners);
            let area = double_area(&ring) as f64 / 2.0;
            let cell = densest(&at(&ring, orientations)).unwrap();
            // Slanting contacts are rounded away from each other by a micrometre or two.
            assert!((area..area * 1.0005).contains(&cell), "{name}: {:.5}", area / cell);
        }
    }

    #[test]
    fn a_half_turn_makes_a_gusset_denser_and_a_quarter_turn_changes_nothing() {
        let gusset = ring(GUSSET);
        let area = double_area(&gusset) as f64 / 2.0;
        let density = |orientations: &[u8]| area / densest(&at(&gusset, orientations)).unwrap();
        assert!(density(&[0]) < 0.85, "{}", density(&[0]));
        assert!(density(&[0, 2]) > 0.97, "{}", density(&[0, 2]));
        assert!((density(&[1, 3]) - density(&[0, 2])).abs() < 0.005);
    }

    /// No lattice is denser than the part with half the gap round it.
    #[test]
    fn densities_stay_below_the_bound_of_areas() {
        for (corners, min) in [(TEE, 0.87), (END, 0.78), (GUSSET, 0.91)] {
            let (outline, gap) = (outline(corners), 3.0);
            let grown = grown(&outline, gap / 2.0, Point::ZERO).unwrap().contour;
            let bound = outline.area() / (double_area(&grown) as f64 / 2.0 / (GRID * GRID));
            let density = outline.area() * GRID * GRID / densest(&at(&grown, &[0, 2])).unwrap();
            assert!((min..=bound).contains(&density), "{density:.4} of {bound:.4}");
        }
    }

    #[test]
    fn plates_made_to_measure_fill_their_room() {
        let plate = at(&ring(&[(0, 0), (50, 0), (50, 20), (0, 20)]), &[0, 1]);
        let best = &patterns(&plate, 100_000, Goal::Shortest(30))[0];
        assert_eq!((best.len(), end(&plate, best)), (30, 300_000));
        let best = &patterns(&plate, 100_000, Goal::Most(249_999))[0];
        // Ten upright columns leave room for one more, four columns lengthwise for less.
        assert_eq!(best.len(), 24);
        assert_eq!(patterns(&plate, 19_999, Goal::Shortest(1)), Vec::<Vec<PatternPart>>::new());
        assert_eq!(patterns(&plate, 100_000, Goal::Most(19_999)), Vec::<Vec<PatternPart>>::new());
        // Too high when it may not be rotated.
        assert_eq!(
            patterns(&plate[1..], 49_999, Goal::Shortest(1)),
            Vec::<Vec<PatternPart>>::new()
        );
    }

    /// Makes a layout of the pattern and measures it with true lines.
    fn audited(outline: &Outline, quarters: &[u8], height: f64, count: usize) -> f64 {
        let gap = 3.0;
        let grown = grown(outline, gap / 2.0, Point::ZERO).unwrap().contour;
        let orientations = at(&grown, quarters);
        let room = ((height + gap) * GRID) as i64;
        let found = patterns(&orientations, room, Goal::Shortest(count));
        assert!(!found.is_empty());
        let items = [Item::new(Region::solid(outline.clone()), count as u32)];
        let stock = Stock::whole(1e6, height).unwrap();
        for pattern in &found {
            assert_eq!(pattern.len(), count);
            let placed = pattern.iter().map(|l| {
                let rotation = orientations[l.orientation].0.angle();
                let shift = |s: i64| s as f64 / GRID - gap / 2.0;
                Placed {
                    item: 0,
                    place: Place::rotated(rotation, Point::new(shift(l.at.x), shift(l.at.y))),
                }
            });
            let placed: Vec<Placed> = placed.collect();
            let rules = Rules { gap, ..Rules::default() };
            if let Err(flaw) = survey(&items, &stock, &rules, &placed) {
                panic!("{flaw}: {placed:?}");
            }
        }
        end(&orientations, &found[0]) as f64 / GRID - gap
    }

    #[test]
    fn brackets_are_placed_close_and_keep_their_gap() {
        for (corners, height, count, max) in
            [(TEE, 300.0, 24, 500.0), (END, 300.0, 24, 560.0), (GUSSET, 400.0, 24, 700.0)]
        {
            let outline = outline(corners);
            let length = audited(&outline, &[0, 1, 2, 3], height, count);
            let density = outline.area() * count as f64 / (height * length);
            assert!(length < max, "{length} mm, density {density:.3}");
        }
    }

    /// A star with a number of corners at random distances: simple, with bays.
    fn star(reaches: &[i64]) -> Option<Outline> {
        let n = reaches.len() as f64;
        let corner = |(i, r): (usize, &i64)| {
            let a = Angle::from_degrees(360.0 * i as f64 / n + 7.0);
            Vertex::sharp(*r as f64 * a.cos(), *r as f64 * a.sin())
        };
        Outline::new(reaches.iter().enumerate().map(corner)).ok()
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

        #[test]
        fn every_pattern_of_any_shape_passes_the_audit(
            reaches in prop::collection::vec(10i64..60, 3..9),
            height in 130.0..500.0f64,
            count in 1usize..40,
        ) {
            let outline = star(&reaches);
            prop_assume!(outline.is_some());
            audited(&outline.unwrap(), &[0, 1, 2, 3], height.round(), count);
        }
    }
}
