//! The deep interior of a ring, which need not be tested corner by corner.

use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::sides;
use crate::nest::shape::polygon::strictly_within;

/// Levels into which a ring is divided. Our choice.
const LEVELS: i64 = 64;

/// The deep interior of a ring: by level, the interval that is entirely within.
pub(super) struct Core {
    low: i64,
    step: i64,
    spans: Vec<(i64, i64)>,
}

impl Core {
    pub(super) fn of(ring: &Ring) -> Self {
        let (min, max) = extent(ring);
        let step = ((max.y - min.y) / LEVELS).max(1);
        let levels = (max.y - min.y) / step;
        let span = |i: i64| widest(ring, min.y + i * step, min.y + (i + 1) * step);
        Self { low: min.y, step, spans: (0..levels).map(span).collect() }
    }

    /// Where the lowest level begins.
    pub(super) fn low(&self) -> i64 {
        self.low
    }

    /// Where the highest level ends.
    pub(super) fn high(&self) -> i64 {
        self.low + self.step * self.spans.len() as i64
    }

    /// The interval in which everything between two heights is within; `None` if there is none.
    pub(super) fn between(&self, low: i64, high: i64) -> Option<(i64, i64)> {
        let (first, last) =
            ((low - self.low).div_euclid(self.step), (high - self.low).div_euclid(self.step));
        if first < 0 || last >= self.spans.len() as i64 {
            return None;
        }
        let spans = &self.spans[first as usize..=last as usize];
        let left = spans.iter().map(|s| s.0).max()?;
        let right = spans.iter().map(|s| s.1).min()?;
        (left < right).then_some((left, right))
    }
}

/// The widest span strictly within a ring between two heights; it ends before it begins where there
/// is none.
fn widest(ring: &Ring, low: i64, high: i64) -> (i64, i64) {
    let mut met: Vec<(i64, i64)> =
        sides(ring).filter_map(|edge| along_x(&edge, low, high)).collect();
    met.sort_unstable();
    let mut best = (0, -1);
    let Some((_, mut end)) = met.first().copied() else { return best };
    for (from, to) in met {
        let middle = Spot::new(i64::midpoint(end, from), i64::midpoint(low, high));
        if from - end > 2 && from - end > best.1 - best.0 + 2 && strictly_within(ring, middle) {
            best = (end + 1, from - 1);
        }
        end = end.max(to);
    }
    best
}

/// The range of x of an edge between two heights, rounded outwards.
fn along_x((a, b): &(Spot, Spot), low: i64, high: i64) -> Option<(i64, i64)> {
    let (a, b) = if a.y < b.y { (a, b) } else { (b, a) };
    if b.y < low || high < a.y {
        return None;
    }
    if a.y == b.y {
        return Some((a.x.min(b.x), a.x.max(b.x)));
    }
    let slope = (b.x - a.x) as f64 / (b.y - a.y) as f64;
    let at = |y: i64| a.x as f64 + slope * (y - a.y) as f64;
    let (from, to) = (at(low.max(a.y)), at(high.min(b.y)));
    Some((from.min(to).floor() as i64 - 1, from.max(to).ceil() as i64 + 1))
}
