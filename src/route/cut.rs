//! The cuts a route is made of.

/// One cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Cut {
    /// A hole of a piece.
    Hole {
        /// Which piece.
        piece: usize,
        /// Which of its holes.
        hole: usize,
    },
    /// What common cuts leave of the outline of a piece, mostly all of it, sometimes nothing. With
    /// it the piece comes free.
    Outline(usize),
    /// One of the common cuts.
    Common(usize),
}
