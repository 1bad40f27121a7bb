//! What a layout is worth: whether it keeps the rules, how good it is, and what no layout can
//! exceed.

pub(super) mod audit;
pub(super) mod bound;
pub(super) mod candidate;
pub(super) mod kits;
pub(super) mod rank;
pub(super) mod remnant;
pub(super) mod usage;
