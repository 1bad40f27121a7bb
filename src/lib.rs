//! Platewright: from recipes of small plate parts to files that can be cut.
//!
//! The modules stand in the order in which data flows; each may use only those
//! above it, and `tests/all/house/floor_plan.rs` says which.

pub mod num;

pub mod diag;

pub mod quantity;

pub mod geom;

pub mod dxf_in;

pub mod bend;

pub mod brake;

pub mod document;

pub mod table;

pub mod entry;

pub mod formula;

pub mod recipe;

pub mod shop;

pub mod part;

pub mod flat;

pub mod fold;

pub mod solid;

pub mod order;

pub mod link;

pub mod fit;
pub mod strength;

pub mod cope;

pub mod check;

pub mod nest;

pub mod route;

pub mod write;

pub mod paper;

mod view;

pub mod job;

pub mod solve;

pub mod place;

mod bill;
mod draw;

pub mod report;

pub mod drawings;
mod lists;
mod package;

mod report_page;

pub mod make;

pub mod workshop;

pub mod schema;
