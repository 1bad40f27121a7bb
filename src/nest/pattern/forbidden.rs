//! The forbidden region of a copy of a group of parts, seen from another copy.

use crate::nest::pattern::kin::Group;
use crate::nest::pattern::kin::Kin;
use crate::nest::shape::polygon::Spot;

/// Closed lines in micrometres, in which the origin of the second group must not be.
///
/// Only their far sides are asked for, so free positions within or behind them are not found.
#[derive(Clone, Debug)]
pub(super) struct Forbidden(Vec<Line>);

#[derive(Clone, Debug)]
struct Line {
    corners: Vec<(f64, f64)>,
    low: f64,
    high: f64,
    max: f64,
}

impl Forbidden {
    /// The forbidden region of `b` beside `a`.
    pub(super) fn between(kin: &Kin, a: &Group, b: &Group) -> Self {
        let mut lines = Vec::with_capacity(a.len() * b.len());
        for (first, at) in a {
            for (second, to) in b {
                let shift = *at - *to;
                for ring in &kin.forbidden[*first][*second] {
                    let corner = |s: &Spot| ((s.x + shift.x) as f64, (s.y + shift.y) as f64);
                    lines.push(Line::new(ring.iter().map(corner).collect()));
                }
            }
        }
        Self::sorted(lines)
    }

    /// Those that reach furthest first: most of the others need no closer look then.
    fn sorted(mut lines: Vec<Line>) -> Self {
        lines.sort_by(|a, b| b.max.total_cmp(&a.max));
        Self(lines)
    }

    /// With x and y exchanged.
    pub(super) fn swapped(&self) -> Self {
        self.mapped(|(x, y)| (y, x))
    }

    /// Slanted so that a line which runs `slope` to the right for each step up is upright.
    pub(super) fn upright(&self, slope: f64) -> Self {
        self.mapped(|(x, y)| (x - slope * y, y))
    }

    fn mapped(&self, map: impl Fn((f64, f64)) -> (f64, f64)) -> Self {
        let mapped = |line: &Line| Line::new(line.corners.iter().map(|p| map(*p)).collect());
        Self::sorted(self.0.iter().map(mapped).collect())
    }

    /// The corners.
    pub(super) fn corners(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.0.iter().flat_map(|line| &line.corners).copied()
    }

    /// The edges.
    pub(super) fn sides(&self) -> impl Iterator<Item = ((f64, f64), (f64, f64))> + '_ {
        let sides = |line: &Line| {
            let corners = line.corners.clone();
            let n = corners.len();
            (0..n).map(move |i| (corners[i], corners[(i + 1) % n]))
        };
        self.0.iter().flat_map(sides)
    }

    /// How far to the right of an upright row of the first group, which repeats every
    /// `period`, a like row of the second must start when it is `up` higher.
    pub(super) fn step(&self, up: f64, period: f64) -> f64 {
        let mut far = 0.0_f64;
        for line in &self.0 {
            let mut level = up + ((line.low - up) / period).ceil() * period;
            while level <= line.high && line.max > far {
                far = far.max(line.far_side(level));
                level += period;
            }
        }
        far
    }

    /// The least upright period of one group.
    pub(super) fn period(&self) -> f64 {
        self.swapped().0.iter().map(|line| line.far_side(0.0)).fold(0.0, f64::max)
    }
}

impl Line {
    fn new(corners: Vec<(f64, f64)>) -> Self {
        let (mut low, mut high, mut max) = (f64::MAX, f64::MIN, f64::MIN);
        for (x, y) in &corners {
            (low, high, max) = (low.min(*y), high.max(*y), max.max(*x));
        }
        Self { corners, low, high, max }
    }

    /// The most x at a level, where it can be left neither upward nor downward: along its
    /// upper and lower edges it may be touched.
    fn far_side(&self, level: f64) -> f64 {
        let (mut above, mut below) = (f64::MIN, f64::MIN);
        let mut from = &self.corners[self.corners.len() - 1];
        for to in &self.corners {
            let (low, high) = if from.1 < to.1 { (from, to) } else { (to, from) };
            if low.1 <= level && level <= high.1 && low.1 < high.1 {
                let x = low.0 + (high.0 - low.0) * ((level - low.1) / (high.1 - low.1));
                if level < high.1 {
                    above = above.max(x);
                }
                if level > low.1 {
                    below = below.max(x);
                }
            }
            from = to;
        }
        above.min(below)
    }
}
