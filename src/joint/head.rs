//! The head of a bolt.

/// The head of a bolt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Head {
    Hexagon,
    /// Sunk into a countersink; its length is over all.
    Flat,
    /// Sunk into a counterbore.
    Cap,
}
