//! Figures of the page, in the units of the job: remaining, allowable or filled values are never
//! shown larger than they are.

use crate::num;
use crate::quantity::Units;
use crate::report::Force;
use crate::report_page::Page;

impl Page<'_> {
    /// A length to the precision of the job; empty if there is none.
    pub(super) fn length(&self, mm: Option<f64>) -> String {
        mm.map_or_else(String::new, |mm| self.job.units.length(mm))
    }

    /// A length to the precision of the shop: to a tenth of a mm.
    pub(super) fn shop(&self, mm: f64) -> String {
        self.rounded(mm, 1)
    }

    /// A length of a fit: to a hundredth of a mm.
    pub(super) fn shop_fine(&self, mm: f64) -> String {
        self.rounded(mm, 2)
    }

    /// A length to a number of decimals of a mm; a fraction of an inch, or its thousandths.
    fn rounded(&self, mm: f64, decimals: usize) -> String {
        match self.job.units {
            Units::Millimetre => format!("{} mm", num::text(mm, decimals)),
            Units::Inch => {
                let exact = self.job.units.length(mm);
                let is_fraction = exact.contains('/');
                if is_fraction { exact } else { format!("{} in", self.figure(mm, decimals)) }
            }
        }
    }

    /// A length without its unit, to a number of decimals of a mm, or a thousandth of an inch.
    pub(super) fn figure(&self, mm: f64, decimals: usize) -> String {
        self.job.units.figure(mm, decimals)
    }

    /// A length rounded down to a number of decimals of a mm, or one more of an inch, with its
    /// unit.
    pub(super) fn rounded_down(&self, mm: f64, decimals: i32) -> String {
        self.job.units.rounded_down(mm, decimals)
    }

    /// The clearance between two bodies, with its sign, negative if they touch.
    pub(super) fn room(&self, mm: f64) -> String {
        signed(self.rounded_down(mm, 2))
    }

    /// Two lengths with the unit once: `480 × 330 mm`.
    pub(super) fn both(&self, sides: [f64; 2]) -> String {
        self.job.units.both(sides)
    }

    /// Two lengths rounded down, with the unit once.
    pub(super) fn both_down(&self, sides: [f64; 2]) -> String {
        self.job.units.both_down(sides)
    }

    /// A long length: metres or feet.
    pub(super) fn long(&self, mm: f64) -> String {
        self.job.units.long(mm)
    }

    /// A mass.
    pub(super) fn mass(&self, kg: f64, digits: usize) -> String {
        self.job.units.mass(kg, digits)
    }

    /// A price with its currency.
    pub(super) fn money(&self, price: f64) -> String {
        self.job.money(price)
    }

    /// A load, `14 kN`.
    pub(super) fn applied(&self, force: Force) -> String {
        let (load, unit) = self.own(force);
        format!("{} {unit}", Units::applied_figure(load))
    }

    /// A force in the unit of the job, and that.
    fn own(&self, force: Force) -> (f64, &'static str) {
        match self.job.units {
            Units::Millimetre => (force.kn, "kN"),
            Units::Inch => (force.lbf, "lbf"),
        }
    }

    /// A load and its allowable value, the latter rounded down: `14 of 15.2 kN`.
    pub(super) fn of(&self, load: Force, allowed: Force) -> String {
        let ((load, unit), (allowed, _)) = (self.own(load), self.own(allowed));
        format!("{} of {} {unit}", Units::applied_figure(load), Units::three_figures(allowed))
    }
}

/// A share in hundredths of a percent, as in the report: the filled share is rounded down there,
/// and a bound up.
pub(super) fn percent(percent: f64) -> String {
    format!("{percent:.2} %")
}

/// The margin in hundredths of a load, as printed.
pub(super) fn percent_left(percent: Option<&String>) -> String {
    signed(percent.cloned().unwrap_or_default())
}

/// A number with a true minus sign.
fn signed(number: String) -> String {
    number.replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_is_rounded_down_on_either_side_of_nothing() {
        let units = Units::Millimetre;
        let left = [8.77, 0.2, -0.2, 12.0_f64].map(|percent| 1e5 * (1.0 + percent / 100.0));
        let left = left.map(|allowed| units.percent_left(1e5, allowed));
        let left = left.map(|percent| percent_left(Some(&percent)));
        assert_eq!(left, ["8", "0", "−1", "12"]);
    }

    /// 3.196 of 1.608 kN is 98.8 % more, and so are 3.19 and 1.608; 60 lbf are 0.2669 kN, printed as
    /// 0.267, of which 0.379 is 41.9 % more.
    #[test]
    fn who_divides_the_printed_figures_has_the_margin_that_is_printed() {
        let units = Units::Millimetre;
        for (load, allowed, printed, percent) in [
            (1608.0, 3196.0, ["1.608 kN", "3.19 kN"], "98"),
            (266.893_3, 379.4, ["0.267 kN", "0.379 kN"], "41"),
            (14_000.0, 15_229.0, ["14 kN", "15.2 kN"], "8"),
        ] {
            let both = [units.applied(load), units.allowed(allowed)];
            let both = both.each_ref().map(|text| text.split(" (").next().unwrap_or_default());
            assert_eq!(both, printed);
            assert_eq!(units.percent_left(load, allowed), percent, "{load} of {allowed}");
        }
    }

    #[test]
    fn an_allowable_load_is_never_rounded_up() {
        let allowed = [0.6269, 15.229, 13.02, 1207.9, 100.0, 0.00426].map(Units::three_figures);
        assert_eq!(allowed, ["0.626", "15.2", "13", "1200", "100", "0.004"]);
    }
}
