//! How a search stands, and who may end it.

use std::ops::ControlFlow;

/// Where a search stands, told now and then while it runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Units of work done so far.
    pub units: u64,
    /// Sheets of the best layout so far.
    pub sheets: usize,
    /// Its usage: area within the rims of the parts by that of the sheets, the last one
    /// counted as far as it is used. 0 to 1.
    pub usage: f64,
    /// What the usage cannot exceed, 0 to 1.
    pub most: f64,
}

/// Told how a search stands; may stop it, which keeps the best layout so far. May be
/// called from any thread, but only at points that do not depend on how many there are.
pub type Watch<'a> = dyn Fn(&Progress) -> ControlFlow<()> + Sync + 'a;

/// Lets every search run to its end.
pub fn unwatched(_: &Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}
