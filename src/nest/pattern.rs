//! Patterns of many equal parts: rows and columns, plain or head to tail, and the densest
//! lattices of a part and its half turn, cut to the room there is.
//!
//! Lengths are micrometres. Shapes come grown by half the gap, so they may touch.
//! Distances are searched in floating point; whether a pattern holds is decided with
//! whole numbers on the no-fit polygons, so one that is handed out has no overlap.

mod barred;
mod cut;
mod lattice;
mod rows;

use crate::nest::nfp::no_fit;
use crate::nest::shape::Ring;
use crate::nest::shape::Spot;
use crate::nest::shape::extent;
use crate::nest::shape::sides;
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
/// `turns` are the shapes at the turns allowed, as quarter turns and rings. Empty when the
/// part does not fit the room.
pub(super) fn patterns(turns: &[(u8, Ring)], height: i64, goal: Goal) -> Vec<Vec<Laid>> {
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

/// The area of the densest repeat found of a part, in µm² for each part: what no layout of
/// very many was seen to undercut. Not a proven bound.
pub(super) fn densest(turns: &[(u8, Ring)]) -> Option<f64> {
    let kins = kins(turns);
    let cells = kins.iter().flat_map(lattice::lattices).map(|r| r.cell());
    cells.reduce(f64::min)
}

fn kins(turns: &[(u8, Ring)]) -> Vec<Kin> {
    let at = |quarter: u8| turns.iter().position(|(q, _)| *q == quarter);
    let pair = |first: u8| {
        let found: Vec<usize> = [at(first), at(first + 2)].into_iter().flatten().collect();
        (!found.is_empty()).then(|| Kin::new(turns, found))
    };
    [0, 1].into_iter().filter_map(pair).collect()
}

impl Kin {
    fn new(turns: &[(u8, Ring)], which: Vec<usize>) -> Self {
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

/// Whether a point lies in a ring and not on it. Exact.
fn strictly_within(ring: &[Spot], at: Spot) -> bool {
    let mut inside = false;
    for (a, b) in sides(ring) {
        let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
        let side = at.side(low, high);
        let beside =
            (low.y..=high.y).contains(&at.y) && (a.x.min(b.x)..=a.x.max(b.x)).contains(&at.x);
        if side == 0 && beside {
            return false;
        }
        if low.y <= at.y && at.y < high.y && side > 0 {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(i64, i64)]) -> Ring {
        corners.iter().map(|(x, y)| Spot::new(x * 1000, y * 1000)).collect()
    }

    /// The ring at all quarter turns.
    fn quarters(ring: &Ring) -> Vec<(u8, Ring)> {
        let turn = |s: &Spot| Spot::new(-s.y, s.x);
        let mut turns = vec![(0, ring.clone())];
        for quarter in 1..4 {
            let last: Ring = turns[turns.len() - 1].1.iter().map(turn).collect();
            turns.push((quarter, last));
        }
        turns
    }

    #[test]
    fn look() {
        // scratch
        let t =
            ring(&[(0, 0), (30, 0), (30, 60), (55, 60), (55, 90), (-25, 90), (-25, 60), (0, 60)]);
        let u = ring(&[(0, 0), (90, 0), (90, 70), (67, 70), (67, 25), (23, 25), (23, 70), (0, 70)]);
        let g = ring(&[(0, 0), (130, 0), (140, 10), (140, 20), (30, 100), (10, 100), (0, 90)]);
        let l = ring(&[(0, 0), (120, 0), (120, 72), (112, 80), (8, 80), (0, 72)]);
        for (name, r) in [("T", t), ("U", u), ("gusset", g), ("L", l)] {
            let outline = crate::geom::Outline::new(
                r.iter()
                    .map(|s| crate::geom::Vertex::sharp(s.x as f64 / 1000.0, s.y as f64 / 1000.0)),
            )
            .unwrap();
            let area = outline.area() * 1e6;
            let grown =
                crate::nest::shape::grown(&outline, 1.5, crate::geom::Point::ZERO).unwrap().rim;
            let turns = quarters(&grown);
            let start = std::time::Instant::now();
            let cell = densest(&turns).unwrap();
            eprintln!("{name}: lattice {:.2} % {:?}", 100.0 * area / cell, start.elapsed());
            for (count, height) in [(60, 600_000), (240, 1_219_000)] {
                let start = std::time::Instant::now();
                let found = patterns(&turns, height + 3000, Goal::Shortest(count));
                let end = |laid: &Vec<Laid>| {
                    let right = |l: &Laid| l.at.x + extent(&turns[l.turn].1).1.x;
                    (laid.iter().map(right).max().unwrap() - 3000) as f64 / 1000.0
                };
                eprintln!(
                    "  x{count}: {:?} {:?}",
                    found.iter().map(end).collect::<Vec<_>>(),
                    start.elapsed()
                );
                let kins = kins(&turns);
                for k in &kins {
                    for (what, r) in [
                        ("col", rows::columns(k, height + 3000)),
                        ("row", rows::rows(k, height + 3000)),
                        ("lat", lattice::lattices(k)),
                    ] {
                        let c: Vec<_> = r
                            .iter()
                            .filter(|r| r.holds(k))
                            .filter_map(|r| cut::cut(k, r, height + 3000, Goal::Shortest(count)))
                            .map(|c| c.0 as f64 / 1000.0 - 3.0)
                            .collect();
                        eprintln!(
                            "     {what}: {} hold of {}, best {:?}",
                            c.len(),
                            r.len(),
                            c.iter().copied().reduce(f64::min)
                        );
                    }
                }
            }
        }
    }
}
