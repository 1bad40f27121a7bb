//! References to faces and holes of other recipes.

use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;

/// `like = "motor-plate.plate.bolt"`, with the `given` values of that recipe's inputs.
#[derive(Clone, Debug)]
pub(super) struct Reference {
    /// As it is written.
    pub(super) name: String,
    /// Where that stands.
    pub(super) span: Span,
    /// Values for the inputs of the other recipe.
    pub(super) given: Vec<(String, Entry)>,
}

impl Reference {
    /// The `like` and `given` of an entry, where it has a `like`.
    pub(super) fn read(fields: &Fields) -> Option<Self> {
        let (name, item) = (fields.text("like")?, fields.get("like")?);
        let given = fields.entries("given").into_iter();
        let given = given.map(|(name, entry)| (name.to_owned(), entry.clone())).collect();
        Some(Self { name: name.to_owned(), span: item.letters, given })
    }
}
