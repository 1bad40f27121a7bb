//! One strategy of packing: the order of the parts, and the choice of their orientations.

use crate::geom::Place;
use crate::geom::Vec2;
use crate::nest::pack::attempt::Attempt;
use crate::nest::pack::attempt::Pattern;
use crate::nest::pack::grid::Cell;
use crate::nest::pack::grid::Grid;
use crate::nest::pack::room::Room;
use crate::nest::pack::room::extent;
use crate::nest::pack::shape::Shape;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::progress::Stop;

/// Which parts come first.
#[derive(Clone, Copy)]
pub(super) enum Order {
    Area,
    Long,
    Short,
}

/// The orientation chosen when several fit.
#[derive(Clone, Copy)]
pub(super) enum Prefer {
    /// The one whose part starts furthest left.
    Start,
    /// The one whose part ends furthest left.
    End,
}

/// Which orientations are tried.
#[derive(Clone, Copy)]
pub(super) enum Look {
    /// Quarter turns, where these fit.
    QuarterTurns,
    /// All.
    AllRotations,
}

/// A strategy.
#[derive(Clone, Copy)]
pub(super) struct Way(pub(super) Order, pub(super) Prefer, pub(super) Look);

/// The strategies tried; of equals the first is kept. Skewed orientations come after all others,
/// and only where an item has any. Our choice.
pub(super) const WAYS: [(Order, Prefer); 6] = [
    (Order::Area, Prefer::End),
    (Order::Area, Prefer::Start),
    (Order::Long, Prefer::End),
    (Order::Long, Prefer::Start),
    (Order::Short, Prefer::End),
    (Order::Short, Prefer::Start),
];

/// One job on one size of cells.
pub(super) struct Job<'a> {
    pub(super) cell: f64,
    pub(super) reach: f64,
    pub(super) rooms: &'a [Room],
    pub(super) shapes: &'a [Shape],
    pub(super) stop: &'a Stop<'a>,
}

/// A job of more parts times full sheets than this is large: only the first few strategies are
/// tried. Our choice: the first layout of a thousand parts on a dozen sheets shall take no longer
/// than a few seconds.
const LARGE: f64 = 4000.0;

impl Job<'_> {
    /// Whether a job with these quantities of each shape is a large one.
    pub(super) fn is_large(&self, asked: &[u32]) -> bool {
        let parts: f64 = asked.iter().map(|n| f64::from(*n)).sum();
        let area: f64 = self.shapes.iter().zip(asked).map(|(s, n)| s.area * f64::from(*n)).sum();
        let room = |r: &Room| r.bounds.width() * r.bounds.height();
        let largest = self.rooms.iter().map(room).fold(0.0, f64::max);
        parts * (area / largest).max(1.0) > LARGE
    }

    /// Sheet after sheet: each takes, in the order of the strategy, all that still fits on it, until
    /// the work must end.
    pub(super) fn attempt(&self, way: Way, stock: &[usize], asked: &[u32]) -> Attempt {
        let order = self.ordered(way.0);
        let mut left = asked.to_vec();
        let mut used = vec![0u32; self.rooms.len()];
        let mut patterns = Vec::new();
        let mut full = vec![false; self.rooms.len()];
        while let Some(r) = stock.iter().copied().find(|r| {
            let room = &self.rooms[*r];
            !self.stop.now()
                && !full[*r]
                && room.count.is_none_or(|c| used[*r] < c)
                && self
                    .shapes
                    .iter()
                    .zip(&left)
                    .any(|(s, left)| *left > 0 && self.has_room(room, s))
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

    fn has_room(&self, room: &Room, shape: &Shape) -> bool {
        shape.masks.iter().any(|m| room.max(m, self.cell).is_some())
    }

    /// Indices of the shapes, those of the highest priority first and of these the largest.
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
            let with_priority = self.shapes[*b].priority.cmp(&self.shapes[*a].priority);
            let (a, b) = (key(*a), key(*b));
            with_priority.then(b.0.total_cmp(&a.0)).then(b.1.total_cmp(&a.1))
        });
        indices
    }

    /// Puts the remaining parts that fit on one sheet.
    fn fill(&self, room: &Room, order: &[usize], way: Way, left: &mut [u32]) -> Pattern {
        let (columns, rows) = extent(room, self.reach, self.cell);
        let mut grid = Grid::new(columns as usize, rows as usize);
        grid.close(&room.closed);
        let mut pattern = Pattern { stock: room.stock, times: 1, placed: vec![], length: 0.0 };
        for s in order {
            let shape = &self.shapes[*s];
            // A sheet only gets fuller: the position of one copy bounds the next.
            let mut cursors = vec![Cell::default(); shape.masks.len()];
            while left[*s] > 0 && !self.stop.now() {
                let Some(best) = self.best(&grid, room, shape, way, &mut cursors) else { break };
                let (mask, at) = (&shape.masks[best], cursors[best]);
                grid.take(mask, at);
                let shift = Vec2::new(at.column as f64, at.row as f64) * self.cell;
                let place = Place {
                    rotation: mask.rotation,
                    shift: room.bounds.min + shift - mask.min,
                    ..Place::default()
                };
                pattern.placed.push(Placed { item: shape.item, place });
                pattern.length = pattern.length.max(shift.x + mask.size.x);
                left[*s] -= 1;
            }
        }
        pattern
    }

    /// Which orientation to take; its cursor is then its position. None is tried further right than
    /// it could still win.
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
            Look::QuarterTurns => shape.quarter_turns,
            Look::AllRotations => shape.masks.len(),
        };
        for (i, mask) in shape.masks[..looked_at].iter().enumerate() {
            let Some(mut max) = room.max(mask, self.cell) else { continue };
            // The cell compared: the one the part begins in, or the one past its end.
            let beyond = match way.1 {
                Prefer::Start => Cell::default(),
                Prefer::End => Cell { column: mask.columns, row: mask.rows },
            };
            if let Some((_, best)) = best {
                let Some(last) = best.column.checked_sub(beyond.column) else { continue };
                max.column = max.column.min(last);
            }
            if !grid.seek(mask, &mut cursors[i], max) {
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
