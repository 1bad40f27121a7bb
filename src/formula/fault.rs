//! What can be wrong with a formula, and what to type instead.

use crate::diag::nearest;
use crate::quantity::QuantityError;
use std::ops::Range;
use thiserror::Error;

/// What is wrong with a formula, and which bytes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct FormulaError {
    /// Bytes of the formula.
    pub at: Range<usize>,
    /// What is wrong.
    pub fault: Fault,
}

/// What can be wrong with a formula.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Fault {
    /// Something else was needed here.
    #[error("{wanted} is needed here, {found}")]
    Unexpected {
        /// What is there, in words: another sign or word, or the end.
        found: String,
        /// What would be right.
        wanted: &'static str,
    },
    /// A comparison of a comparison.
    #[error("only one comparison is allowed here")]
    Comparisons,
    /// A bracket or quote is never closed.
    #[error("this `{0}` is never closed")]
    NeverClosed(char),
    /// Brackets within brackets without end.
    #[error("the formula is nested more than {0} deep")]
    TooDeep(usize),
    /// Longer than any formula is.
    #[error("the formula is longer than {0} characters")]
    TooLong(usize),
    /// A number or unit is wrong.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// No such name is declared.
    #[error("`{name}` is not defined here")]
    Name {
        /// As typed.
        name: String,
        /// The nearest known.
        nearest: Option<String>,
    },
    /// There is no such function.
    #[error("there is no function `{name}`")]
    Function {
        /// As typed.
        name: String,
        /// The nearest known.
        nearest: Option<String>,
        /// The functions there are.
        known: Vec<&'static str>,
    },
    /// A function got too few or too many values.
    #[error("`{name}` takes {wanted}, not {got}")]
    Count {
        /// The function.
        name: String,
        /// In words.
        wanted: &'static str,
        /// How many it got.
        got: usize,
    },
    /// A row has no such field, or nothing in it.
    #[error("`{row}` in table `{table}` has no `{field}`")]
    Field {
        /// Name of the row.
        row: String,
        /// Name of its table.
        table: String,
        /// As typed.
        field: String,
        /// The fields it has.
        known: Vec<String>,
        /// Rows beside it that have the field.
        others: Vec<String>,
    },
    /// A row that a job gives has no such value.
    #[error("the row has no `{name}`")]
    NoValue {
        /// As typed.
        name: String,
        /// The values it has.
        known: Vec<String>,
    },
    /// No such row in the table.
    #[error("table `{table}` has no row `{row}`")]
    Row {
        /// As typed.
        table: String,
        /// As typed.
        row: String,
    },
    /// No such table.
    #[error("there is no table `{name}`")]
    Table {
        /// As typed.
        name: String,
        /// The tables there are.
        known: Vec<String>,
    },
    /// The two sides cannot be combined.
    #[error("cannot {verb} {left} and {right}")]
    Mismatch {
        /// What was tried.
        verb: &'static str,
        /// Left side in words.
        left: String,
        /// Right side in words.
        right: String,
    },
    /// A name is compared with a word that it never is.
    #[error("`{name}` cannot be '{word}'")]
    Never {
        /// The name.
        name: String,
        /// As typed.
        word: String,
        /// What it can be.
        known: Vec<String>,
    },
    /// A list has no value of this number.
    #[error("the list has {count} values, no number {number}")]
    Beyond {
        /// As it came out.
        number: String,
        /// The lowest number.
        first: usize,
        /// How many values there are.
        count: usize,
    },
    /// A value of another kind was needed.
    #[error("{wanted} is needed here, but this is {got}")]
    Kind {
        /// In words.
        wanted: &'static str,
        /// In words.
        got: String,
    },
    /// A point has no place here.
    #[error("{words}")]
    Place {
        /// Why.
        words: String,
        /// What to do.
        help: &'static str,
    },
    /// Division by zero, a root of a negative number and the like.
    #[error("{0}")]
    Undefined(&'static str),
}

impl FormulaError {
    pub(super) fn new(at: Range<usize>, fault: Fault) -> Self {
        Self { at, fault }
    }

    /// What to type instead.
    pub fn help(&self) -> String {
        match &self.fault {
            Fault::Name { nearest: Some(near), .. }
            | Fault::Function { nearest: Some(near), .. } => {
                format!("write `{near}`")
            }
            Fault::Name { .. } => {
                "correct it, or declare it under `[inputs]` or `[derived]` of the recipe".into()
            }
            Fault::Function { known, .. } => format!("choose from {}", known.join(", ")),
            Fault::NoValue { known, .. } => fields(known),
            Fault::Field { known, others, .. } if others.is_empty() => fields(known),
            Fault::Field { row, table, field, others, .. } => {
                format!(
                    "use {}, where `{field}` is listed, or fill this column of the row `{row}` in \
                     tables/{table}.csv",
                    others.join(" or ")
                )
            }
            Fault::Never { word, known, .. } => {
                match nearest(word, known.iter().map(String::as_str)) {
                    Some(near) => format!("write '{near}'"),
                    None => format!("it is one of {}", known.join(", ")),
                }
            }
            Fault::Beyond { first, count, .. } => {
                format!("use a whole number from {first} to {count}")
            }
            Fault::Mismatch { verb: "list", .. } => {
                "give every value of a list the same kind and dimension".into()
            }
            Fault::Quantity(error) => error.help(),
            Fault::Mismatch { .. } => "both sides need the same dimension: check the units".into(),
            Fault::Kind { wanted, .. } => format!("put {wanted} here"),
            Fault::Row { table, .. } => format!("`platewright tables {table}` lists the rows"),
            Fault::Table { name, known } => match nearest(name, known.iter().map(String::as_str)) {
                Some(near) => format!("write `{near}`"),
                None => format!("choose from {}", known.join(", ")),
            },
            Fault::Place { help, .. } => (*help).into(),
            Fault::NeverClosed(open) => format!("close it with `{}`", closing(*open)),
            Fault::TooDeep(_) | Fault::TooLong(_) => {
                "give parts of it names under `[derived]`".into()
            }
            Fault::Undefined(_) => {
                "guard it with `if … then … else …`, or correct the values".into()
            }
            Fault::Comparisons => "join two with `and`: `a < b and b < c`".into(),
            Fault::Unexpected { .. } | Fault::Count { .. } => {
                "formulas look like `2 * thickness + 3 mm` or `max(a, b)`".into()
            }
        }
    }
}

fn closing(open: char) -> char {
    match open {
        '(' => ')',
        '[' => ']',
        quote => quote,
    }
}

/// The fields of a row or a record, each as it is typed.
fn fields(known: &[String]) -> String {
    let known: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
    format!("its fields are {}", known.join(", "))
}
