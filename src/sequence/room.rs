//! How much room a bend leaves, and with which pieces of tool it is made.

use crate::num::Angle;
use crate::sequence::refusal::Obstacle;
use crate::sequence::refusal::Why;
use crate::shop::Shop;

/// The least room between part and tools during one bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Clear distance, mm: no more than what is looked for, 5 mm or the shop's own
    /// margin where that is more.
    pub mm: f64,
    /// What comes so near to which tool, and how far the bend is made by then; nothing
    /// where all stays further away.
    pub nearest: Option<(Obstacle, &'static str, Angle)>,
}

/// Pieces of one tool set side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// What they are of: fingers, punch or die.
    pub tool: &'static str,
    /// Where they begin, mm along the bend from the start of the line on the face the bend starts
    /// from, which is the origin of the folded bend.
    pub from: f64,
    /// Their widths, mm, in no order.
    pub pieces: Vec<f64>,
}

impl Stack {
    /// All pieces together, mm.
    pub fn width(&self) -> f64 {
        self.pieces.iter().sum()
    }
}

/// The pieces of tool a setup takes, and the room it leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Tooling {
    /// The room it leaves.
    pub room: Room,
    /// The tools that are used in pieces; all others extend over the whole length of the brake.
    pub stacks: Vec<Stack>,
}

/// Room between part and tools where the shop does not say, mm. Our choice: what a stop or
/// a bent edge is off.
pub const MARGIN: f64 = 1.0;

/// Where there is so much room, more is no better, mm. Our choice.
pub(crate) const ENOUGH: f64 = 5.0;

/// Room beyond which more is no better in a shop with a margin, mm.
pub(super) fn enough(margin: f64) -> f64 {
    ENOUGH.max(margin)
}

/// The clearance that the shop requires between part and tools, mm.
pub fn margin(shop: &Shop) -> f64 {
    shop.clearance.unwrap_or(MARGIN)
}

impl Room {
    /// The tighter of two.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        if other.mm < self.mm { other } else { self }
    }

    /// How far the bend is made where there is least.
    pub(super) fn at(&self) -> Option<Angle> {
        self.nearest.map(|(.., at)| at)
    }

    pub(super) fn too_little(self) -> Why {
        match self.nearest {
            Some((what, tool, at)) => Why::Tight { what, tool, at, is: self.mm },
            None => Why::NotNeeded,
        }
    }
}
