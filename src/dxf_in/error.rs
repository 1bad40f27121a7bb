//! Why a DXF file cannot be read.

use crate::sketch::FURTHEST;
use indexmap::IndexMap;
use thiserror::Error;

/// Why a file cannot be read.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum DxfError {
    /// Not DXF, or damaged.
    #[error("it cannot be read as DXF: {0}")]
    Unreadable(String),
    /// Neither of the two forms.
    #[error("it holds bytes that are neither the text nor the binary form of DXF")]
    Binary,
    /// The end is missing.
    #[error("it is truncated: its end-of-file marker is missing")]
    BrokenOff,
    /// It says no units.
    #[error("it does not state its units")]
    NoUnits,
    /// It says units that no plate is drawn in: the number of `$INSUNITS`, and its name.
    #[error("its unit code is {0}, {1}: not a unit that plates are drawn in")]
    Units(i64, &'static str),
    /// Kinds that are not read, how many.
    #[error("it has {}, which {} not read", counted(.0), if .0.values().sum::<usize>() == 1 { "is" } else { "are" })]
    Kinds(IndexMap<String, usize>),
    /// A layer that is not there.
    #[error("there is nothing on layer `{wanted}`")]
    Layer {
        /// As asked for.
        wanted: String,
        /// Those that are not empty.
        known: Vec<String>,
    },
    /// All that could be read is left out.
    #[error("nothing in it is visible: {}", counted(.0))]
    Hidden(IndexMap<String, usize>),
    /// A coordinate is no number.
    #[error("a coordinate in it is not a finite number")]
    NotFinite,
    /// Something is further from the origin than [`FURTHEST`].
    #[error("it reaches further than {} m from its origin", FURTHEST / 1000.0)]
    TooFar,
    /// An arc of so many turns that its ends cannot be distinguished.
    #[error("an arc of a polyline has a bulge of {0:e}, almost a full circle")]
    Bulge(f64),
    /// Nested blocks expand to more entities than this.
    #[error("its blocks come to more than {0} entities")]
    TooMany(usize),
}

/// `3 SPLINE, 1 INSERT`.
pub(crate) fn counted(kinds: &IndexMap<String, usize>) -> String {
    let words: Vec<String> = kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect();
    words.join(", ")
}
