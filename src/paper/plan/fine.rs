//! Runs of corners too close to be dimensioned where they are, and the detail they get.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::num;
use crate::paper::plan::shape::Key;
use crate::paper::plan::shape::Shape;

/// Corners nearer to each other than this on paper belong to one run, mm. Our choice: two numbers
/// fit side by side from 3.5 on.
const CLOSE: f64 = 5.0;
/// As many close corners make a run. Our choice.
const FEW: usize = 3;
/// Maximum distance of arcs from the corners of a run they belong to, mm of the part.
const BESIDE: f64 = 4.0;
/// Lengths that differ by less are equal, mm.
const SAME: f64 = 2e-3;

/// A run of close corners.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Its corners in order along the outline.
    pub(super) keys: Vec<Key>,
    /// The rectangle round them.
    pub(super) corners: Bounds,
    /// The rectangle round them and the arcs beside them.
    pub(super) around: Bounds,
    /// The radii of these arcs, from small to large, mm.
    radii: Vec<f64>,
}

impl Run {
    /// A run of close corners with the arcs beside it.
    fn new(keys: Vec<Key>, shapes: &[Shape]) -> Self {
        let corners = keys.iter().fold(Bounds::EMPTY, |bounds, key| bounds.with(key.at));
        let beside = corners.grown(BESIDE + 1e-9);
        let rounds = shapes.iter().flat_map(|shape| &shape.rounds);
        let near = rounds.map(|round| (round.edge.bounds(), round.radius));
        let near = near.filter(|(arc, _)| beside.contains(arc.min) && beside.contains(arc.max));
        let (arcs, mut radii): (Vec<Bounds>, Vec<f64>) = near.unzip();
        radii.sort_by(f64::total_cmp);
        let around = arcs.into_iter().fold(corners, Bounds::and);
        Self { keys, corners, around, radii }
    }

    /// Whether another is the same turned, mirrored or both, with arcs of the same radii.
    fn is_like(&self, other: &Self) -> bool {
        // The distances of all pairs: those of neighbours alone do not distinguish a step from a
        // notch.
        let lengths = |at: &[Point]| -> Vec<f64> {
            let pairs = (0..at.len()).flat_map(|i| (i + 1..at.len()).map(move |j| (i, j)));
            pairs.map(|(i, j)| (at[j] - at[i]).hypot()).collect()
        };
        let same = |a: &[f64], b: &[f64]| {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < SAME)
        };
        let [own, mut others] =
            [self, other].map(|run| run.keys.iter().map(|key| key.at).collect::<Vec<_>>());
        let forward = same(&lengths(&own), &lengths(&others));
        others.reverse();
        same(&self.radii, &other.radii) && (forward || same(&lengths(&own), &lengths(&others)))
    }
}

/// Runs that are alike: the first is drawn.
#[derive(Clone, Debug)]
pub(super) struct Alike {
    pub(super) runs: Vec<Run>,
}

/// The runs of shapes at a scale, alike ones together, and the keys that belong to none.
pub(super) fn split_by_size(shapes: &[Shape], by: f64) -> (Vec<Alike>, Vec<Key>) {
    let (mut all, mut others): (Vec<Alike>, Vec<Key>) = (Vec::new(), Vec::new());
    for shape in shapes {
        for run in runs(&shape.keys, by) {
            if run.len() < FEW {
                others.extend(run);
                continue;
            }
            let run = Run::new(run, shapes);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Edge;
    use crate::paper::plan::shape::Round;

    fn key(at: (f64, f64)) -> Key {
        Key::corner(at.into())
    }

    /// A shape of two runs of corners, the second at a distance to the right, with an arc of a
    /// radius in the midst of each.
    fn shape(runs: [[(f64, f64); 4]; 2], radii: [f64; 2]) -> Shape {
        let moved = |by: f64| move |(x, y): (f64, f64)| (x + by, y);
        let keys = runs[0].map(moved(0.0)).into_iter().chain(runs[1].map(moved(100.0)));
        let round = |(radius, x): (f64, f64)| {
            let edge = Edge { from: (x, 0.0).into(), to: (x + 1.0, 0.0).into(), bulge: 0.4 };
            Round { edge, radius, full: false }
        };
        let rounds = radii.into_iter().zip([1.0, 101.0]).map(round);
        Shape { keys: keys.map(key).collect(), rounds: rounds.collect(), ..Shape::default() }
    }

    fn alike(runs: [[(f64, f64); 4]; 2], radii: [f64; 2]) -> Vec<usize> {
        split_by_size(&[shape(runs, radii)], 1.0).0.iter().map(|alike| alike.runs.len()).collect()
    }

    #[test]
    fn runs_are_alike_when_turned_or_mirrored_but_not_with_another_shape_or_radius() {
        let notch = [(0.0, 0.0), (0.0, 3.0), (4.0, 3.0), (4.0, 0.0)];
        let turned = notch.map(|(x, y)| (-y, x));
        let mirrored = notch.map(|(x, y)| (x, -y));
        // Its neighbours are as far apart as those of the notch, and so are the next but one.
        let step = [(0.0, 0.0), (0.0, 3.0), (4.0, 3.0), (4.0, 6.0)];
        assert_eq!(alike([notch, notch], [1.0, 1.0]), [2]);
        assert_eq!(alike([notch, mirrored], [1.0, 1.0]), [2]);
        assert_eq!(alike([step, step.map(|(x, y)| (x, -y))], [1.0, 1.0]), [2]);
        assert_eq!(alike([notch, step], [1.0, 1.0]), [1, 1]);
        assert_eq!(alike([notch, notch], [1.0, 1.5]), [1, 1]);
        assert_eq!(alike([notch, turned.map(|(x, y)| (x + 3.0, y))], [1.0, 1.0]), [2]);
    }
}
