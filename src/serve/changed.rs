//! What becomes of an edit, or why it is not made.

/// A text that came of an edit.
#[derive(Debug)]
pub(super) struct Changed {
    pub(super) text: String,
    /// The edit, named for undo.
    pub(super) name: String,
    /// The part it concerns, by its name after the edit.
    pub(super) part: Option<String>,
}

/// Why an edit is not made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refused {
    /// The text has been changed outside meanwhile: a sentence.
    Outside(String),
    /// It cannot be: a sentence.
    Cannot(String),
}

impl From<String> for Refused {
    fn from(words: String) -> Self {
        Self::Cannot(words)
    }
}
