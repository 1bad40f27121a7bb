//! What comes of it.

use crate::geom::Place;

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
    /// Measured with true arcs it does not keep the rules where it was to lie. Seen
    /// only when its own coordinates are too large for the tolerance of the audit.
    Unsure,
}

/// More parts than this in one job are not laid out. Our choice: far beyond a
/// small shop's day, and it keeps a slip of the pen from filling the memory.
pub const MOST_PARTS: u32 = 100_000;

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
/// From [`nest`](crate::nest::nest): it passes [`audit`](crate::nest::audit).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// The sheets, in the order they are to be cut.
    pub sheets: Vec<Sheet>,
    /// What did not find a place, by item.
    pub unplaced: Vec<Unplaced>,
    /// Units of work done. No more than that: as a budget they are another search, which
    /// shares its work out in another way.
    pub units: u64,
    /// Stages the search went through; 0 is the first answer. The same items, stock and
    /// rules that [stop there](crate::nest::Rules::stop_at) give this layout again, whoever
    /// ended the search.
    pub stages: u64,
}

impl Layout {
    /// Of so many items, how many of each found no sheet.
    pub(crate) fn without_sheet(&self, items: usize) -> Vec<u32> {
        let mut left = vec![0; items];
        let of_kind = self.unplaced.iter().filter(|u| u.why == Why::NoSheetLeft);
        of_kind.for_each(|u| left[u.item] += u.quantity);
        left
    }

    /// Says anew how many of each item found no sheet.
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
