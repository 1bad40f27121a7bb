//! Solved parts onto sheets: one nest for each kind of sheet.

mod bridges;
mod budget;
mod common_cuts;
mod division;
mod estimate;
mod fits;
mod grain;
mod interim;
mod kept_free;
mod kits;
mod locked;
mod nesting;
mod sheet;

pub(crate) use bridges::chains;
pub(crate) use bridges::of as bridges_of;
pub use budget::Best;
pub use budget::FoundOn;
pub use budget::Search;
pub(crate) use common_cuts::NOTES;
pub(crate) use common_cuts::OutlineCuts;
pub(crate) use common_cuts::outline_cuts;
pub(crate) use division::Division;
pub use estimate::Estimate;
pub use estimate::Holds;
pub use estimate::KindEstimate;
pub use estimate::estimate;
pub(crate) use fits::fits;
pub(crate) use fits::without_a_place;
pub(crate) use interim::interim_sheets;
pub(crate) use nesting::place;
pub(crate) use nesting::route;
pub(crate) use sheet::NestedSheet;
pub(crate) use sheet::NotPlaced;
pub(crate) use sheet::Placement;
pub(crate) use sheet::Searched;
pub(crate) use sheet::firsts;
