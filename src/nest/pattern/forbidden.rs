//! The forbidden region of a copy of a group of parts, seen from another copy.

use crate::nest::pattern::kin::Group;
use crate::nest::pattern::kin::Kin;
use crate::nest::shape::polygon::Spot;
use std::ops::Range;

/// Closed lines in micrometres, in which the origin of the second group must not be.
///
/// Only their far sides are used, so free positions within or behind them are not found.
#[derive(Clone, Debug)]
pub(super) struct Forbidden(Vec<Line>);

#[derive(Clone, Debug)]
struct Line {
    corners: Vec<(f64, f64)>,
    /// Its sides that are not level, run by run.
    sides: Vec<Side>,
    /// Runs of sides of which each begins where the one before ends, a step higher.
    runs: Vec<Run>,
    low: f64,
    high: f64,
    max: f64,
}

/// A side from its lower to its upper end.
#[derive(Clone, Copy, Debug)]
struct Side {
    low: (f64, f64),
    high: (f64, f64),
}

/// Some of the sides, and the maximum x of them.
#[derive(Clone, Debug)]
struct Run {
    sides: Range<usize>,
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

    /// Those that reach furthest first: most of the others then need no test.
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
        self.step_of_use(up, period, |_| true).expect("any step is of use")
    }

    /// As `step`; `None` as soon as a step of at least this length is of no use.
    pub(super) fn step_of_use(
        &self,
        up: f64,
        period: f64,
        of_use: impl Fn(f64) -> bool,
    ) -> Option<f64> {
        let mut far = 0.0_f64;
        // Beyond the first that is too short, all are.
        for line in &self.0 {
            if line.max <= far {
                break;
            }
            let mut level = up + ((line.low - up) / period).ceil() * period;
            while level <= line.high && line.max > far {
                let farther = line.far_side(level, far);
                if farther > far && !of_use(farther) {
                    return None;
                }
                far = farther;
                level += period;
            }
        }
        Some(far)
    }

    /// The smallest vertical period of one group.
    pub(super) fn period(&self) -> f64 {
        self.swapped().0.iter().fold(0.0, |far, line| line.far_side(0.0, far))
    }
}

impl Line {
    fn new(corners: Vec<(f64, f64)>) -> Self {
        let (mut low, mut high, mut max) = (f64::MAX, f64::MIN, f64::MIN);
        for (x, y) in &corners {
            (low, high, max) = (low.min(*y), high.max(*y), max.max(*x));
        }
        let (sides, runs) = runs(&corners);
        Self { corners, sides, runs, low, high, max }
    }

    /// The maximum x at a level, where it can be left neither upward nor downward: along its
    /// upper and lower edges it may be touched. At least `far`.
    fn far_side(&self, level: f64, far: f64) -> f64 {
        let (mut above, mut below) = (far, far);
        for run in self.runs.iter().filter(|run| run.max > far) {
            let sides = &self.sides[run.sides.clone()];
            let first = sides.partition_point(|side| side.high.1 < level);
            for Side { low, high } in sides[first..].iter().take_while(|side| side.low.1 <= level) {
                let x = low.0 + (high.0 - low.0) * ((level - low.1) / (high.1 - low.1));
                if level < high.1 {
                    above = above.max(x);
                }
                if level > low.1 {
                    below = below.max(x);
                }
            }
        }
        above.min(below)
    }
}

/// The sides of a closed line that are not horizontal, and the runs in which they rise or fall.
fn runs(corners: &[(f64, f64)]) -> (Vec<Side>, Vec<Run>) {
    let mut sides = Vec::with_capacity(corners.len());
    let mut runs = Vec::new();
    let (mut begun, mut rises) = (0, true);
    let mut end = |sides: &mut [Side], begun: usize, rises: bool| {
        if !rises {
            sides[begun..].reverse();
        }
        if begun < sides.len() {
            let max = sides[begun..].iter().map(|side| side.low.0.max(side.high.0));
            runs.push(Run { sides: begun..sides.len(), max: max.fold(f64::MIN, f64::max) });
        }
    };
    let mut from = corners[corners.len() - 1];
    for to in corners.iter().copied() {
        if from.1 != to.1 {
            if (from.1 < to.1) != rises {
                end(&mut sides, begun, rises);
                (begun, rises) = (sides.len(), !rises);
            }
            let (low, high) = if rises { (from, to) } else { (to, from) };
            sides.push(Side { low, high });
        }
        from = to;
    }
    end(&mut sides, begun, rises);
    (sides, runs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Side by side, as the far side is defined.
    fn far_side_of_all(corners: &[(f64, f64)], level: f64) -> f64 {
        let sides = (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()]));
        let crossed = sides.map(|(a, b)| if a.1 < b.1 { (a, b) } else { (b, a) });
        let crossed =
            crossed.filter(|(low, high)| low.1 <= level && level <= high.1 && low.1 < high.1);
        let x = |low: (f64, f64), high: (f64, f64)| {
            low.0 + (high.0 - low.0) * ((level - low.1) / (high.1 - low.1))
        };
        let (above, below): (Vec<_>, Vec<_>) = crossed
            .map(|(low, high)| {
                let x = x(low, high);
                ((level < high.1).then_some(x), (level > low.1).then_some(x))
            })
            .unzip();
        let max = |xs: Vec<Option<f64>>| xs.into_iter().flatten().fold(f64::MIN, f64::max);
        max(above).min(max(below))
    }

    proptest! {
        /// Lines with level sides, corners at the level and runs up and down.
        #[test]
        fn the_far_side_is_that_of_all_sides(
            corners in prop::collection::vec((0_i32..30, 0_i32..8), 3..24),
            level in 0_i32..16,
            far in 0.0..30.0,
        ) {
            let corners: Vec<_> =
                corners.into_iter().map(|(x, y)| (f64::from(x), f64::from(y))).collect();
            let level = f64::from(level) / 2.0;
            let wanted = far_side_of_all(&corners, level);
            let line = Line::new(corners);
            prop_assert_eq!(line.far_side(level, f64::MIN), wanted);
            prop_assert_eq!(line.far_side(level, far), wanted.max(far));
        }
    }
}
