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

    /// Whether another is this one mirrored, with arcs of the same radii: all its positions follow
    /// from those of this one.
    fn gives(&self, other: &Self, mirror: Mirror, centre: Point) -> bool {
        let is_near = |a: Point, b: Point| (a - b).hypot() < SAME;
        let has = |key: &Key| {
            let at = mirror.of(key.at, centre);
            other
                .keys
                .iter()
                .any(|of| is_near(of.at, at) && of.axes == key.axes && of.centre == key.centre)
        };
        let same = |(a, b): (&f64, &f64)| (a - b).abs() < SAME;
        self.keys.len() == other.keys.len()
            && self.radii.len() == other.radii.len()
            && self.keys.iter().all(has)
            && self.radii.iter().zip(&other.radii).all(same)
            && is_near(mirror.of(self.around.centre(), centre), other.around.centre())
    }
}

/// How the positions of one place follow from those of another: mirrored about the centre of the
/// flat in x, in y or in both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Mirror {
    across: bool,
    up: bool,
}

/// All of them, both together last: that is a rotation by 180°.
const MIRRORS: [Mirror; 3] = [
    Mirror { across: true, up: false },
    Mirror { across: false, up: true },
    Mirror { across: true, up: true },
];

impl Mirror {
    fn of(self, at: Point, centre: Point) -> Point {
        let coordinate = |is: bool, at: f64, centre: f64| if is { 2.0 * centre - at } else { at };
        Point::new(coordinate(self.across, at.x, centre.x), coordinate(self.up, at.y, centre.y))
    }
}

/// Runs of which the first is drawn: the positions of the others follow from it.
#[derive(Clone, Debug)]
pub(super) struct Alike {
    pub(super) runs: Vec<Run>,
    /// How the others follow from the first, in their order.
    mirrors: Vec<Mirror>,
}

impl Alike {
    /// The first of some runs with those that follow from it, which are taken out.
    fn of(runs: &mut Vec<Run>, centre: Point) -> Option<Self> {
        if runs.is_empty() {
            return None;
        }
        let first = runs.remove(0);
        let find = |mirror: Mirror| runs.iter().position(|run| first.gives(run, mirror, centre));
        let mut taken: Vec<(Mirror, usize)> =
            MIRRORS.into_iter().filter_map(|mirror| Some((mirror, find(mirror)?))).collect();
        // A quarter that is there four times, or a half that is there twice.
        if taken.len() < MIRRORS.len() {
            taken.truncate(1);
        }
        let mirrors = taken.iter().map(|(mirror, _)| *mirror).collect();
        let others = taken.iter().map(|(_, at)| runs[*at].clone());
        let all = std::iter::once(first).chain(others).collect();
        taken.sort_by_key(|(_, at)| std::cmp::Reverse(*at));
        for (_, at) in taken {
            runs.remove(at);
        }
        Some(Self { runs: all, mirrors })
    }

    /// How often it is there and how the others follow: `2×, mirrored about X 51.2`, with the centre
    /// of the flat as printed; `None` for one alone.
    pub(super) fn words(&self, [x, y]: [&str; 2]) -> Option<String> {
        let about = match self.mirrors[..] {
            [] => return None,
            [Mirror { across: true, up: false }] => format!("mirrored about X {x}"),
            [Mirror { across: false, .. }] => format!("mirrored about Y {y}"),
            [_] => format!("rotated by 180° about X {x}, Y {y}"),
            _ => format!("mirrored about X {x} and Y {y}"),
        };
        Some(format!("{}×, {about}", self.runs.len()))
    }
}

/// The runs of shapes at a scale on a flat with these bounds, those together whose positions follow
/// from one another, and the keys that belong to none.
pub(super) fn split_by_size(shapes: &[Shape], flat: Bounds, by: f64) -> (Vec<Alike>, Vec<Key>) {
    let (mut fine, mut others): (Vec<Run>, Vec<Key>) = (Vec::new(), Vec::new());
    for run in shapes.iter().flat_map(|shape| runs(&shape.keys, by)) {
        match run.len() < FEW {
            true => others.extend(run),
            false => fine.push(Run::new(run, shapes)),
        }
    }
    let centre = flat.centre();
    let all = std::iter::from_fn(|| Alike::of(&mut fine, centre)).collect();
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

    /// The flat of the runs: its centre is at 50, 0.
    const FLAT: Bounds = Bounds { min: Point::new(-10.0, -50.0), max: Point::new(110.0, 50.0) };

    /// How a shape of two runs of corners, each with an arc of a radius in its midst, is told: the
    /// words of each detail.
    fn details(runs: [[(f64, f64); 4]; 2], radii: [f64; 2]) -> Vec<Option<String>> {
        let keys = runs.concat().into_iter().map(key).collect();
        let round = |(radius, run): (f64, [(f64, f64); 4])| {
            let [a, b, c] = [run[0], run[1], run[2]].map(Point::from);
            // On the same side of the corners, however they are mirrored.
            let bulge = 0.4 * (b - a).cross(c - b).signum();
            let edge = Edge { from: b, to: c, bulge };
            Round { edge, radius, full: false }
        };
        let rounds = radii.into_iter().zip(runs).map(round).collect();
        let shape = Shape { keys, rounds, ..Shape::default() };
        let (alike, others) = split_by_size(&[shape], FLAT, 1.0);
        assert!(others.is_empty(), "{others:?}");
        alike.iter().map(|alike| alike.words(["60", "50"])).collect()
    }

    #[test]
    fn one_detail_is_for_two_places_only_where_the_positions_of_the_other_follow() {
        let notch = [(0.0, 20.0), (0.0, 23.0), (4.0, 23.0), (4.0, 20.0)];
        let across = notch.map(|(x, y)| (100.0 - x, y));
        let up = notch.map(|(x, y)| (x, -y));
        let turned = notch.map(|(x, y)| (100.0 - x, -y));
        let moved = notch.map(|(x, y)| (x + 60.0, y));
        for (other, words) in [
            (across, "2×, mirrored about X 60"),
            (up, "2×, mirrored about Y 50"),
            (turned, "2×, rotated by 180° about X 60, Y 50"),
        ] {
            assert_eq!(details([notch, other], [1.0, 1.0]), [Some(words.to_owned())]);
            assert_eq!(details([notch, other], [1.0, 1.5]), [None, None]);
            let off = other.map(|(x, y)| (x + 0.01, y));
            assert_eq!(details([notch, off], [1.0, 1.0]), [None, None]);
        }
        assert_eq!(details([notch, moved], [1.0, 1.0]), [None, None]);
        let step = [(100.0, 20.0), (100.0, 23.0), (96.0, 23.0), (96.0, 26.0)];
        assert_eq!(details([notch, step], [1.0, 1.0]), [None, None]);
    }

    #[test]
    fn a_quarter_that_is_there_four_times_has_one_detail() {
        let notch = [(0.0, 20.0), (0.0, 23.0), (4.0, 23.0), (4.0, 20.0)];
        let ways = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];
        let at = |(sx, sy): (f64, f64)| {
            notch.map(|(x, y)| key((50.0 + sx * (x - 50.0), sy * y))).to_vec()
        };
        let keys = ways.into_iter().flat_map(at).collect();
        let (alike, _) = split_by_size(&[Shape { keys, ..Shape::default() }], FLAT, 1.0);
        let words: Vec<_> = alike.iter().map(|alike| alike.words(["60", "50"])).collect();
        assert_eq!(words, [Some("4×, mirrored about X 60 and Y 50".to_owned())]);
        let places = |alike: &Alike| alike.runs.iter().map(|run| run.keys.len()).sum::<usize>();
        assert_eq!(alike.iter().map(places).sum::<usize>(), 16);
    }
}
