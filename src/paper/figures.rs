//! How lengths are written on drawings.

use crate::num;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;

/// A length or a position as drawings show it, without its unit: hundredths of a millimetre,
/// thousandths of an inch.
pub(crate) fn figure_text(units: Units, mm: f64) -> String {
    match units {
        Units::Millimetre => num::text(mm, 2),
        Units::Inch => num::text(mm / MM_PER_INCH, 3),
    }
}

/// The size of an article made in one system of units or the other, such as a tool or a sheet: a
/// figure where that is the job's own, else with its unit. Gauges, and fractions of an inch, have
/// ten-thousandths.
pub(crate) fn size_figure(units: Units, mm: f64) -> String {
    match units {
        _ if units.of_size(mm) != units => units.size(mm),
        Units::Millimetre => figure_text(units, mm),
        Units::Inch => num::text(mm / MM_PER_INCH, 4),
    }
}

/// The same with its unit in either case.
pub(crate) fn size_text(units: Units, mm: f64) -> String {
    match units.of_size(mm) == units {
        true => format!("{} {}", size_figure(units, mm), units.word()),
        false => units.size(mm),
    }
}

/// A length in both units, the job's own first.
pub(crate) fn both_units(units: Units, mm: f64) -> String {
    let text = |units: Units| format!("{} {}", figure_text(units, mm), units.word());
    let other = if units == Units::Inch { Units::Millimetre } else { Units::Inch };
    format!("{} ({})", text(units), text(other))
}

/// The multiplier before a size that occurs several times; empty before a single one.
pub(super) fn times(count: usize) -> String {
    if count > 1 { format!("{count}× ") } else { String::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_a_figure_in_the_units_it_is_made_in_and_names_others() {
        for (units, mm, figure, text) in [
            (Units::Inch, 0.1196 * MM_PER_INCH, "0.1196", "0.1196 in"),
            (Units::Inch, 4.7625, "0.1875", "0.1875 in"),
            (Units::Inch, 4.0, "4 mm", "4 mm"),
            (Units::Millimetre, 4.7625, "3/16 in", "3/16 in"),
            (Units::Millimetre, 2.304, "2.3", "2.3 mm"),
        ] {
            assert_eq!(size_figure(units, mm), figure);
            assert_eq!(size_text(units, mm), text);
        }
    }

    #[test]
    fn a_length_is_given_in_both_units() {
        assert_eq!(both_units(Units::Millimetre, 25.4), "25.4 mm (1 in)");
        assert_eq!(both_units(Units::Inch, 12.7), "0.5 in (12.7 mm)");
    }
}
