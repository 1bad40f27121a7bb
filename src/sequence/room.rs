//! How much room a bend leaves, and with which pieces of tool it is made.

use crate::num::Angle;
use crate::sequence::refusal::Obstacle;
use crate::sequence::refusal::Why;
use crate::shop::Shop;

/// The minimum clearance between part and tools during one bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Clear distance, mm: up to the sufficient one, 5 mm or the shop's own margin if that is more.
    pub mm: f64,
    /// The piece nearest to a tool, the tool, and the bend angle at that moment; `None` if all are
    /// further away.
    pub nearest: Option<(Obstacle, &'static str, Angle)>,
}

/// Pieces of one tool set side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// The tool they belong to: fingers, punch or die.
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

/// Default clearance between part and tools, mm. Our choice: the deviation of a stop or a bent
/// edge.
pub const MARGIN: f64 = 1.0;

/// Clearances beyond this are equal, mm. Our choice.
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

    /// The bend angle at the minimum clearance.
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
