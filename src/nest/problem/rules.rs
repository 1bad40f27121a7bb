//! Clearances, and the budget of the search.

/// The clearances to keep, and the budget of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Minimum distance between two parts in mm. Parts that touch are one part, so less than
    /// [`MIN_GAP`] counts as that.
    pub gap: f64,
    /// Minimum distance of a part from the sheet edge in mm; a negative value counts as 0.
    pub margin: f64,
    /// Cut-outs shorter or narrower than this, in mm, stay empty, whatever would fit: a part in a
    /// small cut-out drops or tips with it.
    pub min_cut_out: f64,
    /// Minimum distance in mm of a part from the edge of the cut-out it is in, where that is more
    /// than the gap: room to pierce the drop-out.
    pub cut_out_gap: f64,
    /// A rectangular remnant shorter or narrower than this, in mm, is scrap.
    pub min_remnant: f64,
    /// Maximum work to do, in units of the search's own; 0 is the first layout alone.
    pub units: u64,
    /// The nesting ends after this many of its stages, however much work is left: after 0 the items
    /// are in rows, `None` lets it run. A layout states its own in
    /// [`Layout::stages`](crate::nest::Layout::stages).
    pub stop_at: Option<u64>,
    /// The same layout is repeated on many sheets where that takes at most this share more metal;
    /// `None` looks for the least metal alone. Its searches may do up to a quarter of `units` more.
    pub extra_metal: Option<f64>,
    /// Another seed, another search. The same one gives the same bytes.
    pub seed: u64,
}

/// The smallest gap, in mm. Our choice: no cut is narrower.
pub const MIN_GAP: f64 = 0.01;

/// Default minimum width of a remnant worth keeping, in mm. Our choice: about a hand's breadth.
pub const MIN_REMNANT: f64 = 100.0;

/// Units of work where none are given. Our choice: some ten seconds of two cores.
pub const USUAL_UNITS: u64 = 10_000_000;

/// Default units of work for a number of parts; fewer for a few parts. Our choice: about a second
/// of two cores for every hundred.
pub fn usual_units(parts: u32) -> u64 {
    (u64::from(parts) * 10_000).min(USUAL_UNITS)
}

impl Default for Rules {
    /// No margin and the smallest gap, every cut-out usable, the usual budget.
    fn default() -> Self {
        Self {
            gap: MIN_GAP,
            margin: 0.0,
            min_cut_out: 0.0,
            cut_out_gap: 0.0,
            min_remnant: MIN_REMNANT,
            units: USUAL_UNITS,
            stop_at: None,
            extra_metal: None,
            seed: 0,
        }
    }
}

impl Rules {
    /// The gap that is kept. NaN stays NaN, which no distance satisfies.
    pub(crate) fn kept_gap(&self) -> f64 {
        if self.gap < MIN_GAP { MIN_GAP } else { self.gap }
    }

    /// The margin that is kept. NaN stays NaN.
    pub(crate) fn kept_margin(&self) -> f64 {
        if self.margin < 0.0 { 0.0 } else { self.margin }
    }

    /// The distance kept from the edge of a cut-out.
    pub(crate) fn kept_cut_out_gap(&self) -> f64 {
        if self.cut_out_gap <= self.kept_gap() { self.kept_gap() } else { self.cut_out_gap }
    }
}
