//! Why a text is no quantity, and what could be written.

use crate::quantity::unit::UNITS;
use std::ops::Range;
use thiserror::Error;

/// Words for a gauge, which is written otherwise.
const GAUGES: [&str; 3] = ["gauge", "gage", "swg"];

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
    /// An unknown unit.
    #[error("`{word}` is not a unit")]
    Unit {
        /// What was typed.
        word: String,
        /// Where.
        at: Range<usize>,
    },
    /// A unit with a space in it.
    #[error("`{words}` is a unit with a space in it")]
    Split {
        /// What was typed.
        words: String,
        /// What it makes.
        unit: &'static str,
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
    /// A unit in two words, one of which begins at a byte of a text and is so long.
    pub(crate) fn split(text: &str, from: usize, long: usize) -> Option<Self> {
        let is_letter = |c: char| c.is_alphabetic();
        let before = text[..from].trim_end();
        let first = match before.trim_end_matches(is_letter).len() {
            first if first < before.len() => first,
            _ => from,
        };
        let rest = &text[from + long..];
        let next = rest.trim_start();
        let last = text.len() - next.trim_start_matches(is_letter).len();
        let unit = |at: &Range<usize>| {
            let both: String = text[at.clone()].split_whitespace().collect();
            let is_split = text[at.clone()].trim().contains(char::is_whitespace);
            UNITS.iter().find(|(unit, ..)| is_split && *unit == both).map(|(unit, ..)| *unit)
        };
        let parts = [first..from + long, from..last];
        let (at, unit) = parts.into_iter().find_map(|at| Some((at.clone(), unit(&at)?)))?;
        Some(Self::Split { words: text[at.clone()].to_owned(), unit, at })
    }

    /// The bytes of the text that are wrong, where it is not the whole.
    pub fn at(&self) -> Option<Range<usize>> {
        match self {
            Self::Unit { at, .. } | Self::Split { at, .. } | Self::LeftOver { at, .. } => {
                Some(at.clone())
            }
            _ => None,
        }
    }

    /// The whole text as it should have been typed, if that is known.
    pub(crate) fn fix(&self, typed: &str) -> Option<String> {
        let (wrong, right) = match self {
            Self::Comma(text) => (text, text.replacen(',', ".", 1)),
            Self::Blank(text) => (text, text.replacen(' ', "-", 1)),
            Self::Unit { word, .. } => (word, self.unit()?.to_owned()),
            Self::Split { words, unit, .. } => (words, (*unit).to_owned()),
            _ => return None,
        };
        typed.contains(wrong.as_str()).then(|| typed.replacen(wrong, &right, 1))
    }

    /// The unit that was meant, where it is known.
    fn unit(&self) -> Option<&'static str> {
        match self {
            Self::Unit { word, .. } if GAUGES.contains(&word.as_str()) => None,
            Self::Unit { word, .. }
                if ["”", "“", "″", "''", "inch", "inches"].contains(&word.as_str()) =>
            {
                Some("in")
            }
            Self::Unit { word, .. } => crate::diag::nearest(word, UNITS.iter().map(|u| u.0)),
            Self::Split { unit, .. } => Some(unit),
            _ => None,
        }
    }

    /// What to type instead.
    pub fn help(&self) -> String {
        match self {
            Self::Comma(text) => format!("write `{}`", text.replacen(',', ".", 1)),
            Self::Blank(text) => format!("write `{}`", text.replacen(' ', "-", 1)),
            Self::Unit { word, .. } if GAUGES.contains(&word.as_str()) => "write `16 ga`".into(),
            Self::Unit { .. } | Self::Split { .. } => self.unit().map_or_else(
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
