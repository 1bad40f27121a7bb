//! One rational Bézier curve.

use crate::geom::motion::Motion;
use kurbo::Point;
use kurbo::Vec2;

/// One rational Bézier curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Bezier {
    /// Its control points, from end to end, each with its weight, above 0.
    pub points: Vec<(Point, f64)>,
}

impl Bezier {
    /// One whose control points all weigh the same.
    pub fn plain(points: &[Point]) -> Self {
        Self { points: points.iter().map(|p| (*p, 1.0)).collect() }
    }

    /// Where it begins.
    pub(super) fn start(&self) -> Point {
        self.points.first().map_or(Point::ZERO, |p| p.0)
    }

    /// Where it ends.
    pub(super) fn end(&self) -> Point {
        self.points.last().map_or(Point::ZERO, |p| p.0)
    }

    /// The point at a share of its course, 0 to 1, and how fast it leaves it there.
    pub(super) fn at(&self, t: f64) -> (Point, Vec2) {
        let lift = |(p, w): &(Point, f64)| [p.x * w, p.y * w, *w];
        let mut all: Vec<[f64; 3]> = self.points.iter().map(lift).collect();
        let degree = all.len() - 1;
        while all.len() > 2 {
            for i in 0..all.len() - 1 {
                let (a, b) = (all[i], all[i + 1]);
                all[i] = [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t);
            }
            all.pop();
        }
        let (Some(a), Some(b)) = (all.first(), all.last()) else {
            return (Point::ZERO, Vec2::ZERO);
        };
        let flat = |h: &[f64; 3]| Point::new(h[0] / h[2], h[1] / h[2]);
        let whole = [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t);
        let speed = degree as f64 * a[2] * b[2] / (whole[2] * whole[2]);
        (flat(&whole), (flat(b) - flat(a)) * speed)
    }

    /// What of it lies between two shares of its course, 0 to 1.
    pub(super) fn part(&self, from: f64, to: f64) -> Self {
        let tail = if from > 0.0 { self.split(from)[1].clone() } else { self.clone() };
        let share = (to - from) / (1.0 - from);
        if to < 1.0 { tail.split(share)[0].clone() } else { tail }
    }

    /// Its two halves.
    pub(super) fn halves(&self) -> [Self; 2] {
        self.split(0.5)
    }

    /// Both parts, up to a share of its course and from there on.
    fn split(&self, t: f64) -> [Self; 2] {
        let lift = |(p, w): &(Point, f64)| [p.x * w, p.y * w, *w];
        let mut row: Vec<[f64; 3]> = self.points.iter().map(lift).collect();
        let (mut first, mut then) = (Vec::new(), Vec::new());
        while let (Some(a), Some(b)) = (row.first(), row.last()) {
            first.push(*a);
            then.push(*b);
            let mix =
                |pair: &[[f64; 3]]| [0, 1, 2].map(|k| pair[0][k] + (pair[1][k] - pair[0][k]) * t);
            row = row.windows(2).map(mix).collect();
        }
        then.reverse();
        [first, then].map(|row| {
            let flat = |h: &[f64; 3]| (Point::new(h[0] / h[2], h[1] / h[2]), h[2]);
            Self { points: row.iter().map(flat).collect() }
        })
    }

    /// The same elsewhere.
    pub(super) fn mapped(&self, motion: &Motion) -> Self {
        Self { points: self.points.iter().map(|(p, w)| (motion.apply(*p), *w)).collect() }
    }
}
