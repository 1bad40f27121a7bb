//! Platewright: from recipes of small plate parts to files that can be cut.
//!
//! The modules stand in the order in which data flows; each may use only those
//! above it, and `tests/floor_plan.rs` says which.

pub mod diag;
pub mod geom;
pub mod nest;
pub mod num;
pub mod quantity;
pub mod write;
