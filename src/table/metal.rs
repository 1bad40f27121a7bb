//! The bending data in a row of the table `material`.

use crate::table::Row;

/// How much stronger sheet may be than its minimum strength, where the row says no more: as
/// the 450 MPa of charts of mild steel are to the minimum 360 MPa of S235.
const OVER_MINIMUM: f64 = 1.25;

impl Row {
    /// Tensile strength in MPa that a brake must overcome: typical or maximum, not minimum.
    pub fn bending_strength(&self) -> f64 {
        let own = self.quantity("bend_tensile").map(|q| q.value);
        own.unwrap_or_else(|| OVER_MINIMUM * self.measure("tensile"))
    }

    /// Yield strength in MPa that springback is calculated with: of a metal that has no minimum, the
    /// strength it cannot pass, as the stronger springs back more.
    pub fn springing_strength(&self) -> f64 {
        self.quantity("yield").map_or_else(|| self.bending_strength(), |yields| yields.value)
    }

    /// Whether half the thickness is the minimum inside radius, as for mild steel.
    pub(crate) fn bends_as_mild_steel(&self) -> bool {
        self.text("bend_limit") == Some("mild steel")
    }
}
