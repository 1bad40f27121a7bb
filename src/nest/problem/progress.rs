//! The progress of a search, and the means to end it.

use crate::nest::problem::layout::Sheet;
use std::fmt;
use std::ops::ControlFlow;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;

/// The progress of a search, reported while it runs. Without sheets the first layout is not ready.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Progress {
    /// Units of work done.
    pub units: u64,
    /// Sheets of the best layout.
    pub sheets: usize,
    /// Its usage, 0 to 1: area within the outlines of the parts, divided by that of the sheets, the
    /// last one counted as far as it is used.
    pub usage: f64,
    /// Upper bound of the usage, 0 to 1.
    pub max: f64,
}

/// Receives the progress; may stop the search, which keeps the best layout found. Called from any
/// thread: after each stage, and many times during one, then with the progress before it. A stage
/// that is stopped leaves no trace, so the result depends on how many were completed and on nothing
/// else.
pub type Watch<'a> = dyn Fn(&Progress) -> ControlFlow<()> + Sync + 'a;

/// Receives the best layout after a stage that may have changed it; nothing on it is measured yet,
/// and it may be discarded.
pub(crate) type Found<'a> = dyn Fn(&[Sheet]) + Sync + 'a;

/// Lets every search run to its end.
pub fn unwatched(_: &Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

/// The watcher, as the work queries it: whether it must end. After the first yes, it is not queried
/// again and the answer stays.
///
/// Every loop that can last queries it, and ends as quickly as it can with whatever it has; the
/// stage it belongs to then discards its result.
pub(crate) struct Stop<'a> {
    watch: &'a Watch<'a>,
    found: Option<&'a Found<'a>>,
    shown: Mutex<Progress>,
    set: AtomicBool,
}

impl fmt::Debug for Stop<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Stop").field("set", &self.set).finish_non_exhaustive()
    }
}

impl<'a> Stop<'a> {
    pub(crate) fn new(watch: &'a Watch<'a>) -> Self {
        Self { watch, found: None, shown: Mutex::default(), set: AtomicBool::new(false) }
    }

    /// The same, with a viewer of the best layouts.
    pub(crate) fn telling(self, found: Option<&'a Found<'a>>) -> Self {
        Self { found, ..self }
    }

    /// Passes the best layout on to a viewer.
    pub(crate) fn found(&self, best: impl FnOnce() -> Vec<Sheet>) {
        if let Some(found) = self.found {
            found(&best());
        }
    }

    /// One that never ends the work.
    #[cfg(test)]
    pub(crate) fn never() -> Self {
        Self::new(&unwatched)
    }

    /// Whether the work must end.
    pub(crate) fn now(&self) -> bool {
        if self.set.load(Ordering::Acquire) {
            return true;
        }
        let shown = *self.shown.lock().unwrap_or_else(PoisonError::into_inner);
        self.ask(&shown)
    }

    /// Shows the progress after a stage.
    pub(crate) fn show(&self, progress: Progress) {
        *self.shown.lock().unwrap_or_else(PoisonError::into_inner) = progress;
        self.ask(&progress);
    }

    fn ask(&self, progress: &Progress) -> bool {
        if !self.set.load(Ordering::Acquire) && (self.watch)(progress).is_break() {
            self.set.store(true, Ordering::Release);
        }
        self.set.load(Ordering::Acquire)
    }
}
