//! The values that new things begin with, in the units of the job: round ones, and the hardware of the
//! same standards. Our choice.

use crate::quantity::Units;

/// A value in a job in millimetres, and in one in inches.
pub(super) type Begins = [&'static str; 2];

pub(super) const PINS: Begins = ["600 mm", "24 in"];
pub(super) const ROD_END: Begins = ["M10", "3/8"];
pub(super) const TUBE: Begins = ["38 x 2", "1-1/2 x .083"];
pub(super) const BOLT: Begins = ["M8", "3/8"];
pub(super) const SPACER: Begins = ["10 mm", "3/8 in"];
pub(super) const LAMINATE: Begins = ["6 mm", "1/4 in"];
pub(super) const RUBBER: Begins = ["3 mm", "1/8 in"];
pub(super) const BARRIER: Begins = ["0.5 mm", "0.02 in"];
/// From the end of a tube to a tab on it.
pub(super) const TAB: Begins = ["100 mm", "4 in"];
pub(super) const FORCE: Begins = ["1 kN", "200 lbf"];
pub(super) const OBSTACLE: Begins = ["42.4 mm", "1-1/2 in"];
pub(super) const WHEEL: [Begins; 2] = [["560 mm", "22 in"], ["120 mm", "5 in"]];
pub(super) const BOX: [Begins; 3] = [["300 mm", "12 in"], ["200 mm", "8 in"], ["150 mm", "6 in"]];
pub(super) const PANEL: Begins = ["2 mm", "1/16 in"];
pub(super) const MATERIAL: Begins = ["S235", "A36"];
pub(super) const THICKNESS: Begins = ["3 mm", "11 ga"];
/// A size that sheets are sold in.
pub(super) const SIZE: [Begins; 2] = [["1000 mm", "48 in"], ["500 mm", "24 in"]];

/// Metric sizes that recipes begin with, and the inch sizes that are used for the same work.
pub(super) const HARDWARE: [Begins; 10] = [
    ["M4", "#8"],
    ["M5", "#10"],
    ["M6", "1/4"],
    BOLT,
    ROD_END,
    ["M12", "1/2"],
    ["M16", "5/8"],
    ["M20", "3/4"],
    TUBE,
    ["16 W", "5/8"],
];

/// The one of the units of a job.
pub(super) fn begin([metric, inch]: Begins, units: Units) -> &'static str {
    match units {
        Units::Millimetre => metric,
        Units::Inch => inch,
    }
}
