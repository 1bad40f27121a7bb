//! Sheets as cells: how many, which of them are closed, and what fits.

use crate::geom::Bounds;
use crate::geom::Place;
use crate::geom::Vec2;
use crate::nest::pack::grid::Cell;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::mask;
use crate::nest::shape::mask::Frame;
use crate::nest::shape::mask::GRAZE;
use crate::nest::shape::mask::Mask;
use crate::nest::shape::mask::Run;
use crate::nest::task::Task;
use std::sync::Arc;

/// Smallest cells, in mm. Our choice: a little more clearance at edges for a quick search.
const SMALLEST_CELL: f64 = 0.5;

/// Maximum number of words of memory for the cells of one sheet, which sets the size of the cells.
/// Our choice: half a millimetre up to about 8 m².
const MAX_WORDS: f64 = 524_288.0;

/// A sheet in stock that can hold something.
pub(super) struct Room {
    pub(super) stock: usize,
    pub(super) bounds: Bounds,
    pub(super) count: Option<u32>,
    pub(super) price: f64,
    /// Whether it is to be used before those that are not.
    pub(super) first: bool,
    /// Runs of closed cells; none on a plain rectangle.
    pub(super) closed: Vec<Run>,
}

/// The sheets that can hold something, and the size of their cells.
pub(super) fn rooms(task: &Task, reach: f64) -> (Vec<Room>, f64) {
    let Task { stock, rules, stop, .. } = *task;
    let usable = |s: &Stock| s.room(rules.kept_margin()).filter(|_| rules.gap.is_finite());
    let room = |(i, s): (usize, &Stock)| {
        let bounds = usable(s)?;
        let (count, price, first) = (s.count, s.price, s.first);
        Some(Room { stock: i, bounds, count, price, first, closed: Vec::new() })
    };
    let mut rooms: Vec<Room> = stock.iter().enumerate().filter_map(room).collect();
    let cell = cell_size(&rooms, reach);
    for room in &mut rooms {
        let stock = &stock[room.stock];
        if !stock.is_plain() {
            let (columns, rows) = extent(room, reach, cell);
            let frame = Frame {
                min: room.bounds.min - Vec2::new(reach, reach),
                columns: columns as usize,
                rows: rows as usize,
            };
            let kept = (rules.kept_margin() - reach).max(0.0);
            let keep_outs = stock.keep_outs.iter().take_while(|_| !stop.now());
            room.closed = mask::closed(&stock.region, keep_outs, kept, reach, cell, &frame);
        }
    }
    (rooms, cell)
}

/// The smallest cells, by doubling, with which every sheet keeps within the memory.
fn cell_size(rooms: &[Room], reach: f64) -> f64 {
    let mut cell = SMALLEST_CELL;
    let words = |room: &Room, cell: f64| {
        let (columns, rows) = extent(room, reach, cell);
        columns * (rows / 64.0).ceil()
    };
    while rooms.iter().any(|room| words(room, cell) > MAX_WORDS) {
        cell *= 2.0;
    }
    cell
}

/// Columns and rows of the grid of a sheet: half a gap may project over the margin.
pub(super) fn extent(room: &Room, reach: f64, cell: f64) -> (f64, f64) {
    let cells = |length: f64| ((length + 2.0 * reach) / cell).ceil() + 2.0;
    (cells(room.bounds.width()), cells(room.bounds.height()))
}

/// The orders in which sheets may be used: those to be used first come first; the others as given,
/// the cheapest metal first, or the cheapest sheet first.
pub(super) fn orders_of_stock(stock: &[Stock], rooms: &[Room]) -> Vec<Vec<usize>> {
    let of = |r: &usize| &stock[rooms[*r].stock];
    let by = |key: fn(&Stock) -> f64| {
        let mut order: Vec<usize> = (0..rooms.len()).collect();
        order.sort_by(|a, b| {
            let (a, b) = (of(a), of(b));
            b.first.cmp(&a.first).then(key(a).total_cmp(&key(b)))
        });
        order
    };
    let mut orders = vec![by(|_| 0.0), by(|s| s.price / s.region.area()), by(|s| s.price)];
    orders.dedup();
    orders
}

/// The cells of an item in each orientation in which it fits a sheet.
pub(super) fn masks(
    task: &Task,
    i: usize,
    rooms: &[Room],
    reach: f64,
    cell: f64,
) -> Vec<Arc<Mask>> {
    let outer = task.items[i].region.outer();
    let mut masks: Vec<Arc<Mask>> = Vec::new();
    for (t, rotation) in
        task.orientations[i].iter().map(|orientation| orientation.angle()).enumerate()
    {
        if task.stop.now() {
            break;
        }
        let size = outer.moved(&Place { rotation, ..Place::default() }).bounds();
        if !rooms.iter().any(|r| fits(&r.bounds, size.width(), size.height())) {
            continue;
        }
        let mask = task.masks.of(i, t, cell, || Mask::new(outer, rotation, reach, cell));
        if !masks.iter().any(|m| m.same_cells(&mask)) {
            masks.push(mask);
        }
    }
    masks
}

fn fits(room: &Bounds, width: f64, height: f64) -> bool {
    width <= room.width() + GRAZE && height <= room.height() + GRAZE
}

impl Room {
    /// The furthest cell a mask may be put on, if it fits.
    pub(super) fn max(&self, mask: &Mask, cell: f64) -> Option<Cell> {
        let steps = |free: f64| ((free + GRAZE) / cell).floor().max(0.0) as usize;
        fits(&self.bounds, mask.size.x, mask.size.y).then(|| Cell {
            column: steps(self.bounds.width() - mask.size.x),
            row: steps(self.bounds.height() - mask.size.y),
        })
    }
}
