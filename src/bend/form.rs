//! What sort of bend it is: how it is formed, not how it is computed.

use std::fmt;

/// How a bend is formed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Form {
    /// In one stroke: over a V, or by a leaf.
    #[default]
    Bent,
    /// Round a large radius: on rolls, or round a former.
    Rolled,
    /// A return with its opening between it and the sheet.
    OpenHem,
    /// A return that lies on the sheet.
    ClosedHem,
}

impl Form {
    /// All, by the word a recipe has for them.
    pub(crate) const WORDS: [(&'static str, Self); 4] = [
        ("bent", Self::Bent),
        ("rolled", Self::Rolled),
        ("open-hem", Self::OpenHem),
        ("closed-hem", Self::ClosedHem),
    ];

    /// Whether it is a hem.
    pub(crate) const fn is_hem(self) -> bool {
        matches!(self, Self::OpenHem | Self::ClosedHem)
    }

    /// As it is called in a drawing.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Bent => "bend",
            Self::Rolled => "rolled",
            Self::OpenHem => "open hem",
            Self::ClosedHem => "closed hem",
        }
    }
}

impl fmt::Display for Form {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = Self::WORDS.iter().find(|(_, form)| form == self).map_or("", |(word, _)| *word);
        f.write_str(word)
    }
}
