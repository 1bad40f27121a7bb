//! Whether drawings are still wanted while they are made.

use std::fmt;
use std::sync::Mutex;
use std::sync::PoisonError;

/// Whether drawings are still wanted, asked before each, and the names of those left out once they
/// are not.
pub struct Wanted<'a> {
    still: &'a (dyn Fn() -> bool + Sync),
    left: Mutex<Vec<String>>,
}

impl<'a> Wanted<'a> {
    /// All of them.
    pub fn all() -> Self {
        Self::while_still(&|| true)
    }

    /// Those that are begun while `still` is true.
    pub fn while_still(still: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Self { still, left: Mutex::default() }
    }

    /// Whether some files are still wanted; else they are noted as left out.
    pub(crate) fn is(&self, names: impl IntoIterator<Item = String>) -> bool {
        let is = self.still();
        if !is {
            self.leave(names);
        }
        is
    }

    /// Whether the drawing in progress is still wanted.
    pub(crate) fn still(&self) -> bool {
        (self.still)()
    }

    /// Notes some files as left out.
    pub(crate) fn leave(&self, names: impl IntoIterator<Item = String>) {
        self.left.lock().unwrap_or_else(PoisonError::into_inner).extend(names);
    }

    /// The names of the files that were left out, in alphabetical order.
    pub fn left_out(&self) -> Vec<String> {
        let mut names = self.left.lock().unwrap_or_else(PoisonError::into_inner).clone();
        names.sort();
        names
    }
}

impl fmt::Debug for Wanted<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Wanted").field("left", &self.left).finish_non_exhaustive()
    }
}
