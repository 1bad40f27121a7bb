//! One row of a table: its cells, and where its figures come from.

use crate::quantity::Quantity;
use indexmap::IndexMap;
use std::fmt;

/// The column of a row's other names, with semicolons between them.
pub(super) const ALSO: &str = "also";

/// The content of a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// A value with its dimension.
    Quantity(Quantity),
    /// Words, or the name of a row elsewhere.
    Text(String),
}

/// How the weakest figure of a row came here, from the best to the weakest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Read in the publication named.
    Seen,
    /// Worked out from figures that were read.
    Computed,
    /// Read in a copy that names the publication.
    Copy,
    /// Common practice of the trade.
    Practice,
    /// From memory: measure before trusting it.
    Memory,
}

impl Basis {
    /// Every word that can be in the column `basis`.
    pub(super) const WORDS: [(&'static str, Self); 5] = [
        ("seen", Self::Seen),
        ("computed", Self::Computed),
        ("copy", Self::Copy),
        ("practice", Self::Practice),
        ("memory", Self::Memory),
    ];

    /// The word that is in the column `basis`.
    pub(super) fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, basis)| *basis == self).map_or("", |(word, _)| word)
    }

    /// The basis of this word.
    pub fn read(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(known, _)| *known == word).map(|(_, basis)| *basis)
    }
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seen => "as published",
            Self::Computed => "computed",
            Self::Copy => "from a copy",
            Self::Practice => "common practice",
            Self::Memory => "from memory",
        })
    }
}

/// One row of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub(super) table: String,
    pub(super) name: String,
    pub(super) cells: IndexMap<String, Cell>,
    pub(super) source: Option<String>,
    pub(super) basis: Option<Basis>,
}

impl Row {
    /// The table it belongs to.
    pub fn table(&self) -> &str {
        &self.table
    }

    /// Its name as the table writes it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The cell of a field; `None` when it is empty or there is no such field.
    pub fn field(&self, name: &str) -> Option<&Cell> {
        self.cells.get(name)
    }

    /// The cell of a field, if it is a quantity.
    pub fn quantity(&self, name: &str) -> Option<Quantity> {
        match self.field(name)? {
            Cell::Quantity(quantity) => Some(*quantity),
            Cell::Text(_) => None,
        }
    }

    /// The value of a field in base units; 0 if it is not a quantity.
    pub fn measure(&self, name: &str) -> f64 {
        self.quantity(name).map_or(0.0, |q| q.value)
    }

    /// The cell of a field, if it is text.
    pub fn text(&self, name: &str) -> Option<&str> {
        match self.field(name)? {
            Cell::Text(text) => Some(text),
            Cell::Quantity(_) => None,
        }
    }

    /// Its other names, from its cell `also`.
    pub fn also(&self) -> impl Iterator<Item = &str> {
        names(self.text(ALSO).unwrap_or_default())
    }

    /// The fields that are known, in the order of the file.
    pub fn fields(&self) -> impl ExactSizeIterator<Item = (&str, &Cell)> {
        self.cells.iter().map(|(name, cell)| (name.as_str(), cell))
    }

    /// The row with other quantities in some of its fields.
    #[must_use]
    pub fn with(&self, quantities: &[(String, Quantity)]) -> Self {
        let mut row = self.clone();
        let cells = quantities.iter().map(|(name, q)| (name.clone(), Cell::Quantity(*q)));
        row.cells.extend(cells);
        row
    }

    /// The row under another name.
    #[must_use]
    pub fn named(self, name: String) -> Self {
        Self { name, ..self }
    }

    /// The publication its figures come from.
    pub fn source(&self) -> Option<&str> {
        self.source.as_deref()
    }

    /// How the weakest of its figures came here.
    pub fn basis(&self) -> Option<Basis> {
        self.basis
    }
}

/// The names in a cell `also`.
pub(super) fn names(cell: &str) -> impl Iterator<Item = &str> {
    cell.split(';').map(str::trim).filter(|name| !name.is_empty())
}

/// The key by which a row's name is compared: lower case, without blanks, inch marks and leading
/// zeros.
pub(super) fn key(name: &str) -> String {
    let plain = name.to_lowercase().replace('"', " ").replace(['x', '×'], " x ");
    plain.split_whitespace().map(bare).collect()
}

fn bare(word: &str) -> &str {
    let counted = |text: &&str| text.is_empty() || text.ends_with(|c: char| c.is_ascii_digit());
    let word = word.strip_suffix("in").filter(counted).unwrap_or(word);
    if word.starts_with("0.") { &word[1..] } else { word }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_mean_one_row_have_one_key() {
        for (typed, written) in [
            ("m8", "M8"),
            (" M 8 ", "M8"),
            ("1/4\"", "1/4"),
            ("1/4 in", "1/4"),
            ("1/4in", "1/4"),
            ("1-1/2\"x0.095\"", "1-1/2 x .095"),
            ("1-1/2 in × 0.095 in", "1-1/2 x .095"),
            (".063", "0.063 in"),
            ("6061-t6", "6061-T6"),
        ] {
            assert_eq!(key(typed), key(written), "{typed}");
        }
    }

    #[test]
    fn names_that_differ_keep_their_own_keys() {
        for (one, other) in
            [("M8", "M80"), ("6 mm", "6 in"), ("#10", "10"), ("pin", "p"), ("10.5", "1.5")]
        {
            assert_ne!(key(one), key(other), "{one} and {other}");
        }
    }
}
