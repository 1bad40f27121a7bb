//! The choice of sheets, their elimination, and the fillings.

pub(super) mod eliminate;
pub(super) mod filling;
pub(super) mod kits;
pub(super) mod mix;
pub(super) mod repeat;
pub(super) mod search;
