//! Filling sheets: one part after the other, each as far left as it goes.

mod attempt;
mod room;

use crate::geom::Place;
use crate::geom::Vec2;
use crate::nest::MOST_PARTS;
use crate::nest::Placed;
use crate::nest::Unplaced;
use crate::nest::Why;
use crate::nest::draft::Draft;
use crate::nest::grid::Cell;
use crate::nest::grid::Grid;
use crate::nest::mask::Mask;
use crate::nest::pack::attempt::Attempt;
use crate::nest::pack::room::Room;
use crate::nest::pack::room::extent;
use crate::nest::pack::room::masks;
use crate::nest::pack::room::orders_of_stock;
use crate::nest::pack::room::rooms;
use crate::nest::task::Task;
use rayon::prelude::*;
use std::sync::Arc;

/// Sheets that are alike, and what found no place.
pub(super) struct Packing {
    pub(super) patterns: Vec<Pattern>,
    pub(super) unplaced: Vec<Unplaced>,
}

impl Packing {
    /// The sheets, one by one.
    pub(super) fn drafts(&self) -> Vec<Draft> {
        let sheets = self.patterns.iter().flat_map(|p| {
            let draft = Draft { stock: p.stock, placed: p.placed.clone() };
            std::iter::repeat_n(draft, p.times as usize)
        });
        sheets.collect()
    }
}

/// What lies on one sheet, and how many sheets are laid the same.
pub(super) struct Pattern {
    pub(super) stock: usize,
    pub(super) times: u32,
    pub(super) placed: Vec<Placed>,
    /// From the left margin to the right end of the parts, in mm.
    length: f64,
}

/// An item that fits some sheet.
struct Shape {
    item: usize,
    area: f64,
    long: f64,
    short: f64,
    urgency: u32,
    /// One for each turn that needs cells of its own.
    masks: Vec<Arc<Mask>>,
    /// So many of the first are quarter turns; all, when it fits at none of these.
    level: usize,
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

/// Which turns are looked at.
#[derive(Clone, Copy)]
enum Look {
    /// Quarter turns where they do.
    Level,
    /// All.
    Leaning,
}

/// How much is tried.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// All ways.
    Full,
    /// The first few, at quarter turns where they do: for what is tried often.
    Quick,
}

/// One way to go about it.
#[derive(Clone, Copy)]
struct Way(Order, Prefer, Look);

/// The ways tried; of equals the first is kept. Those that lean come after all others, and
/// only where something may.
const WAYS: [(Order, Prefer); 6] = [
    (Order::Area, Prefer::End),
    (Order::Area, Prefer::Start),
    (Order::Long, Prefer::End),
    (Order::Long, Prefer::Start),
    (Order::Short, Prefer::End),
    (Order::Short, Prefer::Start),
];

/// A job of more parts times full sheets than this is a large one, for which only the first
/// few ways are tried. Our choice: the first answer to a thousand parts on a dozen sheets shall
/// not take longer than a few seconds.
const LARGE: f64 = 4000.0;
const FEW: usize = 2;

/// One job on one size of cells.
struct Job<'a> {
    cell: f64,
    reach: f64,
    rooms: &'a [Room],
    shapes: &'a [Shape],
}

/// Lays the items by the best of several ways.
pub(super) fn pack(task: Task, care: Care) -> Packing {
    let Task { items, stock, rules, .. } = task;
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
        let masks = match granted {
            0 => Vec::new(),
            _ => masks(&task, i, &rooms, reach, cell),
        };
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
            let area = item.bulk();
            let (long, short, urgency) = (w.max(h), w.min(h), item.urgency);
            let level = masks.iter().take_while(|m| m.turn.degrees() % 90.0 == 0.0).count();
            let level = if level == 0 { masks.len() } else { level };
            shapes.push(Shape { item: i, area, long, short, urgency, masks, level });
            asked.push(granted);
        }
    }

    let job = Job { cell, reach, rooms: &rooms, shapes: &shapes };
    let orders = orders_of_stock(stock, &rooms);
    let ways = job.ways(&asked, care);
    let leaning = care == Care::Full && shapes.iter().any(|s| s.level < s.masks.len());
    let looks = [Look::Level, Look::Leaning].into_iter().take(1 + usize::from(leaning));
    let tries: Vec<(Way, &Vec<usize>)> = looks
        .flat_map(|look| orders.iter().map(move |order| (look, order)))
        .flat_map(|(look, order)| ways.iter().map(move |way| (Way(way.0, way.1, look), order)))
        .collect();
    let attempts: Vec<Attempt> =
        tries.par_iter().map(|(way, order)| job.attempt(*way, order, &asked)).collect();
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

impl Job<'_> {
    /// The ways worth trying for so many of each shape.
    fn ways(&self, asked: &[u32], care: Care) -> &'static [(Order, Prefer)] {
        let parts: f64 = asked.iter().map(|n| f64::from(*n)).sum();
        let area: f64 = self.shapes.iter().zip(asked).map(|(s, n)| s.area * f64::from(*n)).sum();
        let room = |r: &Room| r.bounds.width() * r.bounds.height();
        let largest = self.rooms.iter().map(room).fold(0.0, f64::max);
        let large = parts * (area / largest).max(1.0) > LARGE;
        if large || care == Care::Quick { &WAYS[..FEW] } else { &WAYS }
    }

    /// Sheet after sheet: each takes, in the order of the way, all that still fits on it.
    fn attempt(&self, way: Way, stock: &[usize], asked: &[u32]) -> Attempt {
        let order = self.ordered(way.0);
        let mut left = asked.to_vec();
        let mut used = vec![0u32; self.rooms.len()];
        let mut patterns = Vec::new();
        let mut full = vec![false; self.rooms.len()];
        while let Some(r) = stock.iter().copied().find(|r| {
            let room = &self.rooms[*r];
            !full[*r]
                && room.count.is_none_or(|c| used[*r] < c)
                && self.shapes.iter().zip(&left).any(|(s, left)| *left > 0 && self.holds(room, s))
        }) {
            let room = &self.rooms[r];
            let before = left.clone();
            let mut pattern = self.fill(room, &order, way, &mut left);
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
            patterns.push(pattern);
        }
        Attempt::new(patterns, left, self.shapes, self.rooms)
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
    fn fill(&self, room: &Room, order: &[usize], way: Way, left: &mut [u32]) -> Pattern {
        let (columns, rows) = extent(room, self.reach, self.cell);
        let mut grid = Grid::new(columns as usize, rows as usize);
        grid.close(&room.closed);
        let mut pattern = Pattern { stock: room.stock, times: 1, placed: vec![], length: 0.0 };
        for s in order {
            let shape = &self.shapes[*s];
            // A sheet only gets fuller: what was found for one copy bounds the next.
            let mut cursors = vec![Cell::default(); shape.masks.len()];
            while left[*s] > 0 {
                let Some(best) = self.best(&grid, room, shape, way, &mut cursors) else { break };
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
        way: Way,
        cursors: &mut [Cell],
    ) -> Option<usize> {
        let mut best: Option<(usize, Cell)> = None;
        let looked_at = match way.2 {
            Look::Level => shape.level,
            Look::Leaning => shape.masks.len(),
        };
        for (i, mask) in shape.masks[..looked_at].iter().enumerate() {
            let Some(mut most) = room.most(mask, self.cell) else { continue };
            // What is compared: the cell the part begins in, or the one past its end.
            let beyond = match way.1 {
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
