//! Why a text is no quantity, and what could be written.

use crate::quantity::unit::UNITS;
use std::ops::Range;
use thiserror::Error;

/// Why a text is no quantity. The range says which bytes of the text are meant.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum QuantityError {
    /// Nothing there.
    #[error("a value with a unit is needed here")]
    Empty,
    /// No number at the start.
    #[error("`{0}` does not start with a number")]
    NoNumber(String),
    /// A comma where a decimal point belongs.
    #[error("`{0}` has a comma: decimals are written with a point")]
    Comma(String),
    /// A unit nobody knows.
    #[error("`{word}` is not a unit")]
    Unit {
        /// What was typed.
        word: String,
        /// Where.
        at: Range<usize>,
    },
    /// More text behind a whole quantity.
    #[error("unexpected `{word}` after the value")]
    LeftOver {
        /// The rest.
        word: String,
        /// Where.
        at: Range<usize>,
    },
    /// Too large to be meant.
    #[error("`{0}` is too large")]
    TooLarge(String),
    /// Divided by nothing.
    #[error("`{0}` divides by zero")]
    ZeroDivisor(String),
    /// A whole number and a fraction with a blank between.
    #[error("`{0}` has a space where a hyphen belongs")]
    Blank(String),
    /// A gauge is a whole number.
    #[error("a gauge is a whole number from 3 to 30, not `{0}`")]
    Gauge(String),
}

impl QuantityError {
    /// The bytes of the text that are wrong, where it is not the whole.
    pub fn at(&self) -> Option<Range<usize>> {
        match self {
            Self::Unit { at, .. } | Self::LeftOver { at, .. } => Some(at.clone()),
            _ => None,
        }
    }

    /// What to type instead.
    pub fn help(&self) -> String {
        match self {
            Self::Comma(text) => format!("write `{}`", text.replacen(',', ".", 1)),
            Self::Blank(text) => format!("write `{}`", text.replacen(' ', "-", 1)),
            Self::Unit { word, .. } if ["gauge", "gage", "swg"].contains(&word.as_str()) => {
                "write `16 ga`".into()
            }
            Self::Unit { word, .. }
                if ["”", "“", "″", "''", "inch", "inches"].contains(&word.as_str()) =>
            {
                "write `in`".into()
            }
            Self::Unit { word, .. } => crate::diag::nearest(word, UNITS.iter().map(|u| u.0))
                .map_or_else(
                    || {
                        format!(
                            "known units: {}, and ga",
                            UNITS.iter().map(|u| u.0).collect::<Vec<_>>().join(", ")
                        )
                    },
                    |unit| format!("write `{unit}`"),
                ),
            Self::LeftOver { word, .. } => format!("remove `{word}`"),
            Self::Gauge(_) => "write `16 ga`, or the thickness itself, `1.5 mm`".into(),
            _ => "write a number and its unit, such as `12 mm` or `1/4 in`".into(),
        }
    }
}
