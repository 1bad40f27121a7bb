//! Strips that were bent and measured, and the row they give.
//!
//! A leg of a strip is measured along its outside, from its end to the mould line, where the
//! outsides of both legs meet. With a bend angle θ, inside radius R and thickness T the mould
//! line is tan(θ/2) (R + T) off the end of either straight, and the flat length between them is θ
//! (R + K T), along the neutral axis. So A + B − blank = 2 tan(θ/2) (R + T) − θ (R + K T), whatever
//! the angle: each strip gives its K by its own angle, and K the deduction at 90°, of a sheet of
//! the thickness in the row.

use crate::brake;
use crate::num::Angle;
use crate::shop::measured::ANGLES;
use crate::shop::measured::MIN_KEPT;
use crate::shop::measured::Measured;
use crate::shop::measured::MeasuredError;

/// A strip that was bent once across and measured. Lengths are mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Both legs, along their outsides to the mould line.
    pub legs: [f64; 2],
    /// Its length before bending.
    pub blank: f64,
    /// The bend angle at rest: 0° is flat.
    pub angle: Angle,
}

/// Strips of one sheet, bent over one V. Lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Strips {
    /// Row of the table `material`.
    pub material: String,
    /// Thickness that the row is for: that of the sheet as a job names it.
    pub nominal: f64,
    /// Thickness, measured.
    pub thickness: f64,
    /// Opening of the V.
    pub v: f64,
    /// The inside radius, measured.
    pub radius: f64,
    /// The strips.
    pub bent: Vec<Strip>,
    /// To what angle they were bent under load, where that was read.
    pub under_load: Option<Angle>,
}

/// The result of one strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Said {
    /// Its K-factor.
    pub k: f64,
    /// Its deduction at 90°, mm, on a sheet of the nominal thickness.
    pub deduction: f64,
}

/// What strips say together.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// The mean, as a row of a shop file.
    pub row: Measured,
    /// Each strip.
    pub each: Vec<Said>,
    /// Deduction at 90°, mm, on a sheet as thick as the strips.
    pub as_thick: f64,
}

/// Deviation from the mean of a deduction, mm, that is noticeable on a part: 0.1 mm on a flange.
/// Our choice, twice the resolution of a caliper.
pub const MATTERS: f64 = 0.2;

/// Share of a bell curve within a limit: 95 % within `STUDENT` deviations of a mean, by the number
/// of values less one (Student's t, from memory; checked by a test).
const STUDENT: [f64; 10] = [12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228];

/// The same for many values.
const NORMAL: f64 = 1.96;

/// The decrease of the limit beyond ten: by these over the number of values less one and its
/// square, (z³ + z) / 4 and (5 z⁵ + 16 z³ + 3 z) / 96 of z = 1.96 (the expansion of Student's t by
/// the bell curve, from memory; checked by a test).
const FALL: [f64; 2] = [2.372, 2.823];

/// How many standard errors cover the mean of `count` values with 95 %; at least two values.
fn student(count: usize) -> f64 {
    let freedom = count.saturating_sub(1).max(1);
    let beyond = |freedom: f64| NORMAL + FALL[0] / freedom + FALL[1] / (freedom * freedom);
    STUDENT.get(freedom - 1).copied().unwrap_or_else(|| beyond(freedom as f64))
}

impl Strips {
    /// The row that the strips give, and what each says.
    ///
    /// # Errors
    /// When a strip is bent too little or too far, or when no bend could leave the mean.
    pub fn calibrate(&self) -> Result<Calibration, MeasuredError> {
        let each =
            self.bent.iter().map(|strip| self.evaluated(strip)).collect::<Result<Vec<_>, _>>()?;
        let count = each.len() as f64;
        let mean = each.iter().map(|said| said.deduction).sum::<f64>() / count;
        let mut row =
            Measured::new(self.material.clone(), self.nominal, self.v, mean, self.radius)?;
        if each.len() > 1 {
            let squares: f64 = each.iter().map(|said| (said.deduction - mean).powi(2)).sum();
            row.scatter = Some(((squares / (count - 1.0)).sqrt(), each.len() as u32));
        }
        row.springback = self.under_load.map(|under| self.springback(under)).transpose()?;
        let as_thick = brake::measured_deduction(self.thickness, self.radius, row.k);
        Ok(Calibration { as_thick, row, each })
    }

    fn evaluated(&self, strip: &Strip) -> Result<Said, MeasuredError> {
        let Strip { legs: [one, other], blank, angle } = *strip;
        if !(ANGLES[0]..=ANGLES[1]).contains(&angle.degrees()) {
            return Err(MeasuredError::Angle(angle));
        }
        let lost = one + other - blank;
        if lost.is_nan() || lost <= 0.0 {
            return Err(MeasuredError::Deduction(lost));
        }
        let half = Angle::from_degrees(angle.degrees() / 2.0);
        let arc = 2.0 * half.tan() * (self.radius + self.thickness) - lost;
        let k = (arc / angle.radians() - self.radius) / self.thickness;
        Ok(Said { k, deduction: brake::measured_deduction(self.nominal, self.radius, k) })
    }

    /// The overbend beyond 90° under load of a bend that rests at 90°: a bend keeps a share of its
    /// angle under load.
    fn springback(&self, under_load: Angle) -> Result<Angle, MeasuredError> {
        let sum: f64 = self.bent.iter().map(|strip| strip.angle.degrees()).sum();
        let rests = sum / self.bent.len() as f64;
        let kept = rests / under_load.degrees();
        if !(MIN_KEPT..=1.0).contains(&kept) {
            let rests = Angle::from_degrees(rests);
            return Err(MeasuredError::Springback { under_load, rests });
        }
        Ok(Angle::from_degrees(90.0 / kept - 90.0))
    }
}

impl Calibration {
    /// The 95 % limit of the mean deduction, mm; `None` for a single strip.
    pub fn limit(&self) -> Option<f64> {
        self.row.standard_error().map(|error| student(self.each.len()) * error)
    }

    /// How many further strips bring the limit to no more than [`MATTERS`]: two if there is one,
    /// which does not show its scatter; as many as that scatter requires, up to ten.
    pub fn more(&self) -> usize {
        let Some((deviation, _)) = self.row.scatter else { return 2 };
        let is = self.each.len();
        let enough = |n: &usize| student(*n) * deviation / (*n as f64).sqrt() <= MATTERS;
        let needed = (is..is + MAX_MORE).find(enough).unwrap_or(is + MAX_MORE);
        needed - is
    }
}

/// More strips than this are not asked for at once. Our choice.
const MAX_MORE: usize = 10;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num;

    fn strips(bent: &[([f64; 2], f64)]) -> Strips {
        let strip = |(legs, degrees): &([f64; 2], f64)| Strip {
            legs: *legs,
            blank: 200.0,
            angle: Angle::from_degrees(*degrees),
        };
        Strips {
            material: "S235".into(),
            nominal: 4.0,
            thickness: 4.0,
            v: 32.0,
            radius: 5.1,
            bent: bent.iter().map(strip).collect(),
            under_load: None,
        }
    }

    #[test]
    fn a_strip_gives_the_deduction_its_legs_show() {
        let said = strips(&[([103.9, 104.0], 90.0)]).calibrate().unwrap();
        assert!((said.row.deduction - 7.9).abs() < 1e-9);
        assert!((0.3..0.5).contains(&said.row.k), "{}", said.row.k);
        assert!(said.row.row().contains("deduction = \"7.9 mm\""));
        assert_eq!((said.limit(), said.more()), (None, 2));
    }

    /// By hand: T 4, R 5.1, K 0.36 at 92°: 2 × tan 46° × 9.1 − 1.605703 × 6.54 = 8.34536. Taken for
    /// 90° the same legs would be K (9.85465 / 1.570796 − 5.1) / 4 = 0.2934.
    #[test]
    fn a_strip_of_92_degrees_is_corrected_to_90() {
        let lost = 8.345_355;
        let legs = [100.0, 100.0 + lost];
        let right = strips(&[(legs, 92.0)]).calibrate().unwrap();
        assert!((right.row.k - 0.36).abs() < 1e-4, "{}", right.row.k);
        // At 90°: 18.2 − 1.570796 × 6.54 = 7.92699.
        assert!((right.row.deduction - 7.926_99).abs() < 1e-4, "{}", right.row.deduction);
        let wrong = strips(&[(legs, 90.0)]).calibrate().unwrap();
        assert!((wrong.row.k - 0.2934).abs() < 1e-3, "{}", wrong.row.k);
    }

    /// By hand, deductions 7.8, 7.9, 8.1: mean 7.9333, deviation 0.15275, error 0.08819, limit
    /// 4.303 × 0.08819 = 0.3795; four need 3.182 × 0.0764 = 0.243, five 2.776 × 0.0683 = 0.19.
    #[test]
    fn several_strips_give_their_mean_and_scatter() {
        let legs = [7.8, 7.9, 8.1].map(|lost| ([100.0, 100.0 + lost], 90.0));
        let said = strips(&legs).calibrate().unwrap();
        assert!((said.row.deduction - 7.933_33).abs() < 1e-4);
        let (deviation, count) = said.row.scatter.unwrap();
        assert!((deviation - 0.152_75).abs() < 1e-4 && count == 3);
        assert!((said.limit().unwrap() - 0.3795).abs() < 1e-3);
        assert_eq!(said.more(), 2);
        let same = [7.9; 3].map(|lost| ([100.0, 100.0 + lost], 90.0));
        assert_eq!(strips(&same).calibrate().unwrap().more(), 0);
    }

    /// Strips of 3.9 mm for a row of 4 mm: the same K, 0.1 × (2 − π/2 × K) more to take off.
    #[test]
    fn a_thinner_strip_gives_the_row_of_its_sheet() {
        let thin = Strips { thickness: 3.9, ..strips(&[([103.85, 103.9], 90.0)]) };
        let said = thin.calibrate().unwrap();
        assert!((said.as_thick - 7.75).abs() < 1e-9, "{}", said.as_thick);
        let more = 0.1 * (2.0 - num::PI / 2.0 * said.row.k);
        assert!((said.row.deduction - 7.75 - more).abs() < 1e-9, "{}", said.row.deduction);
    }

    /// 92.4° under load that rest at 90°: 2.4°; at 89.1° of 91.4°: 90 × 91.4 / 89.1 − 90 = 2.32°.
    #[test]
    fn springback_is_that_of_a_bend_that_rests_at_90() {
        let of = |rests: f64, under: f64| {
            let strips = strips(&[([103.9, 104.0], rests)]);
            let under_load = Some(Angle::from_degrees(under));
            Strips { under_load, ..strips }.calibrate().map(|said| said.row.springback)
        };
        assert!((of(90.0, 92.4).unwrap().unwrap().degrees() - 2.4).abs() < 1e-9);
        assert!((of(89.1, 91.4).unwrap().unwrap().degrees() - 2.3232).abs() < 1e-3);
        assert!(matches!(of(92.0, 91.0), Err(MeasuredError::Springback { .. })));
    }

    #[test]
    fn refuses_legs_that_no_bend_leaves() {
        let of = |legs, degrees| strips(&[(legs, degrees)]).calibrate();
        assert!(matches!(of([99.0, 100.0], 90.0), Err(MeasuredError::Deduction(_))));
        assert!(matches!(of([110.0, 110.0], 90.0), Err(MeasuredError::Bend { .. })));
        assert!(matches!(of([103.9, 104.0], 45.0), Err(MeasuredError::Angle(_))));
    }

    /// Student's t of n degrees of freedom covers 95 %: its density summed by Simpson's rule.
    #[test]
    fn limits_hold_95_per_cent() {
        let many = [12, 13, 16, 31];
        for (i, limit) in STUDENT.iter().copied().chain(many.map(student)).enumerate() {
            let freedom = if i < 10 { i as f64 + 1.0 } else { many[i - 10] as f64 - 1.0 };
            let density = |t: f64| num::pow(1.0 + t * t / freedom, -(freedom + 1.0) / 2.0);
            // Substituting t = tan u makes the infinite range finite.
            let of = |u: f64| {
                let cos = Angle::from_degrees(u.to_degrees()).cos().max(1e-12);
                let t = Angle::from_degrees(u.to_degrees()).tan();
                density(t) / (cos * cos)
            };
            let sum = |to: f64| {
                let (n, to) = (4000, to.min(num::PI / 2.0 - 1e-9));
                let h = to / f64::from(n);
                let weight =
                    |i: i32| if i == 0 || i == n { 1.0 } else { 2.0 + 2.0 * f64::from(i % 2) };
                (0..=n).map(|i| weight(i) * of(h * f64::from(i))).sum::<f64>() * h / 3.0
            };
            let share = sum(num::atan(limit).radians()) / sum(num::PI);
            assert!((share - 0.95).abs() < 1e-3, "{freedom}: {share}");
        }
    }
}
