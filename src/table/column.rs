//! A field that the rows of a table may have.

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// Quantities of this dimension.
    Quantity(crate::quantity::Dimension),
}

/// A field that the rows of a table may have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// As it is written in formulas.
    pub name: String,
    /// What it measures; may be empty.
    pub about: String,
    /// What its cells hold; `None` while every cell is empty.
    pub kind: Option<Kind>,
}
