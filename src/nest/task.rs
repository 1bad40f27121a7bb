//! A task: the problem as every stage of the nesting sees it.

use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::progress::Stop;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::mask::Mask;
use crate::nest::shape::orientation::Orientation;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;

/// Items, their orientations, stock and rules.
#[derive(Clone, Copy)]
pub(super) struct Task<'a> {
    pub(super) items: &'a [Item],
    /// By item, the orientations it is placed in.
    pub(super) orientations: &'a [Vec<Orientation>],
    pub(super) stock: &'a [Stock],
    pub(super) rules: Rules,
    pub(super) masks: &'a Masks,
    /// Asked in every loop that can last.
    pub(super) stop: &'a Stop<'a>,
}

impl<'a> Task<'a> {
    /// Other quantities of the same items.
    pub(super) fn of(self, items: &'a [Item]) -> Self {
        Self { items, ..self }
    }

    /// The required number of parts.
    pub(super) fn asked(&self) -> u64 {
        self.items.iter().map(|item| u64::from(item.quantity)).sum()
    }

    /// Whether parts of a kit are kept together.
    pub(super) fn has_kits(&self) -> bool {
        self.items.iter().any(|item| item.kit.is_some())
    }

    /// Whether the order of sheets with these parts is decided already: by priorities or kits.
    pub(super) fn is_ordered<'p>(&self, mut placed: impl Iterator<Item = &'p Placed>) -> bool {
        let first = placed.next().map(|p| self.items[p.item].priority);
        self.has_kits() || placed.any(|p| Some(self.items[p.item].priority) != first)
    }

    /// The same items on other stock.
    pub(super) fn on(self, stock: &'a [Stock]) -> Self {
        Self { stock, ..self }
    }
}

/// The cells of items, made once for all packings of a task.
#[derive(Default)]
pub(super) struct Masks {
    /// By item, index of the orientation, and the bits of the cell's side.
    made: Mutex<BTreeMap<(usize, usize, u64), Arc<Mask>>>,
}

impl Masks {
    /// The mask of an item in one of its orientations on cells of a side of so many mm.
    pub(super) fn of(
        &self,
        item: usize,
        orientation: usize,
        cell: f64,
        make: impl FnOnce() -> Mask,
    ) -> Arc<Mask> {
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(
            made.entry((item, orientation, cell.to_bits())).or_insert_with(|| Arc::new(make())),
        )
    }
}
