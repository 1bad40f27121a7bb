//! Overlap minimisation: parts may overlap while they are moved, until none does.

pub(super) mod compress;
pub(super) mod forms;
pub(super) mod free_area;
pub(super) mod improve;
pub(super) mod insert;
pub(super) mod placements;
pub(super) mod relocate;
pub(super) mod separate;
pub(super) mod setup;
