//! References to faces and holes of other recipes.

use crate::diag::SourceId;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;

/// `like = "motor-plate.plate.bolt"`, with the `given` values of that recipe's inputs.
#[derive(Clone, Debug)]
pub(super) struct Reference {
    /// As written.
    pub(super) name: String,
    /// Its position in the text.
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

/// Holes of another recipe that a set is like.
#[derive(Clone, Debug)]
pub struct HolesLike {
    /// Their name.
    pub(super) reference: Reference,
    /// Whether they are seen in the mirror.
    pub mirrored: bool,
    /// Where they are drawn, once they are found.
    pub of: Option<HolesOf>,
    /// The names on which they depend.
    pub depends: Vec<String>,
}

/// A set of holes in another recipe.
#[derive(Clone, Debug)]
pub struct HolesOf {
    /// The text of that recipe.
    pub source: SourceId,
    /// Its face.
    pub face: String,
    /// The index of the set.
    pub set: usize,
}

impl HolesLike {
    /// The target of an entry's `like`, if it has one.
    pub(super) fn read(fields: &Fields) -> Option<Self> {
        let reference = Reference::read(fields)?;
        let mirrored = fields.flag("mirror");
        Some(Self { reference, mirrored, of: None, depends: Vec::new() })
    }
}
