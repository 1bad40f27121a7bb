//! Numbers that come out the same on every machine.
//!
//! The trigonometry of the standard library differs between platforms in the
//! last bit; here it comes from one portable library. Angles know their quarter
//! turns exactly, so a part turned by 90° has no 1e-17 in its corners.

use std::fmt;

/// Half a turn in radians.
pub const PI: f64 = std::f64::consts::PI;

/// Lengths on paper and in files are rounded to this many decimals of a millimetre.
const DECIMALS: usize = 6;

/// An angle, kept in degrees so that what was typed stays exact. Positive is anticlockwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// A quarter turn, 90°.
    pub const QUARTER: Self = Self(90.0);
    /// Zero.
    pub const ZERO: Self = Self(0.0);

    /// The angle of so many degrees.
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees)
    }

    /// The angle of so many radians.
    pub(crate) fn from_radians(radians: f64) -> Self {
        Self(radians * 180.0 / PI)
    }

    /// The direction of the vector (x, y), in −180° to 180°; 0° for the zero vector.
    pub fn of(x: f64, y: f64) -> Self {
        Self::from_radians(libm::atan2(y, x))
    }

    /// In degrees.
    pub const fn degrees(self) -> f64 {
        self.0
    }

    /// In radians.
    pub fn radians(self) -> f64 {
        self.0 * PI / 180.0
    }

    /// Sine; exact at multiples of a quarter turn.
    pub fn sin(self) -> f64 {
        self.quarter().map_or_else(|| libm::sin(self.radians()), |q| [0.0, 1.0, 0.0, -1.0][q])
    }

    /// Cosine; exact at multiples of a quarter turn.
    pub fn cos(self) -> f64 {
        self.quarter().map_or_else(|| libm::cos(self.radians()), |q| [1.0, 0.0, -1.0, 0.0][q])
    }

    /// Tangent; infinite at 90° and 270°.
    pub fn tan(self) -> f64 {
        self.sin() / self.cos()
    }

    /// Which quarter turn this is, 0 to 3, when it is one.
    fn quarter(self) -> Option<usize> {
        let turn = self.0.rem_euclid(360.0);
        [0.0, 90.0, 180.0, 270.0].iter().position(|q| *q == turn)
    }
}

impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}°", text(self.0, 3))
    }
}

/// √(x² + y²) without overflow.
pub(crate) fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Logarithm to base ten.
pub(crate) fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// `x` to the power `y`.
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Angle whose sine is `x`, which is limited to −1 … 1.
pub fn asin(x: f64) -> Angle {
    Angle::from_radians(libm::asin(x.clamp(-1.0, 1.0)))
}

/// Angle whose cosine is `x`, which is limited to −1 … 1.
pub(crate) fn acos(x: f64) -> Angle {
    Angle::from_radians(libm::acos(x.clamp(-1.0, 1.0)))
}

/// Angle whose tangent is `x`.
pub(crate) fn atan(x: f64) -> Angle {
    Angle::from_radians(libm::atan(x))
}

/// The number rounded to the grid of written files, a millionth of a millimetre; never −0.
pub(crate) fn on_grid(x: f64) -> f64 {
    let scale = 1e6;
    let rounded = (x * scale).round() / scale;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// A number for a file: on the grid, no exponent, no trailing zeros, no `-0`.
pub(crate) fn file_text(x: f64) -> String {
    text(x, DECIMALS)
}

/// Words with a capital first.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A price with its currency, `58.00 EUR`; without where the currency is empty.
pub fn money(price: f64, currency: &str) -> String {
    format!("{price:.2} {currency}").trim_end().to_owned()
}

/// A number with its noun: `1 nut`, `4 nuts`, `0.5 tons`.
pub(crate) fn counted(number: impl ToString, noun: &str) -> String {
    let number = number.to_string();
    let plural = if number == "1" { "" } else { "s" };
    format!("{number} {noun}{plural}")
}

/// A number with at most `decimals` decimals: no exponent, no trailing zeros, no `-0`. What is half
/// way between two is rounded away from zero, whatever noise its sums have left in it.
pub fn text(x: f64, decimals: usize) -> String {
    let ten = |n: usize| (0..n).fold(1.0_f64, |power, _| power * 10.0);
    let scale = ten(decimals);
    let noise = ten(NOISE.saturating_sub(decimals));
    let steps = ((x * scale * noise).round() / noise).round();
    if steps.abs() <= EXACT {
        return of_steps(steps as i64, decimals);
    }
    // What is too large for that has no such decimals.
    let rounded = steps / scale;
    let x = if rounded.is_finite() { rounded } else { x };
    let mut out = format!("{x:.decimals$}");
    if out.contains('.') {
        out.truncate(out.trim_end_matches('0').trim_end_matches('.').len());
    }
    out
}

/// Decimals beyond which a number is noise of its binary form.
const NOISE: usize = 9;

/// Steps up to here are whole numbers, and the number that is so many of them has no other decimals.
const EXACT: f64 = 1e15;

/// A number of steps of the last decimal, in digits: quicker than those of the binary form.
fn of_steps(steps: i64, decimals: usize) -> String {
    let mut digits = format!("{:0>width$}", steps.unsigned_abs(), width = decimals + 1);
    let (mut end, point) = (digits.len(), digits.len() - decimals);
    while end > point && digits.as_bytes()[end - 1] == b'0' {
        end -= 1;
    }
    digits.truncate(end);
    if end > point {
        digits.insert(point, '.');
    }
    if steps < 0 {
        digits.insert(0, '-');
    }
    digits
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn quarter_turns_are_exact() {
        for (degrees, sin, cos) in
            [(0.0, 0.0, 1.0), (90.0, 1.0, 0.0), (-90.0, -1.0, 0.0), (540.0, 0.0, -1.0)]
        {
            let angle = Angle::from_degrees(degrees);
            assert_eq!((angle.sin(), angle.cos()), (sin, cos), "{degrees}");
        }
    }

    #[test]
    fn numbers_are_written_plainly() {
        let cases = [(-0.0, "0"), (-1e-9, "0"), (1e-7, "0"), (12.0, "12"), (0.1 + 0.2, "0.3")];
        for (x, wanted) in cases {
            assert_eq!(file_text(x), wanted);
        }
        assert_eq!(text(1200.0, 0), "1200");
        // Sums that give the same length read the same.
        for (x, decimals, wanted) in [
            (31.75, 1, "31.8"),
            (31.75 - 4e-15, 1, "31.8"),
            (-31.75 + 4e-15, 1, "-31.8"),
            (25.55, 1, "25.6"),
            (0.1875, 3, "0.188"),
            (0.1875 - 3e-17, 3, "0.188"),
            (2.675, 2, "2.68"),
            (0.5, 0, "1"),
        ] {
            assert_eq!(text(x, decimals), wanted, "{x:?}");
        }
        assert_eq!(file_text(123_456_789.0), "123456789");
        assert_eq!(text(1e18, 2), "1000000000000000000");
        assert_eq!(text(f64::MAX, 3).len(), 309);
    }

    /// As the standard library writes the number of so many steps.
    #[test]
    fn digits_are_those_of_the_number() {
        let most = EXACT as i64;
        proptest!(|(steps in -most..=most, shift in 0..15_u32, decimals in 0..9_usize)| {
            let steps = steps / 10_i64.pow(shift);
            let scale = (0..decimals).fold(1.0_f64, |power, _| power * 10.0);
            let written = format!("{:.decimals$}", steps as f64 / scale);
            let wanted = match written.contains('.') {
                true => written.trim_end_matches('0').trim_end_matches('.'),
                false => &written,
            };
            prop_assert_eq!(of_steps(steps, decimals), wanted.to_owned());
        });
    }
}
