//! The errors of the text of a table.

use crate::quantity::Dimension;
use crate::quantity::QuantityError;
use crate::table::row::Basis;
use std::ops::Range;
use thiserror::Error;

/// An error of the text of a table, and its position.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("line {line}: {fault}")]
pub struct TableError {
    /// The line, counted from 1.
    pub line: usize,
    /// The bytes of the text that are wrong: a cell, or a whole line.
    pub at: Range<usize>,
    /// The error.
    pub fault: TableFault,
}

/// The kinds of error of the text of a table.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TableFault {
    /// Nothing but comments.
    #[error("a table needs a line that names its columns")]
    NoHeader,
    /// The rows have no name.
    #[error("the first column of a table is `name`, not `{0}`")]
    FirstColumn(String),
    /// A field whose name no formula could write.
    #[error("`{0}` is not a field name: lower-case letters, digits and `_`, a letter first")]
    FieldName(String),
    /// Two columns of one name.
    #[error("there are two columns `{0}`")]
    RepeatedField(String),
    /// A column the table below does not have, or a comment about a column that is not there.
    #[error("the table has no column `{field}`")]
    UnknownField {
        /// As typed.
        field: String,
        /// The name that may have been meant.
        nearest: Option<String>,
    },
    /// A line with too few or too many cells.
    #[error("this line has {got} cells, but there are {wanted} columns")]
    Cells {
        /// How many columns the table has.
        wanted: usize,
        /// How many cells the line has.
        got: usize,
    },
    /// A quotation mark that is not closed on its line.
    #[error("a cell in quotation marks runs over the end of this line")]
    Open,
    /// A row without a name.
    #[error("this row has no name")]
    NoName,
    /// Two rows whose names mean the same.
    #[error("there is already a row `{row}`, on line {first}")]
    RepeatedRow {
        /// As typed the second time.
        row: String,
        /// Where it was first.
        first: usize,
    },
    /// A name by which another row is called already.
    #[error("`{name}` is already a name of the row `{row}`")]
    Claimed {
        /// As typed.
        name: String,
        /// The row that has it.
        row: String,
    },
    /// A basis that is none of the words.
    #[error("`{0}` is not a basis")]
    Basis(String),
    /// A metal that is nearly one of the table of gauges.
    #[error("`{word}` is not a metal")]
    Metal {
        /// As typed.
        word: String,
        /// The one that may have been meant.
        nearest: String,
    },
    /// A figure that cannot be right.
    #[error("`{field}` is {is}, but {wanted}")]
    Unsound {
        /// The column.
        field: String,
        /// Its figure, with the unit.
        is: String,
        /// What it must agree with.
        wanted: String,
    },
    /// A word that the column does not know.
    #[error("`{field}` is `{word}`, which is not known")]
    Word {
        /// The column.
        field: String,
        /// As typed.
        word: String,
        /// Those that are known.
        known: Vec<&'static str>,
    },
    /// A row without a figure or a word that nothing else gives.
    #[error("this row has no `{field}`")]
    Missing {
        /// The column.
        field: &'static str,
        /// What to write there.
        write: &'static str,
    },
    /// A row whose cell `source` is empty.
    #[error("this row has no source")]
    NoSource,
    /// A cell that should be a quantity.
    #[error("`{field}`: {error}")]
    Quantity {
        /// The column.
        field: String,
        /// Why it is none.
        error: QuantityError,
    },
    /// A gauge, which is no length before the metal is known.
    #[error("`{0}` is a gauge: a table needs the thickness itself")]
    Gauge(String),
    /// A quantity of another dimension than the rest of its column.
    #[error("`{field}` is {wanted}, but this is {got}")]
    Dimension {
        /// The column.
        field: String,
        /// The dimension of the column.
        wanted: Dimension,
        /// The dimension found.
        got: Dimension,
    },
}

impl TableFault {
    /// What to type instead.
    pub fn help(&self) -> String {
        match self {
            Self::NoHeader | Self::FirstColumn(_) => {
                "begin with a line such as `name,diameter,source,basis`, with commas".into()
            }
            Self::FieldName(_) => "write a name such as `ball_width`".into(),
            Self::RepeatedField(field) => format!("remove one column `{field}`"),
            Self::UnknownField { nearest: Some(field), .. } => format!("write `{field}`"),
            Self::UnknownField { .. } => "remove the column, or make a table of your own".into(),
            Self::Cells { .. } => {
                "write every comma, including those of empty cells, and quote a cell that contains one".into()
            }
            Self::Open => "close the quotation mark on the same line".into(),
            Self::NoName => "write a name in the first cell".into(),
            Self::RepeatedRow { .. } => "remove one of the rows, or give it another name".into(),
            Self::Claimed { row, .. } => {
                format!(
                    "call the row `{row}` to put it in place of that one, or give it a name of its own"
                )
            }
            Self::Basis(_) => {
                let words: Vec<_> = Basis::WORDS.iter().map(|(word, _)| *word).collect();
                format!("write one of {}", words.join(", "))
            }
            Self::Metal { nearest, .. } => format!("write `{nearest}`"),
            Self::Word { known, .. } => format!("write one of {}", known.join(", ")),
            Self::Missing { field, write } => format!("write its `{field}`: {write}"),
            Self::NoSource => {
                "name the catalogue, standard or measurement that its figures are from".into()
            }
            Self::Unsound { .. } => "check the figure and its unit".into(),
            Self::Quantity { field, error } => {
                let help = error.help();
                format!("{help}; a column of text is declared by a comment, `# text {field}: ...`")
            }
            Self::Gauge(_) => "write the thickness, such as `1.5 mm`".into(),
            Self::Dimension { wanted, .. } => format!("write {wanted} with its unit"),
        }
    }
}
