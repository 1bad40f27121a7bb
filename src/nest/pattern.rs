//! Patterns of many equal parts: rows and columns, plain or head to tail, and the densest lattices
//! of a part and its half turn, cut to the sheet.
//!
//! Lengths are micrometres. Shapes are grown by half the gap, so they may touch. Distances are
//! searched in floating point; whether a pattern is free of overlap is decided in whole numbers on
//! the no-fit polygons.

mod best;
mod coarse;
mod contact;
mod cut;
pub(super) mod fill;
mod forbidden;
mod inside;
pub(super) mod job;
mod kin;
mod kinds;
mod lattice;
mod near;
mod rows;
mod table;
