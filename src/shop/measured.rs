//! A bend measured on strips, and its row in a shop file.

use crate::bend::Bend;
use crate::bend::BendError;
use crate::bend::Method;
use crate::brake;
use crate::num;
use crate::num::Angle;
use thiserror::Error;

/// Why a measurement cannot be right.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MeasuredError {
    /// The strip grew, or did not.
    #[error("the legs of a bend together are longer than the strip was; here the difference is {} mm",
        num::text(*.0, 3))]
    Deduction(f64),
    /// What follows from it is no bend.
    #[error("the K-factor would be {}: {because}", num::text(*.k, 3))]
    Bend {
        /// ((2 (radius + thickness) − deduction) / (π/2) − radius) / thickness.
        k: f64,
        /// The error.
        because: BendError,
    },
    /// A strip that is not bent by about 90°.
    #[error("a strip is bent by {} to {}°, this one by {}; \
        the angle is measured from flat: 180° less the protractor reading between the legs",
        num::text(ANGLES[0], 0), num::text(ANGLES[1], 0), .0)]
    Angle(Angle),
    /// A strip that sprang open by less than nothing, or by far too much.
    #[error("the angle after springback is less than the angle under load, but at least {} % \
        of it; here it is {under_load} under load and {rests} after springback", num::text(MIN_KEPT * 100.0, 0))]
    Springback {
        /// Under load.
        under_load: Angle,
        /// At rest, mean of the strips.
        rests: Angle,
    },
}

/// Bend angles a strip may have, degrees. Our choice: farther from 90° the radius counts more than
/// the legs.
pub(super) const ANGLES: [f64; 2] = [60.0, 120.0];

/// Minimum share of its angle that a bend keeps. Our choice: handbooks have 0.6 and more.
pub(super) const MIN_KEPT: f64 = 0.6;

/// K-factors that air bending usually gives (common practice): outside them a measurement should be
/// checked.
pub const USUAL_K: [f64; 2] = [0.25, 0.5];

/// Two sheets are one thickness when they differ by no more than this share: 11 ga steel (3.038 mm)
/// and 3 mm do, 10 ga (3.416 mm) is another. Our choice.
pub(crate) const SAME_SHEET: f64 = 0.02;

/// A V is the same where it is no farther off, mm: inches and millimetres round differently.
const SAME_FIGURE: f64 = 1e-6;

/// A bend at 90°, measured on strips.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Row of the table `material`.
    pub material: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// Opening of the V, mm.
    pub v: f64,
    /// The bend deduction, from two legs measured outside, at 90°, mm.
    pub deduction: f64,
    /// The inside radius found, mm.
    pub radius: f64,
    /// The K that follows from these.
    pub k: f64,
    /// How much farther a bend that rests at 90° was bent under load, where that was measured.
    pub springback: Option<Angle>,
    /// Standard deviation of the deduction from strip to strip, mm, and the number of strips, where
    /// there were several.
    pub scatter: Option<(f64, u32)>,
}

impl Measured {
    /// A bend at 90° by its deduction from two legs measured outside.
    ///
    /// # Errors
    /// When no fibre within the sheet could have kept its length.
    pub fn new(
        material: String,
        thickness: f64,
        v: f64,
        deduction: f64,
        radius: f64,
    ) -> Result<Self, MeasuredError> {
        if deduction.is_nan() || deduction <= 0.0 {
            return Err(MeasuredError::Deduction(deduction));
        }
        let k = brake::measured_k(thickness, radius, deduction);
        let (springback, scatter) = (None, None);
        match Bend::new(thickness, radius, Angle::QUARTER, Method::K(k)) {
            Ok(_) => Ok(Self { material, thickness, v, deduction, radius, k, springback, scatter }),
            Err(because) => Err(MeasuredError::Bend { k, because }),
        }
    }

    /// Whether another row is of the same sheet over the same V: of the two only one is ever asked.
    pub fn is_like(&self, other: &Self) -> bool {
        self.material == other.material
            && (self.thickness - other.thickness).abs() <= SAME_SHEET * self.thickness
            && (self.v - other.v).abs() <= SAME_FIGURE
    }

    /// The share of its angle under load that a bend keeps, if it was measured.
    pub(crate) fn kept(&self) -> Option<f64> {
        self.springback.map(|more| 90.0 / (90.0 + more.degrees()))
    }

    /// The standard error of its deduction, mm, where it is a mean of several strips.
    pub fn standard_error(&self) -> Option<f64> {
        self.scatter.map(|(deviation, strips)| deviation / f64::from(strips).sqrt())
    }

    /// Its entry in a shop file.
    pub fn row(&self) -> String {
        let mm = |x: f64| num::text(x, 3);
        let mut row = format!(
            "[[measured]]\nmaterial  = \"{}\"\nthickness = \"{} mm\"\nv         = \"{} mm\"\n\
             deduction = \"{} mm\"\nradius    = \"{} mm\"\n",
            self.material,
            mm(self.thickness),
            mm(self.v),
            mm(self.deduction),
            mm(self.radius)
        );
        if let Some(more) = self.springback {
            row += &format!("springback = \"{} deg\"\n", num::text(more.degrees(), 2));
        }
        if let Some((deviation, strips)) = self.scatter {
            row += &format!("strips    = {strips}\nscatter   = \"{} mm\"\n", mm(deviation));
        }
        row
    }
}
