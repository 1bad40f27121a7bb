//! Binary operators.

/// A binary operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Operator {
    Or,
    And,
    Equal,
    NotEqual,
    Less,
    AtMost,
    More,
    AtLeast,
    Plus,
    Minus,
    Times,
    Over,
    Power,
}

impl Operator {
    /// For "cannot … a length and an angle".
    pub(super) fn verb(self) -> &'static str {
        match self {
            Self::Plus => "add",
            Self::Minus => "subtract",
            Self::Times => "multiply",
            Self::Over => "divide",
            Self::Power => "raise",
            _ => "compare",
        }
    }

    /// Binding power: the higher binds tighter.
    pub(super) fn power(self) -> u8 {
        match self {
            Self::Or => 1,
            Self::And => 2,
            Self::Plus | Self::Minus => 5,
            Self::Times | Self::Over => 6,
            Self::Power => 8,
            _ => COMPARISON,
        }
    }
}

pub(super) const COMPARISON: u8 = 4;
