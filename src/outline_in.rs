//! An outline file, DXF or SVG, as what a plate is cut, marked and bent by.

mod found;
mod look;
mod sorted;
mod whole;

pub use found::Found;
pub use found::MAX_EDGES;
pub use found::OutlineError;
pub use found::Use;
pub use found::Wish;
pub use look::Layer;
pub use look::Looked;
pub use look::look;
pub use whole::read;
