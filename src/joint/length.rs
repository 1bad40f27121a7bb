//! Stock lengths of bolts.

use crate::num;
use crate::quantity::MM_PER_INCH;

/// Nominal lengths of metric bolts, mm: ISO 888, from memory.
const LENGTHS: [f64; 31] = [
    5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0,
    70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0, 220.0, 240.0,
    260.0,
];

/// Threads beyond the nut: common practice.
pub(crate) const TURNS_BEYOND: f64 = 2.0;

/// The next nominal length of a bolt that must be as long as `needed`, mm: in mm, and as it is
/// ordered. Inch bolts come in quarters of an inch (common practice).
pub(crate) fn made_up(needed: f64, metric: bool) -> (f64, String) {
    // A sum of exact sizes must not miss its length by rounding.
    let needed = needed - 1e-9;
    if metric {
        let beyond = 20.0 * (needed / 20.0).ceil();
        let length = LENGTHS.into_iter().find(|length| *length >= needed).unwrap_or(beyond);
        return (length, format!("{} mm", num::text(length, 0)));
    }
    let quarter = MM_PER_INCH / 4.0;
    let quarters = (needed / quarter).ceil().max(1.0) as u32;
    let words = match (quarters / 4, quarters % 4) {
        (whole, 0) => format!("{whole} in"),
        (0, rest) => format!("{} in", fraction(rest)),
        (whole, rest) => format!("{whole}-{} in", fraction(rest)),
    };
    (f64::from(quarters) * quarter, words)
}

fn fraction(quarters: u32) -> &'static str {
    ["", "1/4", "1/2", "3/4"][quarters as usize % 4]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_made_up_to_those_on_sale() {
        let cases = [
            (12.0, true, "12 mm"),
            (12.1, true, "16 mm"),
            (70.5, true, "80 mm"),
            (261.0, true, "280 mm"),
        ];
        for (needed, metric, wanted) in cases {
            assert_eq!(made_up(needed, metric).1, wanted);
        }
        let inch = [(0.25, "1/4 in"), (1.0, "1 in"), (1.01, "1-1/4 in"), (2.6, "2-3/4 in")];
        for (inches, wanted) in inch {
            let (mm, words) = made_up(inches * MM_PER_INCH, false);
            assert_eq!(words, wanted);
            assert!(mm + 1e-6 >= inches * MM_PER_INCH);
        }
    }
}
