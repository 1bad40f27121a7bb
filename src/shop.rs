//! The shop's own tools: cutting, bending, and its measurements.
//!
//! Lengths are millimetres, forces kN. A tool's section is drawn on the plane square to
//! the bend line: u towards the operator, v upwards. A beam, a finger or a pair of jaws
//! has its origin at the foot of its front, on the sheet's top side, and lies at
//! u ≤ 0, v ≥ 0; a bed the same below the sheet's lower face. A punch has its origin at
//! its tip, a die in the centre of its mouth; the ram of a press brake at the height of the
//! punch's top, its bed at that of the die's foot.

mod brakes;
mod by_hand;
mod fields;
mod formers;
mod measured;
mod press;
mod rates;
mod read;
mod section;
mod shapes;
mod strips;
mod tool;
mod whole;

pub use crate::entry::Coating;
pub(crate) use brakes::Brake;
pub use brakes::Die;
pub use brakes::Fingers;
pub(crate) use brakes::Folding;
pub(crate) use brakes::FoldingKind;
pub(crate) use brakes::Grip;
pub use brakes::Press;
pub(crate) use brakes::Pull;
pub use brakes::Punch;
pub use brakes::Tools;
pub use formers::Hemming;
pub use formers::Roll;
pub use formers::RollKind;
pub use formers::Takes;
pub use measured::Measured;
pub use measured::MeasuredError;
pub(crate) use measured::SAME_SHEET;
pub use measured::USUAL_K;
pub use rates::CutRate;
pub(crate) use rates::Rates;
pub use read::read;
pub use strips::Calibration;
pub use strips::MATTERS;
pub use strips::Said;
pub use strips::Strip;
pub use strips::Strips;
pub use whole::Cutting;
pub(crate) use whole::SAME_V;
pub use whole::Shop;

/// A shop file to start from, with every line explained.
pub const NEW: &str = include_str!("shop/new.toml");
