//! A bend measured on a strip, and its row in a shop file.

use crate::bend::Bend;
use crate::bend::BendError;
use crate::bend::Method;
use crate::brake;
use crate::num;
use crate::num::Angle;
use thiserror::Error;

/// A strip that was bent by 90° and measured. Lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Row of the table `material`.
    pub material: String,
    /// Thickness.
    pub thickness: f64,
    /// Opening of the V.
    pub v: f64,
    /// Its length before bending.
    pub blank: f64,
    /// Both legs, measured outside.
    pub legs: [f64; 2],
    /// The inside radius.
    pub radius: f64,
}

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
        /// What is wrong with it.
        because: BendError,
    },
}

impl Measured {
    /// A bend at 90° by what it takes off two legs measured outside.
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
        match Bend::new(thickness, radius, Angle::QUARTER, Method::K(k)) {
            Ok(_) => Ok(Self { material, thickness, v, deduction, radius, k }),
            Err(because) => Err(MeasuredError::Bend { k, because }),
        }
    }

    /// A bend as a strip shows it.
    ///
    /// # Errors
    /// When the measures do not fit each other.
    pub fn of(strip: &Strip) -> Result<Self, MeasuredError> {
        let deduction = strip.legs[0] + strip.legs[1] - strip.blank;
        Self::new(strip.material.clone(), strip.thickness, strip.v, deduction, strip.radius)
    }

    /// Its entry in a shop file.
    pub fn row(&self) -> String {
        let mm = |x: f64| num::text(x, 3);
        format!(
            "[[measured]]\nmaterial  = \"{}\"\nthickness = \"{} mm\"\nv         = \"{} mm\"\n\
             deduction = \"{} mm\"\nradius    = \"{} mm\"\n",
            self.material,
            mm(self.thickness),
            mm(self.v),
            mm(self.deduction),
            mm(self.radius)
        )
    }
}

/// A bend measured on a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Row of the table `material`.
    pub material: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// Opening of the V, mm.
    pub v: f64,
    /// What was taken off two legs measured outside, at 90°, mm.
    pub deduction: f64,
    /// The inside radius found, mm.
    pub radius: f64,
    /// The K that follows from these.
    pub k: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(legs: [f64; 2]) -> Strip {
        Strip { material: "S235".into(), thickness: 4.0, v: 32.0, blank: 200.0, legs, radius: 5.1 }
    }

    #[test]
    fn a_strip_gives_the_deduction_its_legs_show() {
        let measured = Measured::of(&strip([103.9, 104.0])).unwrap();
        assert!((measured.deduction - 7.9).abs() < 1e-9);
        assert!((0.3..0.5).contains(&measured.k), "{}", measured.k);
        assert!(measured.row().contains("deduction = \"7.9 mm\""));
    }

    #[test]
    fn refuses_legs_that_no_bend_leaves() {
        assert!(matches!(Measured::of(&strip([99.0, 100.0])), Err(MeasuredError::Deduction(_))));
        assert!(matches!(Measured::of(&strip([110.0, 110.0])), Err(MeasuredError::Bend { .. })));
    }
}
