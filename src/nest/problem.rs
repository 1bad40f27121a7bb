//! The problem: items, stock and rules; and its answer, a layout.

pub(super) mod item;
pub(super) mod layout;
pub(super) mod progress;
pub(super) mod rules;
pub(super) mod stock;
