//! Where blanks lie on sheets.
//!
//! Knows outlines, sheets and distances, and nothing of parts. A sheet has its
//! lower left corner at the origin; x runs along its grain.
//!
//! Positions are searched on a grid of cells, which errs on the side of too much
//! room. Whatever comes of that is measured again with true arcs before it is
//! handed out, by the same survey the [`audit`] makes.

mod audit;
mod grid;
mod mask;
mod pack;

pub use audit::{Fault, Flaw, audit};

use crate::geom::Bounds;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::num::Angle;

/// How a blank may be turned to lie on the sheet. It is never turned over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    /// By quarter turns.
    Quarters,
    /// By half a turn: the grain must run along the blank's own x.
    Half,
    /// Not at all.
    Fixed,
}

/// A blank, and how many of it are asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The metal, in coordinates of its own. Nothing is laid into its holes.
    pub region: Region,
    /// How many; 0 is allowed.
    pub quantity: u32,
    /// How it may be turned.
    pub turns: Turns,
}

/// A size of sheet in stock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Extent in mm along the grain (x).
    pub width: f64,
    /// Extent in mm across the grain (y).
    pub height: f64,
    /// How many there are; `None` is as many as needed.
    pub count: Option<u32>,
}

/// What must be kept clear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Least distance between two parts in mm. Parts that touch are one part, so
    /// less than [`LEAST_GAP`] counts as that.
    pub gap: f64,
    /// Least distance of a part from the rim of the sheet in mm; below 0 counts as 0.
    pub margin: f64,
}

/// The smallest gap there is, in mm. Our choice: no cut is narrower.
pub const LEAST_GAP: f64 = 0.01;

/// More parts than this in one job are not laid out. Our choice: far beyond a
/// small shop's day, and it keeps a slip of the pen from filling the memory.
pub const MOST_PARTS: u32 = 100_000;

/// One part on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which item.
    pub item: usize,
    /// From the item's own coordinates to those of the sheet.
    pub place: Place,
}

/// One sheet with what lies on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Which stock it is taken from.
    pub stock: usize,
    /// The parts, in the order they were laid.
    pub placed: Vec<Placed>,
    /// The least distance between two parts in mm, measured with true arcs;
    /// `None` when there is one part only.
    pub least_gap: Option<f64>,
    /// The least distance of a part from the rim in mm, measured with true arcs.
    pub least_margin: f64,
}

/// Why something is not laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It fits on no sheet of the stock, however it may be turned.
    TooLarge,
    /// It would fit, but the sheets are used up.
    NoSheetLeft,
    /// The job has more than [`MOST_PARTS`] parts.
    TooMany,
    /// A place was found, but measured with true arcs it does not keep the rules.
    Unsure,
}

/// What is left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unplaced {
    /// Which item.
    pub item: usize,
    /// How many of it, 1 or more.
    pub quantity: u32,
    /// For what reason.
    pub why: Why,
}

/// The whole job.
///
/// # Guarantees
/// From [`nest`]: it passes [`audit`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// The sheets, in the order they are to be cut.
    pub sheets: Vec<Sheet>,
    /// What did not find a place, by item.
    pub unplaced: Vec<Unplaced>,
}

impl Turns {
    /// The turns allowed, anticlockwise from the item's own coordinates.
    pub fn angles(self) -> &'static [Angle] {
        const QUARTERS: [Angle; 4] = [
            Angle::ZERO,
            Angle::QUARTER,
            Angle::from_degrees(180.0),
            Angle::from_degrees(270.0),
        ];
        const HALF: [Angle; 2] = [Angle::ZERO, Angle::from_degrees(180.0)];
        match self {
            Self::Quarters => &QUARTERS,
            Self::Half => &HALF,
            Self::Fixed => &[Angle::ZERO],
        }
    }
}

impl Rules {
    /// The gap that is kept. What is no number stays none and satisfies nothing.
    fn kept_gap(self) -> f64 {
        if self.gap < LEAST_GAP { LEAST_GAP } else { self.gap }
    }

    fn kept_margin(self) -> f64 {
        if self.margin < 0.0 { 0.0 } else { self.margin }
    }
}

impl Stock {
    /// Where parts may lie; `None` when the margins leave nothing or a measure is no number.
    fn room(&self, rules: Rules) -> Option<Bounds> {
        let margin = rules.kept_margin();
        let room = Bounds {
            least: Point::new(margin, margin),
            most: Point::new(self.width - margin, self.height - margin),
        };
        let usable = room.width() > 0.0 && room.height() > 0.0;
        (usable && room.most.is_finite() && rules.gap.is_finite()).then_some(room)
    }
}

/// Lays the items on as few sheets as it finds out, and on the last of them
/// towards small x. Stock is used in the order given.
///
/// Nothing fails: what cannot be laid is told in [`Layout::unplaced`]. A sheet
/// whose measures are no numbers, or which the margins eat up, holds nothing.
pub fn nest(items: &[Item], stock: &[Stock], rules: Rules) -> Layout {
    let packing = pack::pack(items, stock, rules);
    let mut layout = Layout { sheets: Vec::new(), unplaced: packing.unplaced };
    for mut pattern in packing.patterns {
        let size = &stock[pattern.stock];
        let survey = loop {
            match audit::survey(items, size, rules, &pattern.placed) {
                Ok(survey) => break survey,
                Err(flaw) => {
                    let item = pattern.placed[flaw.part()].item;
                    let before = pattern.placed.len();
                    pattern.placed.retain(|p| p.item != item);
                    let taken = (before - pattern.placed.len()) as u32 * pattern.times;
                    layout.unplaced.push(Unplaced { item, quantity: taken, why: Why::Unsure });
                }
            }
        };
        if !pattern.placed.is_empty() {
            let sheet = Sheet {
                stock: pattern.stock,
                placed: pattern.placed,
                least_gap: survey.least_gap,
                least_margin: survey.least_margin,
            };
            layout.sheets.extend(std::iter::repeat_n(sheet, pattern.times as usize));
        }
    }
    layout.unplaced.sort_by_key(|u| u.item);
    layout
}
