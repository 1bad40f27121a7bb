//! The scales of sheets: those of ISO 5455 (from memory), in inches those of ASME Y14.1 (from memory)
//! as well, and some between that fill the page: a picture at one of these is not to scale.

use crate::num;
use crate::paper::NOT_TO_SCALE;
use crate::paper::scale_text;
use crate::paper::scale_words;
use crate::quantity::Units;

/// Steps within a power of ten: millimetres of the sheet per millimetre of paper.
const STEPS: [f64; 10] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];
/// Additional scales of drawings in inches beside those of ISO 5455, as millimetres per millimetre
/// of paper: a quarter, an eighth, four times.
const OF_INCHES: [f64; 3] = [4.0, 8.0, 0.25];
/// The largest scale, in millimetres per millimetre of paper. Our choice.
const LARGEST: f64 = 0.2;

/// A scale: how many millimetres one millimetre of paper represents.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(super) struct Scale(f64);

impl Scale {
    /// All scales, the largest first.
    fn all() -> impl Iterator<Item = Self> {
        let tens = (-1..12).map(|power| num::pow(10.0, f64::from(power)));
        let all = tens.flat_map(|ten| STEPS.map(|step| Self(step * ten)));
        all.filter(|scale| scale.0 >= LARGEST)
    }

    /// The largest at which something in mm fits on paper.
    pub(super) fn fitting(size: [f64; 2], room: [f64; 2]) -> Option<Self> {
        Self::all().find(|scale| size.iter().zip(room).all(|(mm, room)| mm / scale.0 <= room))
    }

    /// The smallest of all.
    pub(super) fn smallest() -> Self {
        Self(num::pow(10.0, 12.0))
    }

    /// Those larger than this, the next first.
    pub(super) fn larger(self) -> impl Iterator<Item = Self> {
        let larger: Vec<Self> = Self::all().filter(|scale| scale.0 < self.0).collect();
        larger.into_iter().rev()
    }

    /// Millimetres of paper to one of the sheet.
    pub(super) fn factor(self) -> f64 {
        1.0 / self.0
    }

    /// `1:2`, `2:1`; with a note if it is not in a standard.
    pub(super) fn words(self, units: Units) -> String {
        let is_of_inches = OF_INCHES.iter().any(|scale| (scale - self.0).abs() < 1e-9);
        match units {
            Units::Inch if is_of_inches => scale_text(self.factor()),
            _ => scale_words(self.factor()),
        }
    }

    /// Whether a standard has it.
    pub(super) fn is_standard(self, units: Units) -> bool {
        self.words(units) != NOT_TO_SCALE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        let scale = Scale::fitting([600.0, 400.0], [201.0, 150.0]).unwrap();
        assert_eq!((scale.factor(), 600.0 * scale.factor()), (1.0 / 3.0, 200.0));
        let words: Vec<f64> = scale.larger().take(3).map(|scale| 1.0 / scale.factor()).collect();
        assert_eq!(words, [2.5, 2.0, 1.5]);
        let large = Scale::fitting([10.0, 4.0], [201.0, 150.0]).unwrap();
        assert_eq!(large.words(Units::Millimetre), "5:1");
    }

    #[test]
    fn only_scales_of_the_standards_are_said() {
        let said = |units: Units| -> Vec<String> {
            let all = Scale::all().filter(|scale| scale.0 < 25.0);
            let words = all.map(|scale| scale.words(units));
            words.filter(|words| words != NOT_TO_SCALE).collect()
        };
        let metric = ["5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20"];
        assert_eq!(said(Units::Millimetre), metric);
        let inches = ["5:1", "4:1", "2:1", "1:1", "1:2", "1:4", "1:5", "1:8", "1:10", "1:20"];
        assert_eq!(said(Units::Inch), inches);
    }
}
