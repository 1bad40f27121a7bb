//! A point in space by its distances from known points, fitted by least squares.
//!
//! Three distances meet in two places, mirrored in the plane of the three points. From both the
//! point is moved until the sum of the squares of the residuals is smallest (Gauss-Newton).

use crate::geom::frame::Space;
use crate::geom::frame::cross;
use crate::geom::frame::dot;
use crate::geom::frame::length;
use crate::geom::frame::minus;
use crate::geom::frame::plus;
use crate::geom::frame::times;
use crate::geom::frame::unit;
use crate::geom::linear::normal;
use crate::geom::linear::solved;
use crate::geom::measures::Outcome;

/// Maximum number of steps towards the best fit. Our choice: each doubles the digits.
const MAX_STEPS: usize = 100;

/// A step is the last when it moves the point by no more, mm.
const LAST: f64 = 1e-11;

/// Three points are on one line when the third is nearer to it, shares of how far it is along. Our
/// choice: its distance would place nothing.
const IN_LINE: f64 = 1e-3;

/// Distances from known points.
#[derive(Clone, Debug)]
pub(crate) struct Distances {
    /// The known points, and how far the sought one is from each, mm.
    pub from: Vec<(Space, f64)>,
    /// Places that differ by less, mm, are one.
    pub same: f64,
    /// Which of two places it has, where that is given.
    pub choice: Option<SpaceChoice>,
}

/// Which of two places a point in space has.
#[derive(Clone, Copy, Debug)]
pub(crate) enum SpaceChoice {
    /// The higher one, or the lower one.
    Above(bool),
    /// The one nearer to a point.
    Near(Space),
}

/// Why a point in space cannot be found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum SpaceFault {
    /// Three of the points that are not on one line are needed.
    InLine,
    /// Two distances, by index, do not reach each other: this much is missing, mm.
    Apart(usize, usize, f64),
    /// No place has all distances: the one of this index has this error, mm, at the nearest.
    Short(usize, f64),
    /// Two places fit equally well; their distance, mm.
    Ambiguous(f64),
    /// The distances put it on another side than given.
    OtherSide,
    /// It lies in the plane of the points: 1 mm more in a distance moves it by a metre.
    Loose,
}

/// Where the point is, and how each distance comes out.
///
/// # Errors
/// When distances are missing, do not meet, or leave two places.
pub(crate) fn trilaterate(of: &Distances) -> Result<(Space, Vec<Outcome>), SpaceFault> {
    let starts = starts(of)?;
    if let Some((a, b, gap)) = worst_pair(of) {
        return Err(SpaceFault::Apart(a, b, gap));
    }
    let places = starts.map(|start| settled(of, start));
    let at = chosen(of, places)?;
    let lost = residuals(of, at).into_iter().map(f64::abs).enumerate();
    let (worst, off) = lost.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
    if of.from.len() == 3 && off > of.same {
        return Err(SpaceFault::Short(worst, off));
    }
    Ok((at, outcomes(of, at)?))
}

/// Where the distances of the three points meet that span most.
fn starts(of: &Distances) -> Result<[Space; 2], SpaceFault> {
    let n = of.from.len();
    let mut best = (0.0, None);
    for i in 0..n {
        for j in i + 1..n {
            for k in j + 1..n {
                let [a, b, c] = [i, j, k].map(|i| of.from[i].0);
                let (ab, ac) = (minus(b, a), minus(c, a));
                let area = length(cross(ab, ac));
                let is_wide = area > IN_LINE * (dot(ab, ab).max(dot(ac, ac)));
                if is_wide && area > best.0 {
                    best = (area, Some([i, j, k].map(|i| of.from[i])));
                }
            }
        }
    }
    let [(a, ra), (b, rb), (c, rc)] = best.1.ok_or(SpaceFault::InLine)?;
    let (ab, ac) = (minus(b, a), minus(c, a));
    let (x, d) = (unit(ab), length(ab));
    let along = dot(x, ac);
    let y = unit(minus(ac, times(x, along)));
    let aside = dot(y, ac);
    let u = (ra * ra - rb * rb + d * d) / (2.0 * d);
    let v = (ra * ra - rc * rc + along * along + aside * aside) / (2.0 * aside) - u * along / aside;
    let foot = plus(a, plus(times(x, u), times(y, v)));
    // Where the three do not quite meet, others may still draw it out of their plane.
    let height = (ra * ra - u * u - v * v).max(1e-6 * ra * ra).sqrt();
    let out = times(cross(x, y), height);
    Ok([plus(foot, out), minus(foot, out)])
}

/// The two distances that miss each other most, by more than places that are one.
fn worst_pair(of: &Distances) -> Option<(usize, usize, f64)> {
    let mut worst = None;
    for (i, (a, ra)) in of.from.iter().enumerate() {
        for (j, (b, rb)) in of.from.iter().enumerate().skip(i + 1) {
            let long = length(minus(*b, *a));
            let gap = (long - ra - rb).max((ra - rb).abs() - long);
            if gap > worst.map_or(of.same, |(_, _, gap)| gap) {
                worst = Some((i, j, gap));
            }
        }
    }
    worst
}

/// By how much the point is farther than measured, for each distance.
fn residuals(of: &Distances, at: Space) -> Vec<f64> {
    of.from.iter().map(|(from, mm)| length(minus(at, *from)) - mm).collect()
}

fn slopes(of: &Distances, at: Space) -> Vec<Vec<f64>> {
    of.from.iter().map(|(from, _)| unit(minus(at, *from)).to_vec()).collect()
}

fn square(of: &Distances, at: Space) -> f64 {
    residuals(of, at).iter().map(|r| r * r).sum()
}

/// The place near another at which the squares of the residuals are smallest.
fn settled(of: &Distances, start: Space) -> Space {
    let (mut at, mut damping) = (start, 1e-9);
    for _ in 0..MAX_STEPS {
        let (rows, left) = (slopes(of, at), residuals(of, at));
        let slope = |j: usize| -rows.iter().zip(&left).map(|(row, r)| row[j] * r).sum::<f64>();
        let mut matrix = normal(&rows);
        for (j, row) in matrix.iter_mut().enumerate() {
            row[j] += damping * (1.0 + row[j]);
        }
        let Ok(step) = solved(matrix, (0..3).map(slope).collect()) else {
            damping = (damping * 10.0).max(1e-6);
            continue;
        };
        let step = [step[0], step[1], step[2]];
        if square(of, plus(at, step)) <= square(of, at) {
            at = plus(at, step);
            damping = (damping / 10.0).max(1e-12);
        } else {
            damping *= 10.0;
        }
        if length(step) < LAST {
            break;
        }
    }
    at
}

/// The place on the given side, or the one that fits where the other does not.
fn chosen(of: &Distances, [a, b]: [Space; 2]) -> Result<Space, SpaceFault> {
    let far = length(minus(b, a));
    if far < of.same {
        return Ok(if square(of, a) <= square(of, b) { a } else { b });
    }
    let fits = |at: Space| residuals(of, at).into_iter().all(|left| left.abs() <= of.same);
    let better = if square(of, a) <= square(of, b) { a } else { b };
    let wanted = match of.choice {
        None => None,
        Some(SpaceChoice::Above(_)) if (a[2] - b[2]).abs() < of.same => None,
        Some(SpaceChoice::Above(up)) => Some(if (a[2] > b[2]) == up { a } else { b }),
        Some(SpaceChoice::Near(to)) => {
            let [from_a, from_b] = [a, b].map(|at| length(minus(at, to)));
            ((from_a - from_b).abs() > of.same).then_some(if from_a < from_b { a } else { b })
        }
    };
    let alike = of.from.len() == 3 || fits(a) == fits(b);
    match wanted {
        Some(at) if alike || at == better => Ok(at),
        Some(_) => Err(SpaceFault::OtherSide),
        None if alike => Err(SpaceFault::Ambiguous(far)),
        None => Ok(better),
    }
}

/// How each distance comes out.
fn outcomes(of: &Distances, at: Space) -> Result<Vec<Outcome>, SpaceFault> {
    let rows = slopes(of, at);
    let matrix = normal(&rows);
    let one = |(row, left): (&Vec<f64>, f64)| {
        let shift = solved(matrix.clone(), row.clone()).map_err(|_| SpaceFault::Loose)?;
        let own: f64 = row.iter().zip(&shift).map(|(a, b)| a * b).sum();
        let moves = length([shift[0], shift[1], shift[2]]);
        Ok(Outcome::of(-left, 1.0 - own, moves))
    };
    rows.iter().zip(residuals(of, at)).map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        /// Wherever a point is, its distances from four others lead back to it; from three, with a
        /// word on the side.
        #[test]
        fn distances_lead_back_to_their_point(
            at in prop::array::uniform3(-500.0..500.0f64),
            other in prop::array::uniform3(-100.0..100.0f64),
        ) {
            let known = [
                [0.0, 0.0, 0.0],
                [400.0, 0.0, 20.0],
                [50.0, 300.0, -30.0],
                plus([90.0, 80.0, 450.0], other),
            ];
            let from: Vec<_> = known.iter().map(|k| (*k, length(minus(at, *k)))).collect();
            let four = Distances { from: from.clone(), same: 1e-6, choice: None };
            let (found, outcomes) = trilaterate(&four).expect("it is there");
            prop_assert!(length(minus(found, at)) < 1e-4, "{found:?}");
            prop_assert!(outcomes.iter().all(|o| o.off.abs() < 1e-6));
            let normal = unit(cross(known[1], known[2]));
            prop_assume!(dot(normal, at).abs() > 1.0);
            let choice = Some(SpaceChoice::Near(at));
            let three = Distances { from: from[..3].to_vec(), same: 1e-6, choice };
            let (found, _) = trilaterate(&three).expect("it is said which");
            prop_assert!(length(minus(found, at)) < 1e-4, "{found:?}");
        }
    }
}
