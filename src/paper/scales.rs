//! Scales of drawings, after ISO 5455 (from memory): 1, 2 and 5 with powers of ten.

use crate::num;

/// The label of a picture drawn as large as its area allows.
pub(crate) const NOT_TO_SCALE: &str = "not to scale";

/// The scales of the standard that are used, mm on paper for one of the part, large first.
pub(crate) const STANDARD: [f64; 14] = [
    50.0,
    20.0,
    10.0,
    5.0,
    2.0,
    1.0,
    1.0 / 2.0,
    1.0 / 5.0,
    1.0 / 10.0,
    1.0 / 20.0,
    1.0 / 50.0,
    1.0 / 100.0,
    1.0 / 200.0,
    1.0 / 500.0,
];

/// A scale as written, by the mm on paper per mm of the part: `1:2`, `5:1`.
pub(crate) fn scale_text(by: f64) -> String {
    match by > 1.0 {
        true => format!("{}:1", num::text(by, 2)),
        false => format!("1:{}", num::text(1.0 / by, 2)),
    }
}

/// The same where the scale is one of the standard; else that it is none.
pub(crate) fn scale_words(by: f64) -> String {
    let is_standard = STANDARD.iter().any(|scale| (scale - by).abs() < 1e-9);
    if is_standard { scale_text(by) } else { NOT_TO_SCALE.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_written_as_in_the_standard_and_others_are_none() {
        let standard = STANDARD.map(scale_text);
        assert_eq!(standard[..8], ["50:1", "20:1", "10:1", "5:1", "2:1", "1:1", "1:2", "1:5"]);
        assert_eq!(standard[8..], ["1:10", "1:20", "1:50", "1:100", "1:200", "1:500"]);
        assert_eq!([0.5, 0.4, 1.5].map(scale_words), ["1:2", NOT_TO_SCALE, NOT_TO_SCALE]);
        assert_eq!(scale_text(0.4), "1:2.5");
    }
}
