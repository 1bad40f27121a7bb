//! What every check is, whatever it looks at: parts, links, joints.

/// A check: its code, its own description, and its function.
pub struct CheckOf<R> {
    /// Kebab-case; the same as its file.
    pub code: &'static str,
    pub(super) source: &'static str,
    pub(super) run: R,
}
