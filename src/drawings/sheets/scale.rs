//! The scales of sheets: those of ISO 5455 (from memory), and some between that fill the page.

use crate::num;
use crate::paper::scale_text;

/// Steps within a power of ten; what a millimetre of paper stands for.
const STEPS: [f64; 10] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];
/// The largest: what a millimetre of paper stands for, mm. Our choice.
const LARGEST: f64 = 0.2;

/// A scale, by how many millimetres one of paper stands for.
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

    /// `1:2.5`, `2:1`.
    pub(super) fn words(self) -> String {
        scale_text(self.factor())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        let scale = Scale::fitting([600.0, 400.0], [201.0, 150.0]).unwrap();
        assert_eq!((scale.words().as_str(), 600.0 * scale.factor()), ("1:3", 200.0));
        let words: Vec<String> = scale.larger().take(3).map(Scale::words).collect();
        assert_eq!(words, ["1:2.5", "1:2", "1:1.5"]);
        assert_eq!(Scale::fitting([10.0, 4.0], [201.0, 150.0]).unwrap().words(), "5:1");
    }
}
