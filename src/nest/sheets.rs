//! Which sheets are taken, which of them are eliminated, and what fills up the rest.

pub(super) mod eliminate;
pub(super) mod filling;
pub(super) mod mix;
pub(super) mod search;
