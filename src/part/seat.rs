//! How a nut sits at the hole that is cut for it.

use crate::part::face::Hole;
use crate::part::face::HoleSize;
use crate::table::Row;

/// Sizes are one within this, mm.
const SAME: f64 = 1e-6;

/// How a nut sits at the hole that is cut for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Seat {
    /// In a hole in which it has play.
    Loose,
    /// In a hole no wider than it is across its flats.
    Pressed,
    /// Behind the plate: the hole is for its bolt.
    Behind,
}

impl Seat {
    /// How it is fixed there.
    pub(crate) const fn work(self) -> &'static str {
        match self {
            Self::Loose => "welded into its seat",
            Self::Pressed => "pressed into its seat",
            Self::Behind => "welded behind the plate",
        }
    }
}

/// How a nut sits at a hole.
pub(crate) fn seat(hole: &Hole, nut: &Row) -> Seat {
    let of = |field: &str| nut.quantity(field).map_or(0.0, |size| size.value);
    match hole.size {
        HoleSize::Hexagon { flats } if flats <= of("flats") + SAME => Seat::Pressed,
        HoleSize::Hexagon { .. } => Seat::Loose,
        _ if hole.diameter().is_some_and(|wide| wide + SAME >= of("corners")) => Seat::Loose,
        _ => Seat::Behind,
    }
}
