//! The blanks to be placed.

use crate::geom::Region;
use crate::num::Angle;

/// A blank, its quantity, and its permitted orientations.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The metal, in its own coordinates.
    pub region: Region,
    /// The required quantity; 0 is allowed.
    pub quantity: u32,
    /// This many more may fill room on sheets that are needed anyway; 0 is none. They open no sheet
    /// and displace no required part.
    pub fill: u32,
    /// Which orientations it may have on the sheet.
    pub orientations: Orientations,
    /// Whether it may be flipped over: only where both faces are alike.
    pub mirror: bool,
    /// Items of a higher priority are placed first: on earlier sheets, and the last to be left
    /// over.
    pub priority: u32,
    /// Whether other parts may be placed in its cut-outs, within [`Rules`](crate::nest::Rules).
    pub cut_outs: bool,
    /// The kit it belongs to, by number: all its required parts and those of the other items of the
    /// kit are kept on one sheet, or on sheets next to each other.
    pub kit: Option<usize>,
}

/// Which orientations a blank may have on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Orientations {
    /// Any rotation.
    Free,
    /// Quarter turns.
    Quarters,
    /// A half turn: the grain must run along the blank's own x.
    Half,
    /// No rotation.
    Fixed,
}

impl Item {
    /// A number of a blank that may be rotated by quarter turns; nothing is placed in its cut-outs.
    pub fn new(region: Region, quantity: u32) -> Self {
        Self {
            region,
            quantity,
            fill: 0,
            orientations: Orientations::Quarters,
            mirror: false,
            priority: 0,
            cut_outs: false,
            kit: None,
        }
    }

    /// Area within its outline, cut-outs counted as metal, mm².
    pub(crate) fn bulk(&self) -> f64 {
        self.region.outer().area()
    }
}

impl Orientations {
    /// The rotations that are always allowed, anticlockwise from the item's own coordinates.
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

    /// Whether a rotation is allowed; one that is not finite is not.
    pub fn allows(self, rotation: Angle) -> bool {
        match self {
            Self::Free => rotation.degrees().is_finite(),
            _ => self.angles().contains(&rotation),
        }
    }
}
