//! What must be kept, and how long to search.

/// What must be kept clear, and the budget of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Least distance between two parts in mm. Parts that touch are one part, so
    /// less than [`LEAST_GAP`] counts as that.
    pub gap: f64,
    /// Least distance of a part from the rim of the sheet in mm; below 0 counts as 0.
    pub margin: f64,
    /// Windows less long or less wide than this, in mm, stay empty, whatever would fit:
    /// what lies in a small window falls or tips with it.
    pub least_window: f64,
    /// Least distance in mm of a part from the rim of the window it lies in, where that
    /// is more than the gap: room to pierce the drop-out.
    pub window_gap: f64,
    /// A rectangle left over that is less long or less wide than this, in mm, is scrap.
    pub least_remnant: f64,
    /// Most work to do, in units of the search's own; 0 is the first answer alone.
    pub units: u64,
    /// The search ends after so many of its stages, however much work is left: 0 is the
    /// first answer alone, `None` lets it run. A layout says its own in
    /// [`Layout::stages`](crate::nest::Layout::stages).
    pub stop_at: Option<u64>,
    /// Another seed, another search. The same one gives the same bytes.
    pub seed: u64,
}

/// The smallest gap there is, in mm. Our choice: no cut is narrower.
pub const LEAST_GAP: f64 = 0.01;

/// What is left of a sheet is worth keeping when it is no narrower than this, in mm, where
/// nobody says otherwise. Our choice: about a hand's breadth.
pub const LEAST_REMNANT: f64 = 100.0;

/// Units of work done when none are said. Our choice: some ten seconds of two cores.
pub const USUAL_UNITS: u64 = 10_000_000;

/// Units of work worth doing for so many parts when none are said: less than the usual
/// ones for a few parts. Our choice: about a second of two cores for every hundred.
pub fn usual_units(parts: u32) -> u64 {
    (u64::from(parts) * 10_000).min(USUAL_UNITS)
}

impl Default for Rules {
    /// No margin and the smallest gap, every window as good as a sheet, the usual budget.
    fn default() -> Self {
        Self {
            gap: LEAST_GAP,
            margin: 0.0,
            least_window: 0.0,
            window_gap: 0.0,
            least_remnant: LEAST_REMNANT,
            units: USUAL_UNITS,
            stop_at: None,
            seed: 0,
        }
    }
}

impl Rules {
    /// The gap that is kept. What is no number stays none and satisfies nothing.
    pub(crate) fn kept_gap(&self) -> f64 {
        if self.gap < LEAST_GAP { LEAST_GAP } else { self.gap }
    }

    /// The margin that is kept. What is no number stays none.
    pub(crate) fn kept_margin(&self) -> f64 {
        if self.margin < 0.0 { 0.0 } else { self.margin }
    }

    /// What is kept from the rim of a window a part lies in.
    pub(crate) fn kept_window_gap(&self) -> f64 {
        if self.window_gap <= self.kept_gap() { self.kept_gap() } else { self.window_gap }
    }
}
