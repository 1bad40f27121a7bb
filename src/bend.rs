//! Allowance, deduction and setback of one bend.
//!
//! Lengths are millimetres. Angles here are the *bend angle*: 0° is flat
//! sheet, 90° an L. DIN 6935 speaks of the *opening* β between the legs instead;
//! bend angle = 180° − β. Its k counts in halves of the thickness: the K-factor used
//! elsewhere, and here, is k/2.

mod form;
mod method;
mod rule;

use crate::num;
use crate::num::Angle;
pub use form::Form;
pub use method::Method;
pub(crate) use rule::Development;
pub(crate) use rule::Rule;
pub use rule::Trust;
pub(crate) use rule::Unfolding;
use thiserror::Error;

/// One bend. Checked when made, so its dimensions cannot fail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    thickness: f64,
    radius: f64,
    angle: Angle,
    method: Method,
    form: Form,
}

/// Why a bend cannot be unfolded.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum BendError {
    /// No sheet.
    #[error("the sheet must be thicker than 0 mm, not {0} mm")]
    Thickness(f64),
    /// Too sharp for the formula.
    #[error("an inside radius of {} mm is too small to be computed: at least {} mm",
        num::text(*.radius, 3), num::text(*.min, 3))]
    Radius {
        /// Asked for, mm.
        radius: f64,
        /// Smallest, mm.
        min: f64,
    },
    /// Hardly a bend, or a hem.
    #[error("a bend angle is 1° to 170°, not {0}")]
    Angle(Angle),
    /// Hardly a bend, or more than a closed eye.
    #[error("a rolled bend is 1° to 355°, not {0}")]
    Rolled(Angle),
    /// No neutral axis inside the sheet.
    #[error("a K-factor is between 0 and 0.5, not {0}")]
    K(f64),
}

impl Bend {
    /// Sharpest r/s that is unfolded. Our choice: the formula for k reaches 0 at 0.05.
    const MIN_RATIO: f64 = 0.1;
    /// Largest bend angle, degrees: beyond it is a hem, which is another operation. Our choice.
    const MAX_ANGLE: f64 = 170.0;
    /// Largest angle of a rolled bend, degrees: a closed eye. Our choice.
    const MAX_ROLLED: f64 = 355.0;
    /// Angle of a hem, degrees.
    const HEM: f64 = 180.0;
    /// Inside radius of a closed hem in thicknesses, so that its two sides are not one surface: its
    /// neutral axis is at mid-thickness, half a thickness from the fold. Our choice:
    /// 0.002 mm in 2 mm of sheet, which no flat or solid shows.
    const CLOSED: f64 = 0.001;

    /// A bend of `thickness` sheet round `radius` (its inside), bent by `angle`.
    ///
    /// # Errors
    /// When a value is not finite, or outside what the method covers.
    pub fn new(
        thickness: f64,
        radius: f64,
        angle: Angle,
        method: Method,
    ) -> Result<Self, BendError> {
        if !(thickness > 0.0 && thickness.is_finite()) {
            return Err(BendError::Thickness(thickness));
        }
        let min = thickness * Self::MIN_RATIO;
        if !(radius >= min && radius.is_finite()) {
            return Err(BendError::Radius { radius, min });
        }
        if !(1.0..=Self::MAX_ANGLE).contains(&angle.degrees()) {
            return Err(BendError::Angle(angle));
        }
        match method {
            Method::K(k) | Method::Measured { k, .. } if !(k > 0.0 && k <= 0.5) => {
                Err(BendError::K(k))
            }
            _ => Ok(Self { thickness, radius, angle, method, form: Form::Bent }),
        }
    }

    /// A rolled bend of `thickness` sheet round `radius` (its inside).
    ///
    /// # Errors
    /// When a value is not finite, or outside what the method covers.
    pub fn rolled(
        thickness: f64,
        radius: f64,
        angle: Angle,
        method: Method,
    ) -> Result<Self, BendError> {
        let made = Self::new(thickness, radius, Angle::QUARTER, method)?;
        if !(1.0..=Self::MAX_ROLLED).contains(&angle.degrees()) {
            return Err(BendError::Rolled(angle));
        }
        Ok(Self { angle, form: Form::Rolled, ..made })
    }

    /// A hem with a clear distance of `opening` between its two sides.
    ///
    /// # Errors
    /// When a value is not finite, or outside what the method covers.
    pub fn open_hem(thickness: f64, opening: f64, method: Method) -> Result<Self, BendError> {
        let made = Self::new(thickness, opening / 2.0, Angle::QUARTER, method)?;
        Ok(Self { angle: Angle::from_degrees(Self::HEM), form: Form::OpenHem, ..made })
    }

    /// A hem whose two sides lie on each other. Its bend allowance is half a circle round the
    /// mid-plane of the sheet, π/2 thicknesses: a deduction of 0.43 thicknesses, common practice. A
    /// K-factor of the shop's own counts from the inner face.
    ///
    /// # Errors
    /// When the sheet has no thickness, or for a K-factor outside it.
    pub fn closed_hem(thickness: f64, own: Option<f64>) -> Result<Self, BendError> {
        let method = Method::K(own.unwrap_or(0.5 - Self::CLOSED));
        // Any radius that a bend may have: it is closed afterwards.
        Self::new(thickness, thickness, Angle::QUARTER, method)?;
        let radius = Self::CLOSED * thickness;
        let angle = Angle::from_degrees(Self::HEM);
        Ok(Self { thickness, radius, angle, method, form: Form::ClosedHem })
    }

    /// Thickness of the sheet, mm.
    pub const fn thickness(&self) -> f64 {
        self.thickness
    }

    /// Inside radius, mm.
    pub const fn radius(&self) -> f64 {
        self.radius
    }

    /// The bend angle: how far the flange is bent from flat.
    pub const fn angle(&self) -> Angle {
        self.angle
    }

    /// How it is formed.
    pub const fn form(&self) -> Form {
        self.form
    }

    /// How the neutral axis is found.
    pub const fn method(&self) -> Method {
        self.method
    }

    /// K: the neutral axis is K thicknesses outside the inner face.
    pub fn k(&self) -> f64 {
        match self.method {
            Method::Din6935 => {
                (0.65 + 0.5 * num::log10(self.radius / self.thickness)).min(1.0) / 2.0
            }
            Method::Faa => 0.0078 * 180.0 / num::PI,
            Method::K(k) | Method::Measured { k, .. } => k,
        }
    }

    /// Length of flat sheet that becomes the bend, mm.
    ///
    /// ```
    /// use platewright::bend::Bend;
    /// use platewright::bend::Method;
    /// use platewright::num::Angle;
    ///
    /// // FAA-H-8083-31, vol. 1 ch. 4, bends this U-channel: 0.040 in sheet, 0.16 in inside.
    /// let inch = 25.4;
    /// let bend = Bend::new(0.040 * inch, 0.16 * inch, Angle::QUARTER, Method::Faa)?;
    /// assert!((bend.setback() / inch - 0.200).abs() < 1e-9);
    /// // (0.01743 × 0.16 + 0.0078 × 0.040) × 90
    /// assert!((bend.allowance() / inch - 0.27907).abs() < 5e-6);
    /// assert!((bend.deduction() / inch - (2.0 * 0.200 - 0.27907)).abs() < 5e-6);
    /// # Ok::<(), platewright::bend::BendError>(())
    /// ```
    pub fn allowance(&self) -> f64 {
        match self.method {
            Method::Faa => (0.01743 * self.radius + 0.0078 * self.thickness) * self.angle.degrees(),
            _ => self.angle.radians() * (self.radius + self.k() * self.thickness),
        }
    }

    /// From the sharp outside corner back to where the bend begins, mm: tan(angle/2) (R + T).
    /// From 180° on there is no such corner: infinite.
    pub fn setback(&self) -> f64 {
        self.half_tangent() * (self.radius + self.thickness)
    }

    /// From what a caliper reads along a leg back to where the bend begins, mm: from the
    /// sharp outside corner up to 90°, beyond that from the outside of the bend itself, R + T.
    /// So DIN 6935 takes legs for openings of less than 90°.
    pub fn caliper_setback(&self) -> f64 {
        self.half_tangent().min(1.0) * (self.radius + self.thickness)
    }

    /// From the sharp inside corner back to where the bend begins, mm: tan(angle/2) R.
    pub(crate) fn inside_setback(&self) -> f64 {
        self.half_tangent() * self.radius
    }

    /// What to take off the sum of two legs measured to the sharp outside corner, mm.
    pub fn deduction(&self) -> f64 {
        2.0 * self.setback() - self.allowance()
    }

    /// From where the bend begins to the inside of the face it carries, mm, as far as a hole or a
    /// wrench may count on it: nothing beside a rolled bend, whose inside rises slowly.
    pub(crate) fn inside_distance(&self) -> f64 {
        match self.form {
            Form::Rolled => 0.0,
            _ => self.inside_setback().min(self.radius),
        }
    }

    fn half_tangent(&self) -> f64 {
        if self.angle.degrees() >= 180.0 {
            return f64::INFINITY;
        }
        Angle::from_degrees(self.angle.degrees() / 2.0).tan()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: f64 = 25.4;

    fn bend(t: f64, r: f64, angle: f64, method: Method) -> Bend {
        Bend::new(t, r, Angle::from_degrees(angle), method).unwrap()
    }

    #[test]
    fn allowance_and_deduction_close_the_sum_of_the_legs() {
        for method in [Method::Din6935, Method::Faa, Method::K(0.42)] {
            for angle in [5.0, 45.0, 90.0, 135.0] {
                let b = bend(2.0, 2.5, angle, method);
                let flats = (40.0 - b.setback()) + (30.0 - b.setback());
                assert!((flats + b.allowance() - (70.0 - b.deduction())).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn halving_every_measure_halves_the_allowance() {
        let (one, half) =
            (bend(4.0, 5.0, 60.0, Method::Din6935), bend(2.0, 2.5, 60.0, Method::Din6935));
        assert!((one.allowance() - 2.0 * half.allowance()).abs() < 1e-12);
    }

    #[test]
    fn the_faa_formula_is_a_k_of_0_4469_within_its_rounding() {
        let faa = bend(0.05 * INCH, 0.032 * INCH, 90.0, Method::Faa);
        assert!((faa.k() - 0.4469).abs() < 5e-5);
        let by_k = bend(0.05 * INCH, 0.032 * INCH, 90.0, Method::K(faa.k()));
        assert!((faa.allowance() - by_k.allowance()).abs() < 2e-3);
    }

    /// DIN 6935: k is 1 from r/s of about 5 on, so a rolled bend unfolds at mid-thickness.
    #[test]
    fn a_rolled_bend_is_the_arc_of_its_middle() {
        let angle = Angle::from_degrees(300.0);
        let eye = Bend::rolled(3.0, 30.0, angle, Method::Din6935).unwrap();
        assert!((eye.allowance() - num::PI * 300.0 / 180.0 * 31.5).abs() < 1e-9);
        assert!(eye.setback().is_infinite() && (eye.caliper_setback() - 33.0).abs() < 1e-12);
        let most = Angle::from_degrees(356.0);
        assert_eq!(Bend::rolled(3.0, 30.0, most, Method::Faa), Err(BendError::Rolled(most)));
    }

    /// Common practice: legs measured to the fold, less 0.43 thicknesses.
    #[test]
    fn a_closed_hem_takes_0_43_thicknesses_off_its_legs() {
        let hem = Bend::closed_hem(1.5, None).unwrap();
        let legs = 2.0 * 1.5;
        assert!((legs - hem.allowance() - 0.43 * 1.5).abs() < 0.002);
        // Measured to the fold as the part has it.
        let deduction = 2.0 * hem.caliper_setback() - hem.allowance();
        assert!((deduction - 0.43 * 1.5).abs() < 0.005);
        let open = Bend::open_hem(1.5, 3.0, Method::Din6935).unwrap();
        assert!((open.radius() - 1.5).abs() < 1e-12 && open.angle().degrees() == 180.0);
    }

    #[test]
    fn refuses_what_it_cannot_unfold() {
        let l = Angle::QUARTER;
        assert_eq!(Bend::new(0.0, 1.0, l, Method::Faa), Err(BendError::Thickness(0.0)));
        assert!(matches!(Bend::new(2.0, f64::NAN, l, Method::Faa), Err(BendError::Radius { .. })));
        assert_eq!(Bend::new(2.0, 2.0, l, Method::K(0.7)), Err(BendError::K(0.7)));
        let hem = Bend::new(2.0, 2.0, Angle::from_degrees(180.0), Method::Faa).unwrap_err();
        assert_eq!(hem.to_string(), "a bend angle is 1° to 170°, not 180°");
    }
}
