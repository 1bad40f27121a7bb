//! The choice of a link's open tube.

/// The choice of the size of a link's tube, and why nothing lighter.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// How many there were.
    pub tried: usize,
    /// The next lighter size and the reason it failed; `None` if the lightest was good.
    pub lighter: Option<Unfit>,
}

/// A size that some check refused.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfit {
    /// Row of the table `tube`.
    pub tube: String,
    /// The check.
    pub code: &'static str,
    /// The finding.
    pub headline: String,
}
