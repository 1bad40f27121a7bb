//! Parts, sheets and wrap templates of tubes as drawings, before they are files.

mod clock;
mod finishing;
mod flat;
mod label;
mod notes;
mod sent;
mod sheet;
mod wrap;

pub(crate) use clock::drawings as clocks;
pub(crate) use clock::file as clock_file;
pub(crate) use finishing::Finishing;
pub(crate) use finishing::finishing;
pub(crate) use flat::flat;
pub(crate) use flat::side_by_side;
pub(crate) use sent::drawn;
pub(crate) use sheet::Spots;
pub(crate) use sheet::sheet;
pub(crate) use wrap::drawings as wraps;
pub(crate) use wrap::file as wrap_file;
