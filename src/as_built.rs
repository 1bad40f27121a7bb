//! Measurements after bending and coating, compared with the drawing.
//!
//! A job may record measurements of pieces already made. The causes of a deviation are calculated
//! by least squares, as far as the measurements can separate them: the bend deduction, the inside
//! radius and the angle of all bends of one sheet over one V, the thickness of a sheet, the
//! coating, cut edges; and for a single piece the position of a bend line, the angle of one bend,
//! weld and setting-up. It changes no nominal dimension. Lengths are mm, angles degrees.

mod body;
mod cause;
mod correction;
mod effect;
mod found;
mod group;
mod judged_fits;
mod kept;
mod least_squares;
mod measurable;
mod model;
mod others;
mod row;
pub(crate) mod sentence;
mod target;
mod words;

pub use cause::Cause;
pub use cause::CauseFound;
pub use cause::Kind;
pub use cause::Verdict;
pub use correction::Correction;
pub use effect::Effect;
pub use effect::effects;
pub use found::AsBuilt;
pub use found::MeasureFound;
pub use found::found;
pub use group::Group;
pub use judged_fits::FitFound;
pub use least_squares::Estimate;
pub use least_squares::Observation;
pub use measurable::Measurable;
pub use measurable::measurable;
pub use model::At;
pub use model::Model;
pub use others::OtherFound;
pub use row::RowFound;
pub use sentence::text;
pub use target::Target;
