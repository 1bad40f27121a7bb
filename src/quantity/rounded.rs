//! Lengths rounded to what a shop measures and sets.

use crate::quantity::FINEST_FRACTION;
use crate::quantity::Units;
use crate::quantity::is_whole;

/// Beyond a whole step by less, a length counts as the step: noise of its sums, in steps.
pub(super) const NOISE: f64 = 1e-6;

impl Units {
    /// A length in mm, in mm, rounded down to 0.1 mm or 0.01 in: a clearance, which is never printed
    /// larger than it is. One that is smaller than a step stays as it is, so that it is not printed
    /// as contact.
    pub(crate) fn clearance(self, mm: f64) -> f64 {
        let down = self.in_steps(mm, [10.0, 100.0], |steps| (steps + NOISE).floor());
        if down > 0.0 { down } else { mm }
    }

    /// A length to cut to, in mm, printed to 0.1 mm, which a tape and a saw can do, or 0.001 in, in which
    /// walls are named.
    pub(crate) fn cut_to(self, mm: f64) -> String {
        self.length(self.in_steps(mm, [10.0, 1000.0], f64::round))
    }

    /// A length in mm, printed to 0.001 mm or 0.001 in, rounded up: it is sufficient when typed.
    pub(crate) fn length_up(self, mm: f64) -> String {
        self.length(self.unless_fraction(mm, |steps| (steps - NOISE).ceil()))
    }

    /// The same rounded down.
    pub(crate) fn length_down(self, mm: f64) -> String {
        self.length(self.unless_fraction(mm, |steps| (steps + NOISE).floor()))
    }

    /// A length in mm rounded to 0.001 mm or 0.001 in, in mm; 64ths of an inch stay.
    fn unless_fraction(self, mm: f64, round: impl Fn(f64) -> f64) -> f64 {
        let is_fraction = self == Self::Inch && is_whole(mm / self.in_mm() * FINEST_FRACTION);
        if is_fraction { mm } else { self.in_steps(mm, [1000.0, 1000.0], round) }
    }

    /// A length in mm as a tape has it, printed to 0.1 mm or 0.01 in.
    pub fn taped(self, mm: f64) -> String {
        self.length(self.in_steps(mm, [10.0, 100.0], f64::round))
    }

    /// The same rounded up: it is sufficient when typed.
    pub(crate) fn taped_up(self, mm: f64) -> String {
        self.length(self.in_steps(mm, [10.0, 100.0], |steps| (steps - NOISE).ceil()))
    }

    /// A setting between pins in mm, printed to 0.01 mm or 0.001 in.
    pub(crate) fn setting(self, mm: f64) -> String {
        self.length(self.in_steps(mm, [100.0, 1000.0], f64::round))
    }

    /// The shortest and the longest setting between pins in mm, to 0.01 mm or 0.001 in: neither is
    /// printed beyond what can be set.
    pub(crate) fn settings(self, [shortest, longest]: [f64; 2]) -> [String; 2] {
        let of = |mm: f64, round: fn(f64) -> f64| self.in_steps(mm, [100.0, 1000.0], round);
        let shortest = of(shortest, |steps| (steps - NOISE).ceil());
        let longest = of(longest, |steps| (steps + NOISE).floor());
        [shortest, longest].map(|mm| self.length(mm))
    }

    /// A length in mm rounded to parts of a millimetre or of an inch, in mm.
    pub(super) fn in_steps(self, mm: f64, parts: [f64; 2], round: impl Fn(f64) -> f64) -> f64 {
        let parts = match self {
            Self::Millimetre => parts[0],
            Self::Inch => parts[1],
        };
        round(mm / self.in_mm() * parts) / parts * self.in_mm()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clearances_are_rounded_down_and_never_to_contact() {
        let [mm, inch] = [Units::Millimetre, Units::Inch];
        let printed = |units: Units, left: f64| units.length(units.clearance(left));
        assert_eq!(printed(mm, 44.199), "44.1 mm");
        assert_eq!(printed(mm, 0.3 - 0.1), "0.2 mm");
        assert_eq!(printed(mm, 0.04), "0.04 mm");
        assert_eq!(printed(inch, 1.239 * 25.4), "1.23 in");
    }

    #[test]
    fn what_is_too_short_and_what_is_enough_are_never_printed_alike() {
        let [mm, inch] = [Units::Millimetre, Units::Inch];
        let both = |units: Units, at: f64| [units.length_down(at), units.length_up(at)];
        assert_eq!(both(mm, 1.8974), ["1.897 mm", "1.898 mm"]);
        assert_eq!(both(mm, 6.0), ["6 mm", "6 mm"]);
        assert_eq!(both(inch, 0.1875 * 25.4), ["3/16 in", "3/16 in"]);
        assert_eq!(both(inch, 0.18749 * 25.4), ["0.187 in", "0.188 in"]);
    }

    #[test]
    fn a_length_to_cut_to_is_rounded_once_in_its_unit() {
        assert_eq!(Units::Millimetre.cut_to(742.9084), "742.9 mm");
        assert_eq!(Units::Inch.cut_to(29.2482 * 25.4), "29.248 in");
        // Rounded to 0.1 mm before, it would be 29.2480 in of 29.2441.
        assert_eq!(Units::Inch.cut_to(742.8), "29.244 in");
        assert_eq!(Units::Inch.cut_to(30.5 * 25.4 + 0.002), "30-1/2 in");
    }

    #[test]
    fn settings_stay_within_their_range() {
        assert_eq!(Units::Millimetre.taped(119.381), "119.4 mm");
        assert_eq!(Units::Millimetre.taped_up(24.243), "24.3 mm");
        assert_eq!(Units::Inch.taped_up(0.955 * 25.4), "0.96 in");
        assert_eq!(Units::Millimetre.setting(540.4632), "540.46 mm");
        let range = Units::Millimetre.settings([531.963, 548.967]);
        assert_eq!(range, ["531.97 mm", "548.96 mm"]);
        assert_eq!(Units::Millimetre.settings([1600.0, 1621.0]), ["1600 mm", "1621 mm"]);
        assert_eq!(
            Units::Inch.settings([20.1234 * 25.4, 21.9876 * 25.4]),
            ["20.124 in", "21.987 in"]
        );
    }
}
