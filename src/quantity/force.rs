//! Forces as they are printed: a load never smaller than it is, what is allowed never larger.

use crate::num;
use crate::quantity::N_PER_LBF;
use crate::quantity::Units;

impl Units {
    /// A force in newtons, printed in both systems, the job's own first: `8 kN (1800 lbf)`.
    pub fn force(self, newtons: f64) -> String {
        self.in_both(newtons, significant)
    }

    /// The same of a load, which is never printed smaller than it is.
    pub fn applied(self, newtons: f64) -> String {
        self.in_both(newtons, Self::applied_figure)
    }

    /// The pull of a person in N and lbf, rounded up.
    pub fn pull(self, newtons: f64) -> String {
        let [newton, pound] = [newtons, newtons / N_PER_LBF].map(|pull| num::text(pull.ceil(), 0));
        match self {
            Self::Millimetre => format!("{newton} N ({pound} lbf)"),
            Self::Inch => format!("{pound} lbf ({newton} N)"),
        }
    }

    /// The same for an allowable value, which is never printed larger than it is.
    pub fn allowed(self, newtons: f64) -> String {
        self.in_both(newtons, Self::three_figures)
    }

    /// A load in the unit of force of these units alone, `14 kN`, never smaller than it is.
    pub(crate) fn applied_alone(self, newtons: f64) -> String {
        let (unit, word) = self.force_unit();
        format!("{} {word}", Self::applied_figure(newtons / unit))
    }

    /// What is allowed in the unit of force of these units alone, `15.2 kN`, never larger than it is.
    pub(crate) fn allowed_alone(self, newtons: f64) -> String {
        let (unit, word) = self.force_unit();
        format!("{} {word}", Self::three_figures(newtons / unit))
    }

    /// What bars of a load in newtons and the line across them are.
    pub(crate) fn bars(self, newtons: f64) -> String {
        format!("bars: {} applied; line: allowable", self.applied_alone(newtons))
    }

    /// The remainder of an allowable force in hundredths of a load, both in newtons: of the figures
    /// as printed, so that a reader who divides them gets no less, and rounded down.
    pub(crate) fn percent_left(self, load: f64, allowed: f64) -> String {
        let figure = |text: String, exact: f64| text.parse().unwrap_or(exact);
        let [load, allowed] = [load, allowed].map(|newtons| newtons / self.force_unit().0);
        let load: f64 = figure(Self::applied_figure(load), load);
        let allowed: f64 = figure(Self::three_figures(allowed), allowed);
        num::text((100.0 * (allowed / load - 1.0) + EXACT).floor(), 0)
    }

    /// Newtons in the unit of force of these units, and its name.
    pub(crate) const fn force_unit(self) -> (f64, &'static str) {
        match self {
            Self::Millimetre => (1000.0, "kN"),
            Self::Inch => (N_PER_LBF, "lbf"),
        }
    }

    /// A load in kN or lbf, as it was given; with more than three decimals, to four figures,
    /// rounded up.
    pub(crate) fn applied_figure(value: f64) -> String {
        let given = num::text(value, 3);
        if given.parse().is_ok_and(|given: f64| (given - value).abs() < EXACT * (1.0 + value.abs()))
        {
            return given;
        }
        let decimals = of_four(value);
        let scale = (0..decimals).fold(1.0_f64, |scale, _| scale * 10.0);
        num::text((value * scale - EXACT).ceil() / scale, decimals)
    }

    /// A force to three figures, rounded down: more is known of no strength.
    pub(crate) fn three_figures(force: f64) -> String {
        let mut unit = 1.0;
        while force.abs() >= 1000.0 * unit {
            unit *= 10.0;
        }
        while unit > 1e-3 && force.abs() < 100.0 * unit {
            unit /= 10.0;
        }
        num::text((force / unit + EXACT).floor() * unit, 3)
    }

    fn in_both(self, newtons: f64, figure: fn(f64) -> String) -> String {
        let other = if self == Self::Inch { Self::Millimetre } else { Self::Inch };
        let text = |units: Self| {
            let (unit, word) = units.force_unit();
            format!("{} {word}", figure(newtons / unit))
        };
        format!("{} ({})", text(self), text(other))
    }
}

/// Less than a rounding step, so that a number that is exact stays what it is.
const EXACT: f64 = 1e-9;

/// Decimals of a figure of four, which is more than any strength is known to.
fn of_four(value: f64) -> usize {
    let whole = match value.abs() >= 1.0 {
        true => num::log10(value.abs()) as usize + 1,
        false => 1,
    };
    4_usize.saturating_sub(whole)
}

/// Four figures, or as many as are before the point.
fn significant(value: f64) -> String {
    num::text(value, of_four(value))
}
