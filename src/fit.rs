//! Whether a rod end fits between two ears, and how far it tilts there; and whether a captured nut
//! clears its tube.
//!
//! Lengths are millimetres. The pin is along z with the centre of the ball at its origin; the ears
//! are plates parallel to the plane of x and y, their inner faces at half the gap above and below.
//! *Play* is the clearance between the ball with its spacers and the ears.
//! *Swing* is rotation out of the plane of x and y, *rotation* is about the pin within it.

mod captured;
mod fitted;
mod foot;
mod gap;
mod rod_end;
mod rotation;
mod swing;
mod tab;
mod tolerance;
mod touched;
mod tube_end;

pub use captured::NutRoom;
pub use fitted::ClevisFit;
pub use fitted::NutFit;
pub use fitted::clevis;
pub use fitted::nut;
pub(crate) use foot::Apart;
pub(crate) use foot::Foot;
pub use gap::Gap;
pub(crate) use gap::Range;
pub use gap::Share;
pub use gap::Shop;
pub(crate) use rod_end::rotations;
pub(crate) use rod_end::swing;
pub use rotation::Strip;
pub use swing::Swing;
pub(crate) use tab::Spot;
pub(crate) use tab::Tab;
pub(crate) use tab::spots;
pub(crate) use tab::standing;
pub(crate) use tolerance::cut_tolerance;
pub(crate) use tolerance::sheet_tolerance;
pub use touched::Touched;
pub(crate) use tube_end::CapFit;
pub(crate) use tube_end::CheekFit;
pub(crate) use tube_end::LANDING;
pub(crate) use tube_end::TubeEnd;
