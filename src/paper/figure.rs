//! A drawing that is ready, with its heading.

use crate::paper::scene::Item;

/// A drawing that is ready, anywhere in its own coordinates.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it shows.
    pub heading: String,
    /// Its lines and words.
    pub items: Vec<Item>,
}
