//! A job as every step of the nesting sees it.

use crate::nest::Item;
use crate::nest::Rules;
use crate::nest::Stock;
use crate::nest::turn::Turn;

/// What is to be laid, on what, and how.
#[derive(Clone, Copy)]
pub(super) struct Task<'a> {
    pub(super) items: &'a [Item],
    /// By item, the turns it is laid at.
    pub(super) turns: &'a [Vec<Turn>],
    pub(super) stock: &'a [Stock],
    pub(super) rules: Rules,
}

impl<'a> Task<'a> {
    /// Other quantities of the same items.
    pub(super) fn of(self, items: &'a [Item]) -> Self {
        Self { items, ..self }
    }

    /// The same items on other stock.
    pub(super) fn on(self, stock: &'a [Stock]) -> Self {
        Self { stock, ..self }
    }
}
