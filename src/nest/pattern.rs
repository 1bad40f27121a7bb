//! Patterns of many equal parts: rows and columns, plain or head to tail, and the densest
//! lattices of a part and its half turn, cut to the room there is.
//!
//! Lengths are micrometres. Shapes come grown by half the gap, so they may touch.
//! Distances are searched in floating point; whether a pattern holds is decided with
//! whole numbers on the no-fit polygons, so one that is handed out has no overlap.

mod barred;
mod coarse;
mod cut;
mod fill;
mod lattice;
mod rows;
mod start;
mod table;

pub(super) use fill::top_up;
pub(super) use start::start;

use crate::nest::nfp::no_fit;
use crate::nest::shape::Ring;
use crate::nest::shape::Spot;
use crate::nest::shape::extent;
use crate::nest::shape::sides;
use crate::nest::shape::strictly_within;
use crate::nest::turn::Turn;
use crate::num::Angle;
use rayon::prelude::*;

/// Parts that keep their places to each other: by index into the kin, where its origin is.
type Group = Vec<(usize, Spot)>;

/// A part at one turn and, where it is allowed, at the half turn from there.
struct Kin {
    /// Indices into the turns given.
    turns: Vec<usize>,
    shapes: Vec<Ring>,
    /// Where the second must not lie, seen from the first.
    barred: Vec<Vec<Vec<Ring>>>,
}

/// A group, repeated along `u` and `v` without end.
#[derive(Clone, Debug, PartialEq)]
struct Repeat {
    group: Group,
    u: Spot,
    v: Spot,
}

/// One part of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Laid {
    /// Where its origin lies; the room has its lower left corner at 0, 0.
    pub(super) at: Spot,
    /// Which of the turns given.
    pub(super) turn: usize,
}

/// What a pattern is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goal {
    /// So many parts on the least length.
    Shortest(usize),
    /// As many parts as go on a length.
    Most(i64),
}

/// Patterns of one part for a room `height` high, the best first, each from left to right.
///
/// `turns` are the shapes at the turns allowed, those of one lean together. Empty when the
/// part does not fit the room.
pub(super) fn patterns(turns: &[(Turn, Ring)], height: i64, goal: Goal) -> Vec<Vec<Laid>> {
    let mut cut: Vec<(i64, Vec<Laid>)> = kins(turns)
        .into_par_iter()
        .flat_map_iter(|kin| {
            let repeats = kin.repeats(height);
            let cuts: Vec<_> =
                repeats.par_iter().filter_map(|r| cut::cut(&kin, r, height, goal)).collect();
            cuts
        })
        .collect();
    cut.sort();
    cut.dedup();
    cut.truncate(MOST_PATTERNS);
    cut.into_iter().map(|(_, laid)| laid).collect()
}

/// Of each part no more patterns than this are handed out.
const MOST_PATTERNS: usize = 8;

fn kins(turns: &[(Turn, Ring)]) -> Vec<Kin> {
    let at = |lean: Angle, quarters: u8| {
        turns.iter().position(|(turn, _)| *turn == Turn { lean, quarters })
    };
    let pair = |lean: Angle, first: u8| {
        let found = [at(lean, first), at(lean, first + 2)];
        let found: Vec<usize> = found.into_iter().flatten().collect();
        (!found.is_empty()).then(|| Kin::new(turns, found))
    };
    let leans = turns.chunk_by(|a, b| a.0.lean == b.0.lean).map(|of_lean| of_lean[0].0.lean);
    leans.flat_map(|lean| [0, 1].into_iter().filter_map(move |q| pair(lean, q))).collect()
}

impl Kin {
    fn new(turns: &[(Turn, Ring)], which: Vec<usize>) -> Self {
        let shapes: Vec<Ring> = which.iter().map(|t| turns[*t].1.clone()).collect();
        let rims = |a: &Ring, b: &Ring| no_fit(a, b).into_iter().map(|p| p.rim).collect();
        let barred = shapes.iter().map(|a| shapes.iter().map(|b| rims(a, b)).collect()).collect();
        Self { turns: which, shapes, barred }
    }

    /// All repeats worth cutting to a room of that height.
    fn repeats(&self, height: i64) -> Vec<Repeat> {
        let mut repeats = rows::columns(self, height);
        repeats.extend(rows::rows(self, height));
        repeats.extend(lattice::lattices(self));
        repeats.retain(|r| r.holds(self));
        repeats
    }

    /// Part and half turn, touching: at every corner of what is barred and, `spacing`
    /// apart, along its edges. Empty without a half turn.
    fn pairs(&self, spacing: f64) -> Vec<Group> {
        let Some(rings) = self.barred[0].get(1) else { return Vec::new() };
        let mut pairs = Vec::new();
        for (a, b) in rings.iter().flat_map(|ring| sides(ring)) {
            let (x, y) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
            let pieces = (crate::num::hypot(x, y) / spacing).ceil().max(1.0);
            for i in 0..pieces as i64 {
                let share = i as f64 / pieces;
                let along = Spot::new((x * share).round() as i64, (y * share).round() as i64);
                pairs.push(vec![(0, Spot::default()), (1, a + along)]);
            }
        }
        pairs
    }

    /// Length of the way round what is barred.
    fn way_round(&self) -> f64 {
        let rings = self.barred[0].last().into_iter().flatten();
        let length =
            |(a, b): (Spot, Spot)| crate::num::hypot((b.x - a.x) as f64, (b.y - a.y) as f64);
        rings.flat_map(|ring| sides(ring)).map(length).sum()
    }

    /// The lower left and upper right corner of the box round a group.
    fn extent(&self, group: &Group) -> (Spot, Spot) {
        let corners: Vec<Spot> = group
            .iter()
            .flat_map(|(shape, at)| {
                let (low, high) = extent(&self.shapes[*shape]);
                [low + *at, high + *at]
            })
            .collect();
        extent(&corners)
    }

    /// Whether the second part at `to`, seen from the first, overlaps it.
    fn overlaps(&self, first: usize, second: usize, to: Spot) -> bool {
        self.barred[first][second].iter().any(|ring| strictly_within(ring, to))
    }
}

impl Repeat {
    /// Area for each part, in µm².
    fn cell(&self) -> f64 {
        let (u, v) = (self.u, self.v);
        (u.x as f64 * v.y as f64 - u.y as f64 * v.x as f64).abs() / self.group.len() as f64
    }

    /// Whether no two of its parts overlap.
    fn holds(&self, kin: &Kin) -> bool {
        let (low, high) = kin.extent(&self.group);
        let (wide, high) = (high.x - low.x, high.y - low.y);
        if self.cell() < 1.0 {
            return false;
        }
        let apart = |i: i64, j: i64| {
            let by = Spot::new(i * self.u.x + j * self.v.x, i * self.u.y + j * self.v.y);
            let far = by.x.abs() > wide || by.y.abs() > high;
            far || self.group.iter().all(|(a, at)| {
                self.group.iter().all(|(b, to)| {
                    ((i, j) == (0, 0) && (a, at) == (b, to))
                        || !kin.overlaps(*a, *b, *to + by - *at)
                })
            })
        };
        // No more steps along the one, by Cramer's rule with the other, stay within the box.
        let steps = |other: Spot| {
            let reach = wide as f64 * other.y.abs() as f64 + high as f64 * other.x.abs() as f64;
            (reach / (self.cell() * self.group.len() as f64)).ceil() as i64
        };
        let (most_i, most_j) = (steps(self.v), steps(self.u));
        (0..=most_i).all(|i| (-most_j..=most_j).all(|j| apart(i, j)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::Vertex;
    use crate::nest::Item;
    use crate::nest::Placed;
    use crate::nest::Rules;
    use crate::nest::Stock;
    use crate::nest::audit::survey;
    use crate::nest::shape::GRID;
    use crate::nest::shape::double_area;
    use crate::nest::shape::grown;
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

    fn turned(ring: &Ring, quarter: u8) -> Ring {
        let turn = |ring: Ring| ring.iter().map(|s| Spot::new(-s.y, s.x)).collect();
        (0..quarter).fold(ring.clone(), |ring, _| turn(ring))
    }

    fn at(ring: &Ring, quarters: &[u8]) -> Vec<(Turn, Ring)> {
        let turn = |q: &u8| Turn { lean: Angle::ZERO, quarters: *q };
        quarters.iter().map(|q| (turn(q), turned(ring, *q))).collect()
    }

    fn outline(corners: &[(i64, i64)]) -> Outline {
        Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x as f64, *y as f64))).unwrap()
    }

    /// The area for each part in the densest repeat found, in µm².
    fn densest(turns: &[(Turn, Ring)]) -> Option<f64> {
        let kins = kins(turns);
        let cells = kins.iter().flat_map(lattice::lattices).map(|r| r.cell());
        cells.reduce(f64::min)
    }

    /// The right end of a pattern.
    fn end(turns: &[(Turn, Ring)], laid: &[Laid]) -> i64 {
        laid.iter().map(|l| l.at.x + extent(&turns[l.turn].1).1.x).max().unwrap()
    }

    #[test]
    fn what_tiles_the_plane_is_laid_without_loss() {
        let upright: &[u8] = &[0];
        let both: &[u8] = &[0, 2];
        for (name, corners, turns) in [
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
            let cell = densest(&at(&ring, turns)).unwrap();
            // Slanting contacts are rounded away from each other by a micrometre or two.
            assert!((area..area * 1.0005).contains(&cell), "{name}: {:.5}", area / cell);
        }
    }

    #[test]
    fn a_half_turn_makes_a_gusset_denser_and_a_quarter_turn_changes_nothing() {
        let gusset = ring(GUSSET);
        let area = double_area(&gusset) as f64 / 2.0;
        let density = |turns: &[u8]| area / densest(&at(&gusset, turns)).unwrap();
        assert!(density(&[0]) < 0.85, "{}", density(&[0]));
        assert!(density(&[0, 2]) > 0.97, "{}", density(&[0, 2]));
        assert!((density(&[1, 3]) - density(&[0, 2])).abs() < 0.005);
    }

    /// No lattice is denser than the part with half the gap round it.
    #[test]
    fn densities_stay_below_the_bound_of_areas() {
        for (corners, least) in [(TEE, 0.87), (END, 0.78), (GUSSET, 0.91)] {
            let (outline, gap) = (outline(corners), 3.0);
            let grown = grown(&outline, gap / 2.0, Point::ZERO).unwrap().rim;
            let bound = outline.area() / (double_area(&grown) as f64 / 2.0 / (GRID * GRID));
            let density = outline.area() * GRID * GRID / densest(&at(&grown, &[0, 2])).unwrap();
            assert!((least..=bound).contains(&density), "{density:.4} of {bound:.4}");
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
        assert_eq!(patterns(&plate, 19_999, Goal::Shortest(1)), Vec::<Vec<Laid>>::new());
        assert_eq!(patterns(&plate, 100_000, Goal::Most(19_999)), Vec::<Vec<Laid>>::new());
        // Too high when it may not be turned.
        assert_eq!(patterns(&plate[1..], 49_999, Goal::Shortest(1)), Vec::<Vec<Laid>>::new());
    }

    /// Lays the pattern out as a job and has it measured with true lines.
    fn audited(outline: &Outline, quarters: &[u8], height: f64, count: usize) -> f64 {
        let gap = 3.0;
        let grown = grown(outline, gap / 2.0, Point::ZERO).unwrap().rim;
        let turns = at(&grown, quarters);
        let room = ((height + gap) * GRID) as i64;
        let found = patterns(&turns, room, Goal::Shortest(count));
        assert!(!found.is_empty());
        let items = [Item::new(Region::solid(outline.clone()), count as u32)];
        let stock = Stock::whole(1e6, height).unwrap();
        for laid in &found {
            assert_eq!(laid.len(), count);
            let placed = laid.iter().map(|l| {
                let turn = turns[l.turn].0.angle();
                let shift = |s: i64| s as f64 / GRID - gap / 2.0;
                Placed {
                    item: 0,
                    place: Place::turned(turn, Point::new(shift(l.at.x), shift(l.at.y))),
                }
            });
            let placed: Vec<Placed> = placed.collect();
            let rules = Rules { gap, ..Rules::default() };
            if let Err(flaw) = survey(&items, &stock, &rules, &placed) {
                panic!("{flaw}: {placed:?}");
            }
        }
        end(&turns, &found[0]) as f64 / GRID - gap
    }

    #[test]
    fn brackets_are_laid_close_and_keep_their_gap() {
        for (corners, height, count, most) in
            [(TEE, 300.0, 24, 500.0), (END, 300.0, 24, 560.0), (GUSSET, 400.0, 24, 700.0)]
        {
            let outline = outline(corners);
            let length = audited(&outline, &[0, 1, 2, 3], height, count);
            let density = outline.area() * count as f64 / (height * length);
            assert!(length < most, "{length} mm, density {density:.3}");
        }
    }

    /// A star with so many corners at random distances: simple, with bays.
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
