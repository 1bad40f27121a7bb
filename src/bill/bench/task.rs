//! One thing to do at the bench.

/// A stage of the work, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stage {
    Fit,
    Tack,
    Level,
    Weld,
    Grind,
    Finish,
    Chase,
    Plug,
    Coat,
    Check,
    Assemble,
}

impl Stage {
    /// As the list says it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Fit => "fit",
            Self::Tack => "tack",
            Self::Level => "level",
            Self::Weld => "weld",
            Self::Grind => "grind",
            Self::Finish => "drill and ream",
            Self::Chase => "chase threads",
            Self::Plug => "plug and mask",
            Self::Coat => "coat",
            Self::Check => "check",
            Self::Assemble => "assemble",
        }
    }
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Task {
    pub(crate) stage: Stage,
    /// The part, link, tube or weldment.
    pub(crate) of: String,
    /// How many of it.
    pub(crate) quantity: u32,
    /// What is done, in a sentence.
    pub(crate) what: String,
}

impl Task {
    pub(super) fn new(stage: Stage, of: &str, quantity: u32, what: String) -> Self {
        Self { stage, of: of.to_owned(), quantity, what }
    }
}
