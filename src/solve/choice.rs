//! The choices of a line's open inputs.

/// The choice for the open inputs of a part, and why nothing lighter.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The chosen values, by input.
    pub chosen: Vec<(String, String)>,
    /// How many choices there were.
    pub tried: usize,
    /// The next lighter choice and the reason it failed; `None` if the lightest was good.
    pub lighter: Option<Failure>,
}

/// A choice that some check refused.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure {
    /// Its values, by input.
    pub values: Vec<(String, String)>,
    /// The check, or what prevented making it.
    pub code: &'static str,
    /// The finding.
    pub headline: String,
}
