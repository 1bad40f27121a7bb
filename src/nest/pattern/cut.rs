//! An endless repeat cut to a sheet.

use crate::nest::pattern::kin::Kin;
use crate::nest::pattern::kin::Repeat;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::extent;

/// Starts tried along the repeat, and heights besides those at which a part touches the lower or
/// upper edge. Our choice.
const STARTS: usize = 32;
const HEIGHTS: i64 = 6;

/// One part of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct PatternPart {
    /// Its origin; the room has its lower left corner at 0, 0.
    pub(super) at: Spot,
    /// Index of its orientation.
    pub(super) orientation: usize,
}

/// The purpose of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goal {
    /// This number of parts on the shortest length.
    Shortest(usize),
    /// As many parts as fit on a length.
    Most(i64),
}

/// A part within the height of the room: left and right end, and the part itself.
struct Slice {
    left: i64,
    right: i64,
    part: PatternPart,
}

/// The best cut of a repeat, and its score: the length, or the number of parts, negative; `None`
/// when the part is too large or the work must end.
pub(super) fn cut(
    kin: &Kin,
    repeat: &Repeat,
    height: i64,
    goal: Goal,
    stop: &Stop,
) -> Option<(i64, Vec<PatternPart>)> {
    let mut best: Option<(i64, Vec<PatternPart>)> = None;
    for lift in lifts(kin, repeat, height) {
        if stop.now() {
            return None;
        }
        let mut length = guess(repeat, height, goal);
        // A narrow room takes far fewer parts than its area says.
        let slices = loop {
            let slices = slices(kin, repeat, height, lift, length);
            match goal {
                Goal::Shortest(count) if slices.len() < 2 * count + STARTS => {
                    if slices.is_empty() || length > i64::MAX / 4 {
                        break Vec::new();
                    }
                    length *= 2;
                }
                _ => break slices,
            }
        };
        let mut starts: Vec<i64> = slices.iter().map(|s| s.left).collect();
        starts.sort_unstable();
        starts.dedup();
        for start in starts.into_iter().take(STARTS) {
            let Some((score, kept)) = from(&slices, start, goal) else { continue };
            if best.as_ref().is_none_or(|(min, _)| score < *min) {
                let moved =
                    |s: &Slice| PatternPart { at: s.part.at - Spot::new(start, 0), ..s.part };
                best = Some((score, kept.into_iter().map(moved).collect()));
            }
        }
    }
    best
}

/// The parts from `start` on, up to the goal. The slices are sorted by their right ends.
fn from(slices: &[Slice], start: i64, goal: Goal) -> Option<(i64, Vec<&Slice>)> {
    let behind = slices.iter().filter(|s| s.left >= start);
    match goal {
        Goal::Shortest(count) => {
            let kept: Vec<&Slice> = behind.take(count).collect();
            let last = kept.last().filter(|_| kept.len() == count)?;
            Some((last.right - start, kept))
        }
        Goal::Most(length) => {
            let kept: Vec<&Slice> = behind.take_while(|s| s.right - start <= length).collect();
            (!kept.is_empty()).then(|| (-(kept.len() as i64), kept))
        }
    }
}

/// Heights of the group's origin worth trying.
fn lifts(kin: &Kin, repeat: &Repeat, height: i64) -> Vec<i64> {
    let flush = repeat.group.iter().flat_map(|(shape, at)| {
        let (low, high) = extent(&kin.shapes[*shape]);
        [-(low.y + at.y), height - (high.y + at.y)]
    });
    let period = repeat.u.y.abs().max(repeat.v.y.abs());
    let mut lifts: Vec<i64> = flush.chain((0..HEIGHTS).map(|i| period * i / HEIGHTS)).collect();
    lifts.sort_unstable();
    lifts.dedup();
    lifts
}

/// A length that should suffice for the goal and for all starts.
fn guess(repeat: &Repeat, height: i64, goal: Goal) -> i64 {
    let period = 2 * (repeat.u.x.abs() + repeat.v.x.abs());
    period
        + match goal {
            Goal::Shortest(count) => {
                (3.0 * count as f64 * repeat.cell() / height as f64).ceil() as i64
            }
            Goal::Most(length) => length + period,
        }
}

/// The parts within the height that begin between 0 and `length`.
fn slices(kin: &Kin, repeat: &Repeat, height: i64, lift: i64, length: i64) -> Vec<Slice> {
    let (u, v) = (repeat.u, repeat.v);
    let area = u.x as f64 * v.y as f64 - u.y as f64 * v.x as f64;
    let mut slices = Vec::new();
    for (shape, at) in &repeat.group {
        let (low, high) = extent(&kin.shapes[*shape]);
        let origin = *at + Spot::new(0, lift);
        // The range of the lattice vector: a rectangle, and its corners in steps of u and v.
        let min = Spot::new(-(origin.x + low.x), -(origin.y + low.y));
        let max = Spot::new(min.x + length, height - (origin.y + high.y));
        if min.y > max.y {
            continue;
        }
        let corners = [(min.x, min.y), (max.x, min.y), (min.x, max.y), (max.x, max.y)];
        let steps = corners.map(|(x, y)| (x as f64 * v.y as f64 - y as f64 * v.x as f64) / area);
        let first = steps.into_iter().fold(f64::MAX, f64::min).floor() as i64;
        let last = steps.into_iter().fold(f64::MIN, f64::max).ceil() as i64;
        for i in first..=last {
            let from = Spot::new(i * u.x, i * u.y);
            let Some((first, last)) = within(from, v, min, max) else { continue };
            for j in first..=last {
                let by = from + Spot::new(j * v.x, j * v.y);
                let at = origin + by;
                slices.push(Slice {
                    left: at.x + low.x,
                    right: at.x + high.x,
                    part: PatternPart { at, orientation: kin.orientations[*shape] },
                });
            }
        }
    }
    slices.sort_by_key(|s| (s.right, s.part));
    slices
}

/// The first and last number of steps `v` from `from` that end in a rectangle.
fn within(from: Spot, v: Spot, min: Spot, max: Spot) -> Option<(i64, i64)> {
    let mut range = (i64::MIN, i64::MAX);
    for (from, step, min, max) in [(from.x, v.x, min.x, max.x), (from.y, v.y, min.y, max.y)] {
        if step == 0 {
            if from < min || from > max {
                return None;
            }
            continue;
        }
        let (near, far) =
            if step > 0 { (min - from, max - from) } else { (from - max, from - min) };
        let step = step.abs();
        range = (range.0.max(-(-near).div_euclid(step)), range.1.min(far.div_euclid(step)));
    }
    (range.0 <= range.1).then_some(range)
}
