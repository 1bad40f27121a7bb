//! The hand of a part, also in the formulas of its faces and bends.

use crate::formula::Value;

/// Under `mirror = true`: `'right'` or `'left'`.
pub const HAND: &str = "hand";

/// Which of the two parts that are each other in the mirror.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// As drawn.
    Right,
    /// In the mirror.
    Left,
}

impl Hand {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Right, Self::Left];

    /// The other one.
    pub(crate) fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }

    /// The word for it in formulas and names of parts.
    pub fn word(self) -> &'static str {
        match self {
            Hand::Right => "right",
            Hand::Left => "left",
        }
    }

    /// The same as a value.
    pub(super) fn value(self) -> Value {
        Value::Text(self.word().into())
    }
}
