//! Bevels of edges, ground or cut before welding.

use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::word;

/// From which sides of the sheet an edge is bevelled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BevelSides {
    /// The top side.
    #[default]
    Up,
    /// The bottom side.
    Down,
    /// Both, the land at mid-thickness.
    Both,
}

impl BevelSides {
    /// As drawings say it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Up => "top side",
            Self::Down => "bottom side",
            Self::Both => "both sides",
        }
    }

    /// Whether the two sides of the sheet differ by it.
    pub(crate) const fn is_one_sided(self) -> bool {
        !matches!(self, Self::Both)
    }

    /// How many.
    pub(crate) const fn count(self) -> u32 {
        if self.is_one_sided() { 1 } else { 2 }
    }
}

/// An edge that is bevelled after cutting.
#[derive(Clone, Debug)]
pub struct Bevel {
    /// Name of the edge.
    pub edge: String,
    /// From the square edge.
    pub angle: Expr,
    /// The root face that stays square; none when left out.
    pub land: Option<Expr>,
    /// From which sides.
    pub sides: BevelSides,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The entry.
    pub span: Span,
}

pub(super) fn read(item: &Item, findings: &Findings) -> Option<Bevel> {
    let measures = Measures(Fields::of(item, findings)?);
    let edge = measures.0.needed_text("edge", "\"foot\"").map(str::to_owned);
    let (angle, land) = (measures.need_angle("angle"), measures.may("land"));
    let sides = [("up", BevelSides::Up), ("down", BevelSides::Down), ("both", BevelSides::Both)];
    let sides = word(&measures.0, "side", &sides).unwrap_or_default();
    let each = Each::read(&measures);
    measures.0.finish();
    Some(Bevel { edge: edge?, angle: angle?, land, sides, each: each?, span: item.span })
}
