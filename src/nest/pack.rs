//! Filling sheets: one part after the other, each as far left as it goes.

use crate::geom::Bounds;
use crate::geom::Place;
use crate::geom::Vec2;
use crate::nest::Item;
use crate::nest::MOST_PARTS;
use crate::nest::Placed;
use crate::nest::Rules;
use crate::nest::Stock;
use crate::nest::Unplaced;
use crate::nest::Why;
use crate::nest::grid::Cell;
use crate::nest::grid::Grid;
use crate::nest::mask;
use crate::nest::mask::Frame;
use crate::nest::mask::GRAZE;
use crate::nest::mask::Mask;
use crate::nest::mask::Run;
use rayon::prelude::*;
use std::cmp::Ordering;

/// Sheets that are alike, and what found no place.
pub(super) struct Packing {
    pub(super) patterns: Vec<Pattern>,
    pub(super) unplaced: Vec<Unplaced>,
}

/// What lies on one sheet, and how many sheets are laid the same.
pub(super) struct Pattern {
    pub(super) stock: usize,
    pub(super) times: u32,
    pub(super) placed: Vec<Placed>,
    /// From the left margin to the right end of the parts, in mm.
    length: f64,
}

/// Cells are no smaller than this, in mm. Our choice: a rim lost here and there,
/// for a search that is quick.
const SMALLEST_CELL: f64 = 0.5;

/// Words of memory for the cells of one sheet, which sets the size of the cells:
/// half a millimetre up to about 8 m².
const MOST_WORDS: f64 = 524_288.0;

/// An item that fits some sheet.
struct Shape {
    item: usize,
    area: f64,
    long: f64,
    short: f64,
    urgency: u32,
    /// One for each turn that needs cells of its own.
    masks: Vec<Mask>,
}

/// A sheet in stock that can hold something.
struct Room {
    stock: usize,
    bounds: Bounds,
    count: Option<u32>,
    price: f64,
    /// Runs of cells in which nothing may lie; none on a plain rectangle.
    closed: Vec<Run>,
}

/// Which parts come first.
#[derive(Clone, Copy)]
enum Order {
    Area,
    Long,
    Short,
}

/// Which turn is taken when several find a place.
#[derive(Clone, Copy)]
enum Prefer {
    /// The one whose part starts furthest left.
    Start,
    /// The one whose part ends furthest left.
    End,
}

/// One way to go about it.
#[derive(Clone, Copy)]
struct Way(Order, Prefer);

/// The ways tried; of equals the first is kept.
const WAYS: [Way; 6] = [
    Way(Order::Area, Prefer::End),
    Way(Order::Area, Prefer::Start),
    Way(Order::Long, Prefer::End),
    Way(Order::Long, Prefer::Start),
    Way(Order::Short, Prefer::End),
    Way(Order::Short, Prefer::Start),
];

/// One job on one size of cells.
struct Job<'a> {
    cell: f64,
    reach: f64,
    rooms: &'a [Room],
    shapes: &'a [Shape],
}

/// What one way has come to.
struct Attempt {
    patterns: Vec<Pattern>,
    /// By shape, how many are left.
    left: Vec<u32>,
    left_area: f64,
    cost: f64,
}

/// Lays the items by the best of several ways.
pub(super) fn pack(items: &[Item], stock: &[Stock], rules: Rules) -> Packing {
    let reach = rules.kept_gap() / 2.0;
    let (rooms, cell) = rooms(stock, &rules, reach);

    let mut unplaced = Vec::new();
    let (mut shapes, mut asked) = (Vec::new(), Vec::new());
    let mut free = MOST_PARTS;
    for (i, item) in items.iter().enumerate() {
        let mut leave = |quantity: u32, why: Why| {
            if quantity > 0 {
                unplaced.push(Unplaced { item: i, quantity, why });
            }
        };
        let granted = item.quantity.min(free);
        let masks = if granted > 0 { masks(item, &rooms, reach, cell) } else { Vec::new() };
        if granted > 0 && masks.is_empty() {
            let why = if stock.is_empty() { Why::NoSheetLeft } else { Why::TooLarge };
            leave(item.quantity, why);
            continue;
        }
        if masks.iter().any(|m| m.runs.is_empty()) {
            leave(item.quantity, Why::Unsure);
            continue;
        }
        leave(item.quantity - granted, Why::TooMany);
        free -= granted;
        if let Some(mask) = masks.first() {
            let (w, h) = (mask.size.x, mask.size.y);
            let area = item.region.outer().area();
            let (long, short, urgency) = (w.max(h), w.min(h), item.urgency);
            shapes.push(Shape { item: i, area, long, short, urgency, masks });
            asked.push(granted);
        }
    }

    let job = Job { cell, reach, rooms: &rooms, shapes: &shapes };
    let ways: Vec<(Way, Vec<usize>)> = orders_of_stock(stock, &rooms)
        .into_iter()
        .flat_map(|order| WAYS.map(|way| (way, order.clone())))
        .collect();
    let attempts: Vec<Attempt> =
        ways.par_iter().map(|(way, order)| job.attempt(*way, order, &asked)).collect();
    let Some(best) = attempts.into_iter().min_by(Attempt::compare) else {
        return Packing { patterns: Vec::new(), unplaced };
    };
    for (shape, left) in shapes.iter().zip(best.left) {
        if left > 0 {
            let why = Why::NoSheetLeft;
            unplaced.push(Unplaced { item: shape.item, quantity: left, why });
        }
    }
    Packing { patterns: best.patterns, unplaced }
}

/// The sheets that can hold something, and the size of their cells.
fn rooms(stock: &[Stock], rules: &Rules, reach: f64) -> (Vec<Room>, f64) {
    let usable = |s: &Stock| s.room(rules.kept_margin()).filter(|_| rules.gap.is_finite());
    let room = |(i, s): (usize, &Stock)| {
        let bounds = usable(s)?;
        Some(Room { stock: i, bounds, count: s.count, price: s.price, closed: Vec::new() })
    };
    let mut rooms: Vec<Room> = stock.iter().enumerate().filter_map(room).collect();
    let cell = cell_size(&rooms, reach);
    for room in &mut rooms {
        let stock = &stock[room.stock];
        if !stock.is_plain() {
            let (columns, rows) = extent(room, reach, cell);
            let frame = Frame {
                least: room.bounds.least - Vec2::new(reach, reach),
                columns: columns as usize,
                rows: rows as usize,
            };
            let kept = (rules.kept_margin() - reach).max(0.0);
            room.closed = mask::closed(&stock.region, &stock.keep_outs, kept, reach, cell, &frame);
        }
    }
    (rooms, cell)
}

/// In which order sheets may be taken: those to be used first always are; the others as
/// given, or the cheapest metal first, or the cheapest sheet.
fn orders_of_stock(stock: &[Stock], rooms: &[Room]) -> Vec<Vec<usize>> {
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

/// The smallest cells, by doubling, with which every sheet keeps within the memory.
fn cell_size(rooms: &[Room], reach: f64) -> f64 {
    let mut cell = SMALLEST_CELL;
    let words = |room: &Room, cell: f64| {
        let (columns, rows) = extent(room, reach, cell);
        columns * (rows / 64.0).ceil()
    };
    while rooms.iter().any(|room| words(room, cell) > MOST_WORDS) {
        cell *= 2.0;
    }
    cell
}

/// Columns and rows of the grid of a sheet: half a gap may reach over the margin.
fn extent(room: &Room, reach: f64, cell: f64) -> (f64, f64) {
    let cells = |length: f64| ((length + 2.0 * reach) / cell).ceil() + 2.0;
    (cells(room.bounds.width()), cells(room.bounds.height()))
}

/// The cells of an item at each turn at which it fits a sheet.
fn masks(item: &Item, rooms: &[Room], reach: f64, cell: f64) -> Vec<Mask> {
    let mut masks: Vec<Mask> = Vec::new();
    for turn in item.turns.angles() {
        let turned = item.region.outer().moved(&Place { turn: *turn, ..Place::default() });
        let size = turned.bounds();
        if !rooms.iter().any(|r| fits(&r.bounds, size.width(), size.height())) {
            continue;
        }
        let mask = Mask::new(item.region.outer(), *turn, reach, cell);
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
    /// The furthest cell a mask may be put on, when it fits at all.
    fn most(&self, mask: &Mask, cell: f64) -> Option<Cell> {
        let steps = |free: f64| ((free + GRAZE) / cell).floor().max(0.0) as usize;
        fits(&self.bounds, mask.size.x, mask.size.y).then(|| Cell {
            column: steps(self.bounds.width() - mask.size.x),
            row: steps(self.bounds.height() - mask.size.y),
        })
    }
}

impl Job<'_> {
    /// Sheet after sheet: each takes, in the order of the way, all that still fits on it.
    fn attempt(&self, way: Way, stock: &[usize], asked: &[u32]) -> Attempt {
        let order = self.ordered(way.0);
        let mut left = asked.to_vec();
        let mut used = vec![0u32; self.rooms.len()];
        let mut patterns = Vec::new();
        let (mut cost, mut full) = (0.0, vec![false; self.rooms.len()]);
        while let Some(r) = stock.iter().copied().find(|r| {
            let room = &self.rooms[*r];
            !full[*r]
                && room.count.is_none_or(|c| used[*r] < c)
                && self.shapes.iter().zip(&left).any(|(s, left)| *left > 0 && self.holds(room, s))
        }) {
            let room = &self.rooms[r];
            let before = left.clone();
            let mut pattern = self.fill(room, &order, way.1, &mut left);
            let taken: Vec<u32> = before.iter().zip(&left).map(|(b, l)| b - l).collect();
            // While there is enough of everything on it, the next sheet comes out the same.
            let alike = taken.iter().zip(&left).filter(|(t, _)| **t > 0).map(|(t, l)| l / t).min();
            // What fits the rectangle round a sheet need not fit the sheet.
            let Some(alike) = alike else {
                full[r] = true;
                continue;
            };
            let alike = alike.min(room.count.map_or(u32::MAX, |c| c - used[r] - 1));
            for (left, taken) in left.iter_mut().zip(&taken) {
                *left -= taken * alike;
            }
            pattern.times += alike;
            used[r] += pattern.times;
            cost += room.price * f64::from(pattern.times);
            patterns.push(pattern);
        }
        let left_area = self.shapes.iter().zip(&left).map(|(s, l)| s.area * f64::from(*l)).sum();
        Attempt { patterns, left, left_area, cost }
    }

    fn holds(&self, room: &Room, shape: &Shape) -> bool {
        shape.masks.iter().any(|m| room.most(m, self.cell).is_some())
    }

    /// Indices of the shapes, the most urgent and of these the largest first.
    fn ordered(&self, order: Order) -> Vec<usize> {
        let key = |i: usize| {
            let s = &self.shapes[i];
            match order {
                Order::Area => (s.area, s.long),
                Order::Long => (s.long, s.area),
                Order::Short => (s.short, s.area),
            }
        };
        let mut indices: Vec<usize> = (0..self.shapes.len()).collect();
        indices.sort_by(|a, b| {
            let urgent = self.shapes[*b].urgency.cmp(&self.shapes[*a].urgency);
            let (a, b) = (key(*a), key(*b));
            urgent.then(b.0.total_cmp(&a.0)).then(b.1.total_cmp(&a.1))
        });
        indices
    }

    /// Puts on one sheet what is left and fits.
    fn fill(&self, room: &Room, order: &[usize], prefer: Prefer, left: &mut [u32]) -> Pattern {
        let (columns, rows) = extent(room, self.reach, self.cell);
        let mut grid = Grid::new(columns as usize, rows as usize);
        grid.close(&room.closed);
        let mut pattern = Pattern { stock: room.stock, times: 1, placed: vec![], length: 0.0 };
        for s in order {
            let shape = &self.shapes[*s];
            // A sheet only gets fuller: what was found for one copy bounds the next.
            let mut cursors = vec![Cell::default(); shape.masks.len()];
            while left[*s] > 0 {
                let Some(best) = self.best(&grid, room, shape, prefer, &mut cursors) else { break };
                let (mask, at) = (&shape.masks[best], cursors[best]);
                grid.take(mask, at);
                let shift = Vec2::new(at.column as f64, at.row as f64) * self.cell;
                let place = Place {
                    turn: mask.turn,
                    shift: room.bounds.least + shift - mask.least,
                    ..Place::default()
                };
                pattern.placed.push(Placed { item: shape.item, place });
                pattern.length = pattern.length.max(shift.x + mask.size.x);
                left[*s] -= 1;
            }
        }
        pattern
    }

    /// Which turn to take; its cursor then stands where it goes. None is looked at further
    /// right than it could still win.
    fn best(
        &self,
        grid: &Grid,
        room: &Room,
        shape: &Shape,
        prefer: Prefer,
        cursors: &mut [Cell],
    ) -> Option<usize> {
        let mut best: Option<(usize, Cell)> = None;
        for (i, mask) in shape.masks.iter().enumerate() {
            let Some(mut most) = room.most(mask, self.cell) else { continue };
            // What is compared: the cell the part begins in, or the one past its end.
            let beyond = match prefer {
                Prefer::Start => Cell::default(),
                Prefer::End => Cell { column: mask.columns, row: mask.rows },
            };
            if let Some((_, best)) = best {
                let Some(last) = best.column.checked_sub(beyond.column) else { continue };
                most.column = most.column.min(last);
            }
            if !grid.seek(mask, &mut cursors[i], most) {
                continue;
            }
            let at = cursors[i];
            let reached = Cell { column: at.column + beyond.column, row: at.row + beyond.row };
            if best.is_none_or(|(_, best)| reached < best) {
                best = Some((i, reached));
            }
        }
        best.map(|(i, _)| i)
    }
}

impl Attempt {
    /// Less left over, then less cost, then fewer sheets, then a shorter last one is better.
    fn compare(&self, other: &Self) -> Ordering {
        let sheets = |a: &Self| a.patterns.iter().map(|p| u64::from(p.times)).sum::<u64>();
        let last = |a: &Self| a.patterns.last().map_or(0.0, |p| p.length);
        self.left_area
            .total_cmp(&other.left_area)
            .then(self.cost.total_cmp(&other.cost))
            .then(sheets(self).cmp(&sheets(other)))
            .then(last(self).total_cmp(&last(other)))
    }
}
