//! What a leader may cross.

use crate::paper::scene::Pen;

/// What the leader of text placed off its spot may cross: each level allows what those before it
/// do, and more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Leader {
    /// There is none: words are beside their spot.
    None,
    /// No line.
    Open,
    /// The lines of centres, and what findings mark.
    OverMiddles,
    /// The outline of the part.
    OverOutlines,
    /// Dimensions and bend lines as well. No leader crosses words.
    OverAll,
    /// Through the circle of an origin, where it would seem to be a dimension.
    OverOrigin,
    /// Close beside a hole that it does not lead to, only where there is no other way.
    BesideOthers,
    /// What none may do: to run along another line or through a hole that it does not lead to,
    /// where it would seem to be of that.
    Never,
}

impl Leader {
    /// The permission needed to cross a line of a pen, or a filled area.
    pub(super) fn over(pen: Option<Pen>) -> Self {
        match pen {
            Some(Pen::Chain | Pen::Found | Pen::Phantom) => Self::OverMiddles,
            Some(Pen::Wide) => Self::OverOutlines,
            _ => Self::OverAll,
        }
    }
}
