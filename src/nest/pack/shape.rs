//! Items as the packing uses them: in cells, with their sort keys.

use crate::nest::pack::room::Room;
use crate::nest::pack::room::masks;
use crate::nest::problem::layout::MAX_PARTS;
use crate::nest::problem::layout::Unplaced;
use crate::nest::problem::layout::Why;
use crate::nest::shape::mask::Mask;
use crate::nest::task::Task;
use std::sync::Arc;

/// An item that fits some sheet.
pub(super) struct Shape {
    pub(super) item: usize,
    pub(super) area: f64,
    pub(super) long: f64,
    pub(super) short: f64,
    pub(super) priority: u32,
    /// One for each orientation with different cells.
    pub(super) masks: Vec<Arc<Mask>>,
    /// How many of the first are quarter turns; all, when it fits in none of these.
    pub(super) quarter_turns: usize,
}

/// The items to pack: those that fit some sheet, and how many of each.
pub(super) struct ItemsToPack {
    pub(super) shapes: Vec<Shape>,
    /// The required quantities, by shape.
    pub(super) asked: Vec<u32>,
    /// Parts that fit on no sheet.
    pub(super) unplaced: Vec<Unplaced>,
}

impl ItemsToPack {
    /// The items of a task on cells of a side in mm, grown by `reach` mm.
    pub(super) fn new(task: &Task, rooms: &[Room], reach: f64, cell: f64) -> Self {
        let mut wanted = Self { shapes: Vec::new(), asked: Vec::new(), unplaced: Vec::new() };
        let mut free = MAX_PARTS;
        for (i, item) in task.items.iter().enumerate() {
            let granted = item.quantity.min(free);
            let masks = match granted {
                0 => Vec::new(),
                _ => masks(task, i, rooms, reach, cell),
            };
            if granted > 0 && masks.is_empty() {
                let why = if task.stock.is_empty() { Why::NoSheetLeft } else { Why::TooLarge };
                wanted.leave(i, item.quantity, why);
                continue;
            }
            if masks.iter().any(|m| m.runs.is_empty()) {
                wanted.leave(i, item.quantity, Why::Unsure);
                continue;
            }
            wanted.leave(i, item.quantity - granted, Why::TooMany);
            free -= granted;
            if let Some(shape) = Shape::new(task, i, masks) {
                wanted.shapes.push(shape);
                wanted.asked.push(granted);
            }
        }
        wanted
    }

    fn leave(&mut self, item: usize, quantity: u32, why: Why) {
        if quantity > 0 {
            self.unplaced.push(Unplaced { item, quantity, why });
        }
    }
}

impl Shape {
    /// `None` when there are no masks: the item is not asked for.
    fn new(task: &Task, i: usize, masks: Vec<Arc<Mask>>) -> Option<Self> {
        let size = masks.first()?.size;
        let item = &task.items[i];
        let quarter = |m: &&Arc<Mask>| m.rotation.degrees() % 90.0 == 0.0;
        let quarter_turns = masks.iter().take_while(quarter).count();
        Some(Self {
            item: i,
            area: item.bulk(),
            long: size.x.max(size.y),
            short: size.x.min(size.y),
            priority: item.priority,
            quarter_turns: if quarter_turns == 0 { masks.len() } else { quarter_turns },
            masks,
        })
    }
}
