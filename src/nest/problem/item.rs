//! What is to be laid.

use crate::geom::Region;
use crate::num::Angle;

/// A blank, how many of it are asked for, and how it may lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The metal, in coordinates of its own.
    pub region: Region,
    /// At least so many are asked for; 0 is allowed.
    pub quantity: u32,
    /// So many more may fill room on sheets that are needed anyway; 0 is none more.
    /// None of these opens a sheet, or takes the place of one that is asked for.
    pub fill: u32,
    /// How it may be turned.
    pub turns: Turns,
    /// Whether it may be turned over as well: only where both faces are alike.
    pub mirror: bool,
    /// Items of a higher figure are laid first, so that they lie on earlier sheets and
    /// are the last to be left over.
    pub urgency: u32,
    /// Whether other parts may lie in its windows, as [`Rules`](crate::nest::Rules) allow.
    pub windows: bool,
}

/// How a blank may be turned to lie on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    /// By any angle.
    Free,
    /// By quarter turns.
    Quarters,
    /// By half a turn: the grain must run along the blank's own x.
    Half,
    /// Not at all.
    Fixed,
}

impl Item {
    /// So many of a blank that may be turned by quarters; nothing is laid in its windows.
    pub fn new(region: Region, quantity: u32) -> Self {
        Self {
            region,
            quantity,
            fill: 0,
            turns: Turns::Quarters,
            mirror: false,
            urgency: 0,
            windows: false,
        }
    }

    /// Area within its rim, windows counted as metal, mm².
    pub(crate) fn bulk(&self) -> f64 {
        self.region.outer().area()
    }
}

impl Turns {
    /// The turns always allowed, anticlockwise from the item's own coordinates.
    pub fn angles(self) -> &'static [Angle] {
        const QUARTERS: [Angle; 4] =
            [Angle::ZERO, Angle::QUARTER, Angle::from_degrees(180.0), Angle::from_degrees(270.0)];
        const HALF: [Angle; 2] = [Angle::ZERO, Angle::from_degrees(180.0)];
        match self {
            Self::Free | Self::Quarters => &QUARTERS,
            Self::Half => &HALF,
            Self::Fixed => &[Angle::ZERO],
        }
    }

    /// Whether a turn is allowed. What is no number is not.
    pub fn allows(self, turn: Angle) -> bool {
        match self {
            Self::Free => turn.degrees().is_finite(),
            _ => self.angles().contains(&turn),
        }
    }
}
