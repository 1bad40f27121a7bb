//! A part with its half turn, groups of them, and their endless repeats.

use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::orientation::Orientation;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::sides;
use crate::nest::shape::polygon::strictly_within;

/// Parts in a fixed arrangement: index into the kin, and origin.
pub(super) type Group = Vec<(usize, Spot)>;

/// A part in one orientation and, where it is allowed, at the half turn from there.
pub(super) struct Kin {
    /// Indices of the orientations.
    pub(super) orientations: Vec<usize>,
    pub(super) shapes: Vec<Ring>,
    /// The forbidden region of the second, seen from the first.
    pub(super) forbidden: Vec<Vec<Vec<Ring>>>,
}

/// A group, repeated along `u` and `v` without end.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Repeat {
    pub(super) group: Group,
    pub(super) u: Spot,
    pub(super) v: Spot,
}

impl Kin {
    pub(super) fn new(orientations: &[(Orientation, Ring)], which: Vec<usize>) -> Self {
        let shapes: Vec<Ring> = which.iter().map(|t| orientations[*t].1.clone()).collect();
        let contours = |a: &Ring, b: &Ring| no_fit(a, b).into_iter().map(|p| p.contour).collect();
        let forbidden =
            shapes.iter().map(|a| shapes.iter().map(|b| contours(a, b)).collect()).collect();
        Self { orientations: which, shapes, forbidden }
    }

    /// Part and half turn, touching: at every corner of the forbidden region and, `spacing`
    /// apart, along its edges. Empty without a half turn.
    pub(super) fn pairs(&self, spacing: f64) -> Vec<Group> {
        let Some(rings) = self.forbidden[0].get(1) else { return Vec::new() };
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

    /// Perimeter of the forbidden region.
    pub(super) fn perimeter(&self) -> f64 {
        let rings = self.forbidden[0].last().into_iter().flatten();
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
        self.forbidden[first][second].iter().any(|ring| strictly_within(ring, to))
    }
}

impl Repeat {
    /// Area for each part, in µm².
    pub(super) fn cell(&self) -> f64 {
        let (u, v) = (self.u, self.v);
        (u.x as f64 * v.y as f64 - u.y as f64 * v.x as f64).abs() / self.group.len() as f64
    }

    /// Whether no two of its parts overlap.
    pub(super) fn is_disjoint(&self, kin: &Kin) -> bool {
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
        // Further steps along one vector, by Cramer's rule with the other, leave the box.
        let steps = |other: Spot| {
            let reach = wide as f64 * other.y.abs() as f64 + high as f64 * other.x.abs() as f64;
            (reach / (self.cell() * self.group.len() as f64)).ceil() as i64
        };
        let (max_i, max_j) = (steps(self.v), steps(self.u));
        (0..=max_i).all(|i| (-max_j..=max_j).all(|j| apart(i, j)))
    }
}
