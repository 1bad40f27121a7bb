//! What is asked of the nesting: items, stock, rules; and what it answers: a layout.

pub(super) mod item;
pub(super) mod layout;
pub(super) mod progress;
pub(super) mod rules;
pub(super) mod stock;
