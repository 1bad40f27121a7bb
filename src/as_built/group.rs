//! Bends that come out alike: of one sheet, computed alike, made over one V.

use crate::bend::Form;
use crate::bend::Method;
use crate::brake;
use crate::job::Job;
use crate::num;
use crate::solve::Solved;
use crate::solve::setup;

/// Bends that come out alike. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Group {
    /// Index of the sheet in the job.
    pub sheet: usize,
    /// Inside radius in use.
    pub radius: f64,
    /// K-factor in use.
    pub k: f64,
    /// Of the sheet.
    pub thickness: f64,
    /// Bend deduction at 90° that follows.
    pub deduction: f64,
    /// Opening of the V; `None` if no tool is known or it has no V.
    pub v: Option<f64>,
    /// How it is computed.
    pub method: Method,
    /// Standard deviations of deduction, radius (mm) and angle at 90° (degrees), before anything is
    /// measured.
    pub(crate) spread: [f64; 3],
}

/// Standard deviation of the K-factor of a formula. Our choice: handbooks differ by twice that.
const OF_K: f64 = 0.05;

/// Standard deviation of a computed inside radius, of the radius: charts differ by a fifth.
const OF_RADIUS: f64 = 0.15;

/// Standard deviation of a measured deduction from one sheet to the next, mm, and of one that is a
/// single strip's. Our choice.
const OF_ROW: [f64; 2] = [0.1, 0.2];

/// Standard deviation of a measured radius, mm: the steps of a set of gauges. Our choice.
const OF_GAUGE: f64 = 0.25;

/// Standard deviation of an angle at 90°, degrees, where springback was computed, and where it was
/// measured. Our choice.
const OF_ANGLE: [f64; 2] = [1.0, 0.5];

/// Values that differ by no more than this are equal, mm and K-factors.
const ALIKE: f64 = 1e-6;

impl Group {
    fn of(job: &Job, solved: &Solved, index: usize) -> Option<Self> {
        let bend = &solved.part.bends[index].bend;
        if bend.form() != Form::Bent {
            return None;
        }
        let (thickness, radius, k) = (bend.thickness(), bend.radius(), bend.k());
        let v = setup(job, solved, index).and_then(|setup| setup.v);
        let sheet = &job.sheets[solved.sheet];
        let row = job.shop.as_deref().zip(v).and_then(|(shop, v)| {
            let row = shop.measured(sheet.material.name(), sheet.thickness, v)?;
            (row.v == v).then_some(row)
        });
        let [deduction, of_radius] = match (bend.method(), row) {
            // A row of another V says no more of this one than a formula does.
            (Method::Measured { v: of, .. }, Some(row)) if of == row.v => {
                let error = row.standard_error();
                let own = error.map_or(OF_ROW[1], |error| num::hypot(error, OF_ROW[0]));
                [own, OF_GAUGE]
            }
            _ => {
                let by_radius = (2.0 - num::PI / 2.0) * OF_RADIUS * radius;
                let by_k = num::PI / 2.0 * OF_K * thickness;
                [num::hypot(by_radius, by_k), OF_RADIUS * radius]
            }
        };
        let known = row.is_some_and(|row| row.springback.is_some());
        Some(Self {
            sheet: solved.sheet,
            radius,
            k,
            thickness,
            deduction: brake::measured_deduction(thickness, radius, k),
            v,
            method: bend.method(),
            spread: [deduction, of_radius, OF_ANGLE[usize::from(known)]],
        })
    }

    fn is_like(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < ALIKE;
        self.sheet == other.sheet
            && self.v == other.v
            && near(self.radius, other.radius)
            && near(self.k, other.k)
            && near(self.thickness, other.thickness)
    }

    /// K-factor if deduction and radius are off by these amounts, mm.
    pub(super) fn k_of(&self, deduction: f64, radius: f64) -> f64 {
        brake::measured_k(self.thickness, self.radius + radius, self.deduction + deduction)
    }
}

/// All groups, and by part and bend the index of its group; rolled bends and hems have none.
pub(super) fn all(job: &Job, solved: &[Solved]) -> (Vec<Group>, Vec<Vec<Option<usize>>>) {
    let mut groups: Vec<Group> = Vec::new();
    let of_part = |solved: &Solved| {
        let of_bend = |index: usize| {
            let group = Group::of(job, solved, index)?;
            let known = groups.iter().position(|known| known.is_like(&group));
            Some(known.unwrap_or_else(|| {
                groups.push(group);
                groups.len() - 1
            }))
        };
        (0..solved.part.bends.len()).map(of_bend).collect()
    };
    let of_parts = solved.iter().map(of_part).collect();
    (groups, of_parts)
}
