//! Sizes as they are measured in the shop: to a tenth of a millimetre or a thousandth of an inch. What is
//! left is never shown larger than it is.

use crate::num;
use crate::quantity::KG_PER_LB;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::quantity::rounded::NOISE;

/// Maximum number of decimals beyond those required.
const MORE: usize = 3;

impl Units {
    /// A length in mm without its unit, to so many decimals of a mm, or a thousandth of an inch.
    pub(crate) fn figure(self, mm: f64, decimals: usize) -> String {
        match self {
            Self::Millimetre => num::text(mm, decimals),
            Self::Inch => num::text(mm / MM_PER_INCH, 3),
        }
    }

    /// A length in mm rounded down to so many decimals of a mm, or one more of an inch, with its unit.
    pub fn rounded_down(self, mm: f64, decimals: i32) -> String {
        format!("{} {}", self.figure_down(mm, decimals), self.word())
    }

    /// The same without its unit.
    fn figure_down(self, mm: f64, decimals: i32) -> String {
        let parts = [decimals, decimals + 1].map(|decimals| 10_f64.powi(decimals));
        let down = self.in_steps(mm, parts, |steps| (steps + NOISE).floor());
        num::text(down / self.in_mm(), 3)
    }

    /// Two lengths in mm with the unit once: `480 × 330 mm`.
    pub(crate) fn both(self, [length, width]: [f64; 2]) -> String {
        format!("{} × {} {}", self.figure(length, 1), self.figure(width, 1), self.word())
    }

    /// Two lengths in mm rounded down, with the unit once.
    pub(crate) fn both_down(self, [length, width]: [f64; 2]) -> String {
        format!("{} × {}", self.figure_down(length, 1), self.rounded_down(width, 1))
    }

    /// A long length in mm: metres or feet.
    pub(crate) fn long(self, mm: f64) -> String {
        match self {
            Self::Millimetre => format!("{:.2} m", mm / 1000.0),
            Self::Inch => format!("{:.2} ft", mm / (12.0 * MM_PER_INCH)),
        }
    }

    /// A mass in kg or lb, to so many decimals, or as many more as show two figures of a light part.
    pub(crate) fn mass(self, kg: f64, digits: usize) -> String {
        let (mass, unit) = match self {
            Self::Millimetre => (kg, "kg"),
            Self::Inch => (kg / KG_PER_LB, "lb"),
        };
        let most = digits + MORE;
        let is_shown = |digits: &usize| mass * 10_f64.powi(*digits as i32) >= 10.0;
        let digits =
            if mass > 0.0 { (digits..most).find(is_shown).unwrap_or(most) } else { digits };
        format!("{mass:.digits$} {unit}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_light_part_keeps_two_figures() {
        let said = [0.0015, 0.045, 1.2344, 0.0].map(|kg| Units::Millimetre.mass(kg, 3));
        assert_eq!(said, ["0.0015 kg", "0.045 kg", "1.234 kg", "0.000 kg"]);
    }
}
