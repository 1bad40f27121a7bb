//! How the program ends.

/// How the program ends.
pub(super) enum Ending {
    /// All done.
    Done,
    /// A finding stopped it.
    Stopped,
    /// Usage error, or a file that cannot be read or written.
    Failed,
    /// Nothing was written, as requested from outside.
    Interrupted,
}
