//! The progress of a search, and who may end it.

use std::ops::ControlFlow;

/// The progress of a search, reported while it runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Units of work done so far.
    pub units: u64,
    /// Sheets of the best layout so far.
    pub sheets: usize,
    /// Its usage, 0 to 1: area within the outlines of the parts, divided by that of the sheets, the
    /// last one counted as far as it is used.
    pub usage: f64,
    /// Upper bound of the usage, 0 to 1.
    pub most: f64,
}

/// Receives the progress; may stop the search, which keeps the best layout so far. Called from any
/// thread, but only at points that do not depend on how many there are.
pub type Watch<'a> = dyn Fn(&Progress) -> ControlFlow<()> + Sync + 'a;

/// Lets every search run to its end.
pub fn unwatched(_: &Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}
