//! A field that the rows of a table may have.

/// The contents of the cells of a column.
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
    /// As written in formulas.
    pub name: String,
    /// Its meaning; may be empty.
    pub about: String,
    /// The contents of its cells; `None` while every cell is empty.
    pub kind: Option<Kind>,
}
