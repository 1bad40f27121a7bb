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

/// A length in both units, the job's own first.
pub(crate) fn both_units(units: Units, mm: f64) -> String {
    let text = |units: Units| format!("{} {}", figure_text(units, mm), units.word());
    let other = if units == Units::Inch { Units::Millimetre } else { Units::Inch };
    format!("{} ({})", text(units), text(other))
}

/// What stands before a size that there is so often; nothing before a single one.
pub(super) fn times(count: usize) -> String {
    if count > 1 { format!("{count}× ") } else { String::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_given_in_both_units() {
        assert_eq!(both_units(Units::Millimetre, 25.4), "25.4 mm (1 in)");
        assert_eq!(both_units(Units::Inch, 12.7), "0.5 in (12.7 mm)");
    }
}
