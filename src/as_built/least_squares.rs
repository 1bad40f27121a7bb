//! Least squares: the causes behind measurements, and their certainty.
//!
//! Every cause has a spread before anything is measured, every measurement an uncertainty, all as
//! standard deviations of independent normal distributions. The most likely causes
//! are then those of least squares, each square weighed by its spread, and the remaining spreads
//! follow. Measurements are added one after the other, which gives the same as all at once; the
//! model is linearised again at the result.

use crate::as_built::model::At;
use crate::as_built::model::Model;

/// A measurement at a place.
#[derive(Clone, Copy, Debug)]
pub struct Observation {
    /// Where.
    pub at: At,
    /// Its value, mm or degrees.
    pub is: f64,
    /// Standard deviation.
    pub uncertainty: f64,
}

/// The causes.
#[derive(Clone, Debug)]
pub struct Estimate {
    /// Most likely, in the order of the model's causes, mm or degrees.
    pub x: Vec<f64>,
    /// Covariances.
    pub covariance: Vec<Vec<f64>>,
}

/// Number of standard deviations for 95 % of a bell curve.
pub(super) const LIMIT: f64 = 1.96;

/// How often the model is made linear: it is nearly so. Our choice.
const ROUNDS: usize = 4;

impl Estimate {
    /// The causes of a model from measurements.
    pub fn of(model: &Model, seen: &[Observation]) -> Self {
        let mut at = vec![0.0; model.causes.len()];
        let mut found = Self::before(model);
        for _ in 0..ROUNDS {
            found = Self::before(model);
            for one in seen {
                let slopes = model.slopes(&one.at, &at);
                let linear = model.predicted(&one.at, &at) - product(&slopes, &at);
                found.take(&slopes, one.is - linear, one.uncertainty);
            }
            at.clone_from(&found.x);
        }
        found
    }

    /// Before anything is measured.
    fn before(model: &Model) -> Self {
        let n = model.causes.len();
        let mut covariance = vec![vec![0.0; n]; n];
        for (i, cause) in model.causes.iter().enumerate() {
            covariance[i][i] = cause.spread * cause.spread;
        }
        Self { x: vec![0.0; n], covariance }
    }

    /// Adds a measurement with these slopes by the causes.
    fn take(&mut self, slopes: &[f64], is: f64, uncertainty: f64) {
        let carried: Vec<f64> = self.covariance.iter().map(|row| product(row, slopes)).collect();
        let variance = product(slopes, &carried) + uncertainty * uncertainty;
        let missed = is - product(slopes, &self.x);
        for (i, by) in carried.iter().enumerate() {
            self.x[i] += by * missed / variance;
            for (j, other) in carried.iter().enumerate() {
                self.covariance[i][j] -= by * other / variance;
            }
        }
    }

    /// Standard deviation of a cause.
    pub fn spread(&self, cause: usize) -> f64 {
        self.covariance[cause][cause].max(0.0).sqrt()
    }

    /// The correlation of two causes, −1 to 1.
    pub(super) fn correlation(&self, one: usize, other: usize) -> f64 {
        let both = self.spread(one) * self.spread(other);
        if both > 0.0 { self.covariance[one][other] / both } else { 0.0 }
    }

    /// Standard deviation of a quantity with these slopes by the causes.
    pub(super) fn spread_of(&self, slopes: &[f64]) -> f64 {
        let carried: Vec<f64> = self.covariance.iter().map(|row| product(row, slopes)).collect();
        product(slopes, &carried).max(0.0).sqrt()
    }

    /// The remaining standard deviation of a cause if a measurement with these slopes by the causes
    /// were added.
    pub(super) fn left(&self, cause: usize, slopes: &[f64], uncertainty: f64) -> f64 {
        let by = product(&self.covariance[cause], slopes);
        let all = self.spread_of(slopes);
        let variance = all * all + uncertainty * uncertainty;
        (self.covariance[cause][cause] - by * by / variance).max(0.0).sqrt()
    }
}

pub(super) fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
