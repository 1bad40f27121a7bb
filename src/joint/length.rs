//! Stock lengths of bolts.

use crate::joint::head::Head;
use crate::num;
use crate::quantity::MM_PER_INCH;

/// Nominal lengths of metric bolts, mm: ISO 888, from memory.
const LENGTHS: [f64; 31] = [
    5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0,
    70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0, 220.0, 240.0,
    260.0,
];

/// The shortest and the longest bolt of a size.
type Range = Option<[f64; 2]>;

/// The lengths in which metric bolts are listed, mm: hexagon heads (ISO 4014 and ISO 4017
/// together), countersunk heads (ISO 10642) and cylinder heads (ISO 4762). All from memory.
const METRIC: [(&str, Range, Range, Range); 13] = [
    ("M3", Some([6.0, 30.0]), Some([8.0, 30.0]), Some([5.0, 30.0])),
    ("M4", Some([8.0, 40.0]), Some([8.0, 40.0]), Some([6.0, 40.0])),
    ("M5", Some([10.0, 50.0]), Some([8.0, 50.0]), Some([8.0, 50.0])),
    ("M6", Some([12.0, 60.0]), Some([8.0, 60.0]), Some([10.0, 60.0])),
    ("M8", Some([16.0, 80.0]), Some([10.0, 80.0]), Some([12.0, 80.0])),
    ("M10", Some([20.0, 100.0]), Some([12.0, 100.0]), Some([16.0, 100.0])),
    ("M12", Some([25.0, 120.0]), Some([20.0, 100.0]), Some([20.0, 120.0])),
    ("M14", Some([30.0, 140.0]), Some([25.0, 100.0]), Some([25.0, 140.0])),
    ("M16", Some([30.0, 160.0]), Some([30.0, 100.0]), Some([25.0, 160.0])),
    ("M18", Some([35.0, 180.0]), None, None),
    ("M20", Some([40.0, 200.0]), Some([35.0, 100.0]), Some([30.0, 200.0])),
    ("M22", Some([45.0, 220.0]), None, None),
    ("M24", Some([50.0, 240.0]), None, Some([40.0, 200.0])),
];

/// The lengths in which inch bolts are stocked, in, whatever their heads: hexagon cap screws of ASME
/// B18.2.1 and machine screws of ASME B18.6.3, from memory. The standards give longer ones no
/// thread length, or one to order.
const INCH: [(&str, [f64; 2]); 14] = [
    ("#4", [0.25, 1.5]),
    ("#6", [0.25, 2.0]),
    ("#8", [0.25, 3.0]),
    ("#10", [0.25, 3.0]),
    ("1/4", [0.5, 6.0]),
    ("5/16", [0.5, 6.0]),
    ("3/8", [0.75, 6.0]),
    ("7/16", [0.75, 6.0]),
    ("1/2", [1.0, 6.0]),
    ("9/16", [1.0, 6.0]),
    ("5/8", [1.0, 6.0]),
    ("3/4", [1.5, 6.0]),
    ("7/8", [2.0, 6.0]),
    ("1", [2.0, 6.0]),
];

/// Threads beyond the nut: common practice.
pub(crate) const TURNS_BEYOND: f64 = 2.0;

/// A bolt to order.
#[derive(Clone, Debug)]
pub(crate) struct StockLength {
    /// mm.
    pub(crate) length: f64,
    /// As ordered.
    pub(crate) words: String,
    /// The longest listed of that size, mm, where this is longer.
    pub(crate) longest: Option<f64>,
}

/// The next nominal length of a bolt that must be as long as `needed`, mm; of a size that has a
/// shortest, no shorter. Inch bolts come in quarters of an inch (common practice).
pub(crate) fn made_up(needed: f64, bolt: &str, head: Head) -> StockLength {
    let range = range(bolt, head);
    let shortest = range.map_or(0.0, |[shortest, _]| shortest);
    // A sum of exact sizes must not exceed its length by rounding.
    let needed = (needed - 1e-9).max(shortest - 1e-9);
    let (length, words) = if bolt.starts_with('M') { metric(needed) } else { inch(needed) };
    let longest = range.map(|[_, longest]| longest).filter(|longest| length > longest + 1e-6);
    StockLength { length, words, longest }
}

/// The shortest and the longest of a size, mm.
fn range(bolt: &str, head: Head) -> Range {
    if let Some((_, hexagon, flat, cap)) = METRIC.iter().find(|(name, ..)| *name == bolt) {
        return match head {
            Head::Hexagon => *hexagon,
            Head::Flat => *flat,
            Head::Cap => *cap,
        };
    }
    let (_, inches) = INCH.iter().find(|(name, _)| *name == bolt)?;
    Some(inches.map(|inches| inches * MM_PER_INCH))
}

fn metric(needed: f64) -> (f64, String) {
    let beyond = 20.0 * (needed / 20.0).ceil();
    let length = LENGTHS.into_iter().find(|length| *length >= needed).unwrap_or(beyond);
    (length, format!("{} mm", num::text(length, 0)))
}

fn inch(needed: f64) -> (f64, String) {
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
            (12.0, "M6", "12 mm"),
            (12.1, "M6", "16 mm"),
            (70.5, "M8", "80 mm"),
            (261.0, "M30", "280 mm"),
        ];
        for (needed, bolt, wanted) in cases {
            assert_eq!(made_up(needed, bolt, Head::Hexagon).words, wanted);
        }
        let inch = [(0.25, "1/4 in"), (1.0, "1 in"), (1.01, "1-1/4 in"), (2.6, "2-3/4 in")];
        for (inches, wanted) in inch {
            let made = made_up(inches * MM_PER_INCH, "#8", Head::Hexagon);
            assert_eq!(made.words, wanted);
            assert!(made.length + 1e-6 >= inches * MM_PER_INCH);
        }
    }

    /// No M16 of 12 mm is sold, nor M20 of 35, nor M3 of 80 or 3/4 in of 1 in (ISO 4014, ISO 4017, ISO
    /// 4762, ASME B18.2.1, from memory).
    #[test]
    fn a_size_has_a_shortest_and_a_longest_bolt() {
        for (needed, bolt, head, wanted) in [
            (11.0, "M16", Head::Hexagon, "30 mm"),
            (34.0, "M20", Head::Hexagon, "40 mm"),
            (9.8, "M8", Head::Hexagon, "16 mm"),
            (9.8, "M8", Head::Cap, "12 mm"),
            (0.8 * MM_PER_INCH, "3/4", Head::Hexagon, "1-1/2 in"),
        ] {
            let made = made_up(needed, bolt, head);
            assert_eq!((made.words.as_str(), made.longest), (wanted, None), "{bolt}");
        }
        let long = made_up(75.0, "M3", Head::Hexagon);
        assert_eq!((long.words.as_str(), long.longest), ("80 mm", Some(30.0)));
        assert_eq!(made_up(30.0, "M3", Head::Hexagon).longest, None);
    }
}
