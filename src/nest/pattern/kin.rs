//! A part with its half turn, groups of these, and their endless repeats.

use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::orientation::Turn;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::sides;
use crate::nest::shape::polygon::strictly_within;

/// Parts that keep their places to each other: by index into the kin, where its origin is.
pub(super) type Group = Vec<(usize, Spot)>;

/// A part at one turn and, where it is allowed, at the half turn from there.
pub(super) struct Kin {
    /// Indices into the turns given.
    pub(super) turns: Vec<usize>,
    pub(super) shapes: Vec<Ring>,
    /// Where the second must not lie, seen from the first.
    pub(super) barred: Vec<Vec<Vec<Ring>>>,
}

/// A group, repeated along `u` and `v` without end.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Repeat {
    pub(super) group: Group,
    pub(super) u: Spot,
    pub(super) v: Spot,
}

impl Kin {
    pub(super) fn new(turns: &[(Turn, Ring)], which: Vec<usize>) -> Self {
        let shapes: Vec<Ring> = which.iter().map(|t| turns[*t].1.clone()).collect();
        let rims = |a: &Ring, b: &Ring| no_fit(a, b).into_iter().map(|p| p.rim).collect();
        let barred = shapes.iter().map(|a| shapes.iter().map(|b| rims(a, b)).collect()).collect();
        Self { turns: which, shapes, barred }
    }

    /// Part and half turn, touching: at every corner of what is barred and, `spacing`
    /// apart, along its edges. Empty without a half turn.
    pub(super) fn pairs(&self, spacing: f64) -> Vec<Group> {
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
    pub(super) fn way_round(&self) -> f64 {
        let rings = self.barred[0].last().into_iter().flatten();
        let length =
            |(a, b): (Spot, Spot)| crate::num::hypot((b.x - a.x) as f64, (b.y - a.y) as f64);
        rings.flat_map(|ring| sides(ring)).map(length).sum()
    }

    /// The lower left and upper right corner of the box round a group.
    pub(super) fn extent(&self, group: &Group) -> (Spot, Spot) {
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
    pub(super) fn overlaps(&self, first: usize, second: usize, to: Spot) -> bool {
        self.barred[first][second].iter().any(|ring| strictly_within(ring, to))
    }
}

impl Repeat {
    /// Area for each part, in µm².
    pub(super) fn cell(&self) -> f64 {
        let (u, v) = (self.u, self.v);
        (u.x as f64 * v.y as f64 - u.y as f64 * v.x as f64).abs() / self.group.len() as f64
    }

    /// Whether no two of its parts overlap.
    pub(super) fn holds(&self, kin: &Kin) -> bool {
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
