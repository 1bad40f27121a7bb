//! What was chosen where the tube of a link is open.

/// What was chosen of the sizes of a link's tube, and why nothing lighter.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// How many there were.
    pub tried: usize,
    /// The next lighter and what it failed on; nothing where the lightest was good.
    pub lighter: Option<Unfit>,
}

/// A size that some check refused.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfit {
    /// Row of the table `tube`.
    pub tube: String,
    /// The check.
    pub code: &'static str,
    /// What was found.
    pub headline: String,
}
