//! The answer: parts on sheets, and the parts left over.

use crate::geom::Place;

/// One part on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which item.
    pub item: usize,
    /// From the item's own coordinates to those of the sheet; `rotation` is its rotation.
    pub place: Place,
}

/// One sheet with its parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The stock it is cut from.
    pub stock: usize,
    /// The parts, in the order in which they were placed.
    pub placed: Vec<Placed>,
    /// The smallest distance between two parts in mm, measured with true arcs; `None` for a single
    /// part.
    pub min_gap: Option<f64>,
    /// The smallest distance of a part from the sheet edge in mm, measured with true arcs.
    pub min_margin: f64,
}

/// Why an item is not placed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It fits on no sheet of the stock in any orientation.
    TooLarge,
    /// It would fit, but the sheets are used up.
    NoSheetLeft,
    /// The job has more than [`MAX_PARTS`] parts.
    TooMany,
    /// It may fit, but the work was stopped before it was tried.
    NotReached,
    /// Measured with true arcs it breaks the rules at its position. This happens only when its own
    /// coordinates are too large for the tolerance of the audit.
    Unsure,
}

/// Maximum number of parts in one job. Our choice: far beyond a small shop's day; it keeps a typing
/// error from filling the memory.
pub const MAX_PARTS: u32 = 100_000;

/// The parts left over.
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
/// From [`nest`](crate::nest::nest): it passes [`audit`](crate::nest::audit).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// The sheets, in the order they are to be cut.
    pub sheets: Vec<Sheet>,
    /// Parts that could not be placed, by item.
    pub unplaced: Vec<Unplaced>,
    /// Units of work done. As a budget the same number is another search, because it is divided
    /// differently.
    pub units: u64,
    /// Stages completed; after none the items are in rows. The same items, stock and rules that [stop
    /// there](crate::nest::Rules::stop_at) give this layout again, whoever ended the nesting.
    pub stages: u64,
}

impl Layout {
    /// By item, how many found no sheet.
    pub(crate) fn without_sheet(&self, items: usize) -> Vec<u32> {
        let mut left = vec![0; items];
        let of_kind = self.unplaced.iter().filter(|u| u.why == Why::NoSheetLeft);
        of_kind.for_each(|u| left[u.item] += u.quantity);
        left
    }

    /// Sets how many of each item found no sheet.
    pub(crate) fn settle_without_sheet(&mut self, left: &[u32]) {
        self.unplaced.retain(|u| u.why != Why::NoSheetLeft);
        let left = left.iter().enumerate().filter(|(_, n)| **n > 0);
        self.unplaced.extend(left.map(|(item, quantity)| Unplaced {
            item,
            quantity: *quantity,
            why: Why::NoSheetLeft,
        }));
        self.unplaced.sort_by_key(|u| u.item);
    }
}
