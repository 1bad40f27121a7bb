//! Runs of corners too close to be dimensioned where they are, and the detail they get.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::num;
use crate::paper::plan::shape::Key;
use crate::paper::plan::shape::Shape;

/// Corners nearer to each other than this on paper belong to one run, mm. Our choice: two numbers
/// stand side by side from 3.5 on.
const CLOSE: f64 = 5.0;
/// As many close corners make a run. Our choice.
const FEW: usize = 3;
/// Two lengths no farther apart are one, mm.
const SAME: f64 = 2e-3;

/// A run of close corners.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Its corners in order along the outline.
    pub(super) keys: Vec<Key>,
}

impl Run {
    /// The rectangle round it.
    pub(super) fn bounds(&self) -> Bounds {
        self.keys.iter().fold(Bounds::EMPTY, |bounds, key| bounds.with(key.at))
    }

    /// Whether another is the same turned, mirrored or both.
    fn is_like(&self, other: &Self) -> bool {
        let lengths = |keys: &[Key]| -> Vec<f64> {
            let at: Vec<Point> = keys.iter().map(|key| key.at).collect();
            let steps = at.windows(2).map(|p| (p[1] - p[0]).hypot());
            let skips = at.windows(3).map(|p| (p[2] - p[0]).hypot());
            steps.chain(skips).collect()
        };
        let reversed: Vec<Key> = other.keys.iter().rev().copied().collect();
        let same = |a: Vec<f64>, b: Vec<f64>| {
            a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| (a - b).abs() < SAME)
        };
        self.keys.len() == other.keys.len()
            && (same(lengths(&self.keys), lengths(&other.keys))
                || same(lengths(&self.keys), lengths(&reversed)))
    }
}

/// Runs that are alike: the first is drawn.
#[derive(Clone, Debug)]
pub(super) struct Alike {
    pub(super) runs: Vec<Run>,
}

/// The runs of shapes at a scale, alike ones together, and the keys that belong to none.
pub(super) fn parted(shapes: &[Shape], by: f64) -> (Vec<Alike>, Vec<Key>) {
    let (mut all, mut others): (Vec<Alike>, Vec<Key>) = (Vec::new(), Vec::new());
    for shape in shapes {
        for run in runs(&shape.keys, by) {
            if run.len() < FEW {
                others.extend(run);
                continue;
            }
            let run = Run { keys: run };
            match all.iter_mut().find(|alike| alike.runs[0].is_like(&run)) {
                Some(alike) => alike.runs.push(run),
                None => all.push(Alike { runs: vec![run] }),
            }
        }
    }
    (all, others)
}

/// The corners of an outline in runs of close ones.
fn runs(keys: &[Key], by: f64) -> Vec<Vec<Key>> {
    let near = |a: &Key, b: &Key| num::hypot(a.at.x - b.at.x, a.at.y - b.at.y) * by < CLOSE;
    let mut runs: Vec<Vec<Key>> = Vec::new();
    for key in keys {
        match runs.last_mut().filter(|run| run.last().is_some_and(|last| near(last, key))) {
            Some(run) => run.push(*key),
            None => runs.push(vec![*key]),
        }
    }
    // The outline is closed.
    if runs.len() > 1 {
        let (first, last) = (&runs[0], &runs[runs.len() - 1]);
        if first.first().zip(last.last()).is_some_and(|(a, b)| near(b, a)) {
            let first = runs.remove(0);
            if let Some(last) = runs.last_mut() {
                last.extend(first);
            }
        }
    }
    runs
}
