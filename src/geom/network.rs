//! Points by measured distances, offsets and directions, fitted by least squares.
//!
//! Each measurement of a point is a circle or a line that it should be on. Points are placed one
//! after the other; then all are moved together until the sum of the squares of the residuals is
//! smallest (Gauss-Newton steps with the damping of Levenberg 1944 and Marquardt 1963).

use crate::geom::linear::normal;
use crate::geom::linear::solved;
use crate::geom::measures::Choice;
use crate::geom::measures::Fitted;
use crate::geom::measures::Measure;
use crate::geom::measures::Measured;
use crate::geom::measures::Network;
use crate::geom::measures::NetworkError;
use crate::geom::measures::Node;
use crate::geom::measures::Outcome;
use crate::geom::measures::side;
use crate::geom::ray::ray;
use crate::geom::start::placed;
use crate::num;
use kurbo::Point;
use kurbo::Vec2;

/// Maximum number of steps towards the best fit. Our choice: each doubles the digits.
const MAX_STEPS: usize = 100;

/// A step is the last when it moves no point by more, mm.
const LAST: f64 = 1e-11;

/// The places of all points.
///
/// # Errors
/// When measurements are missing, do not meet, or leave two places.
pub fn fit(network: &Network) -> Result<Fitted, NetworkError> {
    let mut points = placed(network)?;
    settle(network, &mut points);
    let outcomes = outcomes(network, &points)?;
    for (i, choice) in network.choices.iter().enumerate() {
        let wrong = match choice {
            Some(Choice::Side(from, to, left)) => {
                let side = side(points[i], at(*from, &points), at(*to, &points));
                if *left { side < -network.same } else { side > network.same }
            }
            _ => false,
        };
        let behind = network.measures.iter().any(|m| m.of == i && is_behind(m, &points));
        if wrong || behind {
            return Err(NetworkError::OtherSide(i));
        }
    }
    let spare = network.measures.len() - 2 * points.len();
    Ok(Fitted { points, measures: outcomes, spare })
}

fn at(node: Node, points: &[Point]) -> Point {
    match node {
        Node::Fixed(at) => at,
        Node::Sought(i) => points[i],
    }
}

fn is_behind(measure: &Measure, points: &[Point]) -> bool {
    let Measured::Direction(from) = measure.what else { return false };
    ray(measure.value).dot(points[measure.of] - at(from, points)) < 0.0
}

/// The residual of a measurement, mm, and its slopes by its point and by those it is from.
fn residual(measure: &Measure, points: &[Point]) -> (f64, Vec<(Node, Vec2)>) {
    let of = Node::Sought(measure.of);
    let point = points[measure.of];
    match measure.what {
        Measured::Distance(from) => {
            let out = point - at(from, points);
            let unit = out / out.hypot().max(f64::MIN_POSITIVE);
            (out.hypot() - measure.value, vec![(of, unit), (from, -unit)])
        }
        Measured::Direction(from) => {
            let ray = ray(measure.value);
            let across = Vec2::new(-ray.y, ray.x);
            (across.dot(point - at(from, points)), vec![(of, across), (from, -across)])
        }
        Measured::Left(from, to) => {
            let (a, b) = (at(from, points), at(to, points));
            let long = (b - a).hypot().max(f64::MIN_POSITIVE);
            let along = (b - a) / long;
            let across = Vec2::new(-along.y, along.x);
            // Where the foot is between the two ends, and so which moves it how much.
            let share = along.dot(point - a) / long;
            let left = across.dot(point - a);
            let ends = vec![(of, across), (from, across * (share - 1.0)), (to, across * -share)];
            (left - measure.value, ends)
        }
    }
}

/// Rows of the linear equations: the residual of each measurement and its slopes.
fn rows(network: &Network, points: &[Point]) -> (Vec<f64>, Vec<Vec<f64>>) {
    let row = |measure: &Measure| {
        let (left, slopes) = residual(measure, points);
        let mut row = vec![0.0; 2 * points.len()];
        for (node, slope) in slopes {
            if let Node::Sought(i) = node {
                row[2 * i] += slope.x;
                row[2 * i + 1] += slope.y;
            }
        }
        (left, row)
    };
    network.measures.iter().map(row).unzip()
}

fn square(row: &[f64]) -> f64 {
    row.iter().map(|x| x * x).sum()
}

/// Moves the points until the squares of the residuals are smallest.
fn settle(network: &Network, points: &mut [Point]) {
    let mut damping = 1e-9;
    for _ in 0..MAX_STEPS {
        let (left, slopes) = rows(network, points);
        let before = square(&left);
        let normal = normal(&slopes);
        let right: Vec<f64> = (0..2 * points.len())
            .map(|j| -slopes.iter().zip(&left).map(|(row, r)| row[j] * r).sum::<f64>())
            .collect();
        loop {
            let mut damped = normal.clone();
            for (j, row) in damped.iter_mut().enumerate() {
                row[j] += damping * (1.0 + row[j]);
            }
            let step = solved(damped, right.clone()).unwrap_or_else(|_| vec![0.0; right.len()]);
            let moved: Vec<Point> = points
                .iter()
                .enumerate()
                .map(|(i, p)| *p + Vec2::new(step[2 * i], step[2 * i + 1]))
                .collect();
            let far = step.iter().fold(0.0, |far: f64, x| far.max(x.abs()));
            if square(&rows(network, &moved).0) <= before || far < LAST {
                points.copy_from_slice(&moved);
                damping = (damping / 10.0).max(1e-12);
                if far < LAST {
                    return;
                }
                break;
            }
            damping *= 10.0;
            if damping > 1e9 {
                return;
            }
        }
    }
}

/// How each measurement comes out at the points that were found.
fn outcomes(network: &Network, points: &[Point]) -> Result<Vec<Outcome>, NetworkError> {
    let (left, slopes) = rows(network, points);
    let normal = normal(&slopes);
    let mut outcomes = Vec::with_capacity(left.len());
    for (row, left) in slopes.iter().zip(&left) {
        let shift = solved(normal.clone(), row.clone());
        let shift = shift.map_err(|column| NetworkError::Loose(column / 2))?;
        // The share of the measurement that the others check.
        let own: f64 = row.iter().zip(&shift).map(|(a, b)| a * b).sum();
        let checked = 1.0 - own;
        let moves = shift.chunks(2).map(|s| num::hypot(s[0], s[1])).fold(0.0, f64::max);
        outcomes.push(Outcome::of(-left, checked, moves));
    }
    Ok(outcomes)
}
