//! Splines as Bézier curves: by knots and control points, and smooth through points.

use crate::geom::bezier::Bezier;
use crate::geom::near::NEAR;
use kurbo::Point;
use kurbo::Vec2;
use thiserror::Error;

/// No spline of an outline is of a higher degree. Our choice: files of drawings have 2 to 5.
const MAX_DEGREE: usize = 24;

/// Why numbers are no spline.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SplineError {
    /// Too few points.
    #[error("{0} control points, and degree {1} needs more")]
    Few(usize, usize),
    /// Of no degree that is read.
    #[error("degree {0}")]
    Degree(i64),
    /// Knots and points do not belong together.
    #[error("{knots} knots, and {points} control points of degree {degree} have {}", points + degree + 1)]
    Knots {
        /// How many there are.
        knots: usize,
        /// How many control points.
        points: usize,
        /// The degree.
        degree: usize,
    },
    /// Knots do not rise.
    #[error("knots that decrease")]
    Falls,
    /// It is in two pieces.
    #[error("a gap at the knot {0}, which is there more than {1} times")]
    Gap(f64, usize),
    /// A weight that is none.
    #[error("a weight of {0}")]
    Weight(f64),
    /// Points and weights do not belong together.
    #[error("{0} weights for {1} control points")]
    Weights(usize, usize),
}

/// A spline by its degree, knots, control points and weights, one for each point or none.
///
/// # Errors
/// When the numbers do not belong together.
pub fn spline(
    degree: i64,
    knots: &[f64],
    points: &[Point],
    weights: &[f64],
) -> Result<Vec<Bezier>, SplineError> {
    let p = usize::try_from(degree).ok().filter(|p| (1..=MAX_DEGREE).contains(p));
    let p = p.ok_or(SplineError::Degree(degree))?;
    let n = points.len();
    if n <= p {
        return Err(SplineError::Few(n, p));
    }
    if !weights.is_empty() && weights.len() != n {
        return Err(SplineError::Weights(weights.len(), n));
    }
    if let Some(weight) = weights.iter().find(|w| !(**w > 0.0 && w.is_finite())) {
        return Err(SplineError::Weight(*weight));
    }
    let clamped;
    let knots = if knots.is_empty() {
        clamped = uniform(p, n);
        &clamped[..]
    } else {
        knots
    };
    if knots.len() != n + p + 1 {
        return Err(SplineError::Knots { knots: knots.len(), points: n, degree: p });
    }
    if knots.windows(2).any(|pair| pair[0].partial_cmp(&pair[1]).is_none_or(|o| o.is_gt())) {
        return Err(SplineError::Falls);
    }
    let weight = |i: usize| weights.get(i).copied().unwrap_or(1.0);
    let lifted: Vec<[f64; 3]> = points
        .iter()
        .enumerate()
        .map(|(i, at)| [at.x * weight(i), at.y * weight(i), weight(i)])
        .collect();
    // Knots separated by rounding alone are one.
    let apart = 1e-9 * (knots[n] - knots[p]);
    let spans: Vec<usize> = (p..n).filter(|i| knots[i + 1] - knots[*i] > apart).collect();
    let pieces: Vec<Bezier> = spans.iter().map(|i| bezier(p, *i, knots, &lifted)).collect();
    let gap = |pair: &[Bezier]| (pair[1].start() - pair[0].end()).hypot() > NEAR;
    match pieces.windows(2).position(gap) {
        Some(i) => Err(SplineError::Gap(knots[spans[i + 1]], p)),
        None => Ok(pieces),
    }
}

/// Knots of a spline that begins and ends in its first and last control point.
fn uniform(p: usize, n: usize) -> Vec<f64> {
    (0..=n + p).map(|i| i.clamp(p, n) as f64).collect()
}

/// The part of a spline between two knots: its control points are the polar values there.
fn bezier(p: usize, i: usize, knots: &[f64], points: &[[f64; 3]]) -> Bezier {
    let polar = |ends: usize| {
        let mut d: Vec<[f64; 3]> = (0..=p).map(|j| points[i - p + j]).collect();
        for r in 1..=p {
            // The last `ends` of the p places are the upper knot.
            let u = if r > p - ends { knots[i + 1] } else { knots[i] };
            for j in (r..=p).rev() {
                let (low, high) = (knots[i - p + j], knots[i + j - r + 1]);
                let share = (u - low) / (high - low);
                let (a, b) = (d[j - 1], d[j]);
                d[j] = [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * share);
            }
        }
        let [x, y, w] = d[p];
        (Point::new(x / w, y / w), w)
    };
    Bezier { points: (0..=p).map(polar).collect() }
}

/// The smooth curve through points: cubic, measured along by the chords, with its curvature
/// continuous; at each end in the direction given, else without curvature there.
pub fn through(points: &[Point], ends: [Option<Vec2>; 2]) -> Vec<Bezier> {
    let mut points = points.to_vec();
    points.dedup_by(|b, a| (*b - *a).hypot() == 0.0);
    let n = points.len();
    if n < 2 {
        return Vec::new();
    }
    let long: Vec<f64> = points.windows(2).map(|pair| (pair[1] - pair[0]).hypot()).collect();
    let slopes = slopes(&points, &long, ends.map(|end| end.map(Vec2::normalize)));
    let piece = |i: usize| {
        let (a, b, h) = (points[i], points[i + 1], long[i] / 3.0);
        Bezier::plain(&[a, a + slopes[i] * h, b - slopes[i + 1] * h, b])
    };
    (0..n - 1).map(piece).collect()
}

/// The directions of the curve in its points, from the equations of continuous curvature.
fn slopes(points: &[Point], long: &[f64], ends: [Option<Vec2>; 2]) -> Vec<Vec2> {
    let n = points.len();
    let chord = |i: usize| (points[i + 1] - points[i]) / long[i];
    // Rows of three: the values before, on and after the diagonal, and the right side.
    let row = |i: usize| match (i, ends) {
        (0, [Some(end), _]) => (0.0, 1.0, 0.0, end),
        (0, _) => (0.0, 2.0, 1.0, chord(0) * 3.0),
        (i, [_, Some(end)]) if i == n - 1 => (0.0, 1.0, 0.0, end),
        (i, _) if i == n - 1 => (1.0, 2.0, 0.0, chord(n - 2) * 3.0),
        (i, _) => {
            let (before, after) = (long[i - 1], long[i]);
            let right = (chord(i - 1) * after + chord(i) * before) * 3.0;
            (after, 2.0 * (before + after), before, right)
        }
    };
    let (mut above, mut value): (Vec<f64>, Vec<Vec2>) = (Vec::new(), Vec::new());
    for i in 0..n {
        let (low, on, high, right) = row(i);
        let (up, last) = match i {
            0 => (0.0, Vec2::ZERO),
            _ => (above[i - 1], value[i - 1]),
        };
        let pivot = on - low * up;
        above.push(high / pivot);
        value.push((right - last * low) / pivot);
    }
    for i in (0..n - 1).rev() {
        let next = value[i + 1];
        value[i] -= next * above[i];
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A knot of multiplicity degree + 1 splits the curve, unless both ends meet.
    #[test]
    fn a_spline_in_two_pieces_is_refused() {
        let knots = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 2.0, 2.0, 2.0];
        let with = |x: f64| {
            let points = [(0.0, 0.0), (1.0, 2.0), (3.0, 3.0), (x, 3.0), (6.0, 2.0), (7.0, 0.0)];
            spline(2, &knots, &points.map(Point::from), &[])
        };
        assert_eq!(with(4.0), Err(SplineError::Gap(1.0, 2)));
        assert_eq!(with(3.0).map(|pieces| pieces.len()), Ok(2));
    }
}
