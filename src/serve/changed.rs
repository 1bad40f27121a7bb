//! What becomes of an edit, or why it is not made.

/// A text that came of an edit.
#[derive(Debug)]
pub(super) struct Changed {
    pub(super) text: String,
    /// What was done, to be undone by name.
    pub(super) name: String,
    /// The part it is about, by the name it has then.
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
