//! What a brake has to do for one bend: opening, force, springback, where to clamp.
//!
//! Lengths are millimetres, stresses MPa, forces kN. Angles are the *bend angle* of the
//! flange. The figures of air bending are those of tool-room charts, which differ from
//! each other by a fifth; nothing here is finer than that.

use crate::num;
use crate::num::Angle;

/// kN in a short ton-force, exact: 2000 × 0.45359237 kg × 9.80665 m/s².
const KN_PER_SHORT_TON: f64 = 8.896_443_230_521;

/// How many times the thickness a V is wide. Four charts agree: 6 up to 2.6 mm, 8 from
/// 3 to 8 mm, 10 from 9 to 10 mm, 12 from 14 mm; between 10 and 14 mm they differ.
pub(crate) fn v_ratio(thickness: f64) -> f64 {
    match thickness {
        t if t < 2.8 => 6.0,
        t if t < 8.5 => 8.0,
        t if t < 12.0 => 10.0,
        _ => 12.0,
    }
}

/// The opening of the V that is usual for a thickness, mm.
pub fn v_opening(thickness: f64) -> f64 {
    v_ratio(thickness) * thickness
}

/// The inside radius of air bending, as a share of the opening of the V: common practice.
const SHARE: f64 = 0.16;

/// The opening of a V over which air bending gives an inside radius, mm.
pub(crate) fn opening(radius: f64) -> f64 {
    radius / SHARE
}

/// The inside radius that air bending over a V gives, mm: 0.16 V.
pub fn inside_radius(v: f64) -> f64 {
    SHARE * v
}

/// The shortest flange that still rests on both shoulders of a V, mm, outside: 0.70 V.
pub fn min_flange(v: f64) -> f64 {
    0.70 * v
}

/// Force to air-bend a length of sheet over a V, kN: 1.48 Rm L t² / V, give or take a fifth.
pub fn force(tensile: f64, length: f64, thickness: f64, v: f64) -> f64 {
    1.48 * tensile * length * thickness * thickness / v / 1000.0
}

/// A force in short tons of 2000 lbf, as brakes in inches are rated.
pub fn short_tons(kilonewtons: f64) -> f64 {
    kilonewtons / KN_PER_SHORT_TON
}

/// Tensile strength of mild steel as the charts have it, MPa.
pub const MILD_STEEL: f64 = 450.0;

/// The thickness of a metal of strength `rated` that bends as hard as this sheet, mm: the
/// moment follows Rm t².
pub(crate) fn as_hard(tensile: f64, rated: f64, thickness: f64) -> f64 {
    thickness * (tensile / rated).sqrt()
}

/// The moment that bends a strip by hand, N·mm: its whole section yields at the tensile strength of
/// its metal, MPa, which it reaches by hardening. Plastic modulus of a rectangle, w t²/4 (AISC 360
/// F11: Mp = Fy Z), with the typical or maximum tensile strength in place of Fy, so that the moment
/// is not underestimated. Lengths are mm.
pub(crate) fn moment_by_hand(tensile: f64, width: f64, thickness: f64) -> f64 {
    tensile * width * thickness * thickness / 4.0
}

/// The share a bend keeps after springback: radius under load over radius after, which is the angle
/// after over the angle under load. Ri/Rf = 4X³ − 3X + 1, X = Ri Y / (E T).
///
/// None where X reaches a half: the sheet springs back whole and takes no bend.
pub fn kept(radius: f64, thickness: f64, yields: f64, elastic: f64) -> Option<f64> {
    let x = radius * yields / (elastic * thickness);
    (x < 0.5).then_some(4.0 * x * x * x - 3.0 * x + 1.0)
}

/// The inside radius under load of a bend that rests at a radius, mm, by the same formula: with a =
/// Rf Y / (E T) the share k = Ri/Rf solves k = 4 (a k)³ − 3 a k + 1.
pub(crate) fn under_load(rests: f64, thickness: f64, yields: f64, elastic: f64) -> f64 {
    let a = rests * yields / (elastic * thickness);
    // Convex and falling, so that halving finds the one root below a k = 1/2.
    let (mut low, mut high) = (0.0_f64, (0.5 / a).min(1.0));
    for _ in 0..HALVINGS {
        let k = f64::midpoint(low, high);
        let x = a * k;
        if 4.0 * x * x * x - 3.0 * x + 1.0 > k { low = k } else { high = k }
    }
    rests * high
}

/// Halvings in [`under_load`]: to the last digit.
const HALVINGS: usize = 60;

/// Metals of which a handbook has the share kR that a bend keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Springback {
    /// DC01, soft steel for cold forming.
    Dc01,
    /// X12CrNi18-8, austenitic stainless steel.
    X12CrNi188,
    /// AlSiMgMn, aluminium that is hardened by heat.
    AlSiMgMn,
}

/// Inside radius over thickness of the columns of kR. From memory: the headings are cut off
/// in the copy of the handbook's page on DIN 6935 from which the values are.
const KR_RATIOS: [f64; 11] = [1.0, 1.6, 2.5, 4.0, 6.3, 10.0, 16.0, 25.0, 40.0, 63.0, 100.0];

impl Springback {
    /// The metal of a handbook's row.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "DC01" => Some(Self::Dc01),
            "X12CrNi18-8" => Some(Self::X12CrNi188),
            "AlSiMgMn" => Some(Self::AlSiMgMn),
            _ => None,
        }
    }

    /// As printed; the row of stainless steel ends early.
    fn row(self) -> &'static [f64] {
        match self {
            Self::Dc01 => &[0.99, 0.99, 0.99, 0.97, 0.96, 0.96, 0.93, 0.90, 0.85, 0.77, 0.66],
            Self::X12CrNi188 => &[0.99, 0.98, 0.97, 0.95, 0.93, 0.89, 0.84, 0.76, 0.63],
            Self::AlSiMgMn => &[0.98, 0.98, 0.97, 0.96, 0.95, 0.93, 0.90, 0.86, 0.82, 0.76, 0.72],
        }
    }

    /// Angle after over angle under load, kR, where inside radius over thickness is in the
    /// range of the row; linear between two columns. Below the first column, that one applies: the
    /// share grows with a smaller radius, so it errs towards more springback.
    pub fn kept(self, ratio: f64) -> Option<f64> {
        let row = self.row();
        let ratios = &KR_RATIOS[..row.len()];
        let ratio = ratio.max(ratios[0]);
        let at = ratios.windows(2).position(|pair| (pair[0]..=pair[1]).contains(&ratio))?;
        let share = (ratio - ratios[at]) / (ratios[at + 1] - ratios[at]);
        Some(row[at] + (row[at + 1] - row[at]) * share)
    }
}

/// How far a bend must be bent for it to rest at `angle`, where it keeps a share.
pub(crate) fn angle_under_load(angle: Angle, kept: f64) -> Angle {
    Angle::from_degrees(angle.degrees() / kept)
}

/// From the line where the bend begins on the clamped side to the sight line, mm, towards
/// the flange: one inside radius. The sight line is under the nose of the brake. FAA-H-8083-31,
/// from memory.
pub(crate) fn sight_line(radius: f64) -> f64 {
    radius
}

/// The height of the shoulders of a V when its punch has bent the sheet to an angle, mm above the
/// tip of the punch; below it, so less than 0. `radius` is the sheet's inside at that bend angle;
/// the legs are assumed straight from where the bend ends.
pub(crate) fn shoulders(v: f64, thickness: f64, radius: f64, angle: Angle) -> f64 {
    let half = Angle::from_degrees(angle.degrees() / 2.0);
    let round = if radius.is_finite() { radius * (1.0 / half.cos() - 1.0) } else { 0.0 };
    v / 2.0 * half.tan() - thickness / half.cos() - round
}

/// The K by which a bend at 90° takes up what was measured: `deduction` off two legs
/// measured outside, with a measured inside radius. The neutral axis is then K
/// thicknesses outside the inner face.
pub(crate) fn measured_k(thickness: f64, radius: f64, deduction: f64) -> f64 {
    let allowance = 2.0 * (radius + thickness) - deduction;
    (allowance / (num::PI / 2.0) - radius) / thickness
}

/// What a bend at 90° takes off two legs measured outside, mm, by its K: the way back from
/// [`measured_k`].
pub(crate) fn measured_deduction(thickness: f64, radius: f64, k: f64) -> f64 {
    2.0 * (radius + thickness) - num::PI / 2.0 * (radius + k * thickness)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_that_takes_no_bend_has_a_reason_of_its_own() {
        assert_eq!(kept(500.0, 1.0, 300.0, 210_000.0), None);
        let soft = kept(2.0, 2.0, 235.0, 210_000.0).unwrap();
        let hard = kept(2.0, 2.0, 700.0, 210_000.0).unwrap();
        assert!(hard < soft && soft < 1.0);
    }

    /// A handbook's kR: values seen, headings of the columns from memory.
    #[test]
    fn kr_is_the_handbook_s_in_its_range_and_its_first_below() {
        let kept = |metal: Springback, ratio| metal.kept(ratio);
        assert_eq!(kept(Springback::Dc01, 1.275), Some(0.99));
        assert_eq!(kept(Springback::Dc01, 100.0), Some(0.66));
        assert_eq!(kept(Springback::X12CrNi188, 40.0), Some(0.63));
        assert_eq!(kept(Springback::X12CrNi188, 41.0), None);
        assert_eq!(kept(Springback::AlSiMgMn, 0.9), kept(Springback::AlSiMgMn, 1.0));
        let between = kept(Springback::Dc01, 5.15).unwrap();
        assert!((between - 0.965).abs() < 1e-12);
        // S235 of 4 mm round 5.1 mm at 45°: 0.45° of overbend.
        let under = angle_under_load(Angle::from_degrees(45.0), 0.99).degrees();
        assert!((under - 45.45).abs() < 0.01);
    }

    #[test]
    fn a_radius_under_load_springs_back_to_the_one_asked_for() {
        for rests in [20.0, 100.0, 500.0, 3000.0] {
            let under = under_load(rests, 2.0, 300.0, 210_000.0);
            let share = kept(under, 2.0, 300.0, 210_000.0).unwrap();
            assert!((under / share - rests).abs() < 1e-6 * rests, "{rests}: {under}");
        }
    }

    #[test]
    fn the_bend_angle_is_the_angle_left_after_springback() {
        let under = angle_under_load(Angle::QUARTER, 0.95);
        assert!((under.degrees() * 0.95 - 90.0).abs() < 1e-12);
    }

    #[test]
    fn a_measured_deduction_comes_back_from_its_k() {
        let k = measured_k(4.0, 5.0, 7.3);
        let allowance = num::PI / 2.0 * (5.0 + k * 4.0);
        assert!((2.0 * 9.0 - allowance - 7.3).abs() < 1e-12);
    }

    #[test]
    fn force_goes_by_the_square_of_the_thickness_and_against_the_opening() {
        let one = force(450.0, 1000.0, 3.0, 24.0);
        assert!((force(450.0, 1000.0, 6.0, 48.0) / one - 2.0).abs() < 1e-12);
        assert!((as_hard(450.0, MILD_STEEL, 3.0) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn the_punch_rests_on_the_flat_sheet_and_goes_deeper_with_the_angle() {
        let at = |degrees| shoulders(32.0, 4.0, 5.0, Angle::from_degrees(degrees));
        assert!((at(0.0) + 4.0).abs() < 1e-12);
        assert!(at(30.0) < at(60.0) && at(60.0) < at(90.0));
    }
}
