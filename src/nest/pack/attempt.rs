//! The result of one strategy of packing, and which of two is the better.

use crate::nest::pack::room::Room;
use crate::nest::pack::shape::Shape;
use crate::nest::problem::layout::Placed;
use crate::nest::value::rank::whole;
use std::cmp::Ordering;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The parts of one sheet, and how many sheets are equal to it.
#[derive(Clone)]
pub(crate) struct Pattern {
    pub(crate) stock: usize,
    pub(crate) times: u32,
    pub(crate) placed: Vec<Placed>,
    /// From the left margin to the right end of the parts, in mm.
    pub(super) length: f64,
}

/// Sheets filled, and the remaining parts.
pub(super) struct Attempt {
    pub(super) patterns: Vec<Pattern>,
    /// By shape, how many are left.
    pub(super) left: Vec<u32>,
    worth: Worth,
}

/// As [`Rank`](crate::nest::value::rank::Rank), for patterns that are not measured yet.
struct Worth {
    /// By priority, the highest first: the area left over, mm².
    left: Vec<f64>,
    /// By priority: after how many sheets all its placed parts are cut.
    done_after: Vec<u64>,
    /// Of sheets that need not be used first, in thousandths.
    cost: i128,
    others: u64,
    /// Area placed on sheets to be used first, mm².
    on_first: f64,
    sheets: u64,
    /// How far the last one is used.
    length: f64,
}

impl Attempt {
    pub(super) fn new(
        patterns: Vec<Pattern>,
        left: Vec<u32>,
        shapes: &[Shape],
        rooms: &[Room],
    ) -> Self {
        let worth = Worth::of(&patterns, &left, shapes, rooms);
        Self { patterns, left, worth }
    }

    /// Better ones first.
    pub(super) fn compare(&self, other: &Self) -> Ordering {
        let (a, b) = (&self.worth, &other.worth);
        let left = a.left.iter().zip(&b.left).map(|(a, b)| a.total_cmp(b));
        left.fold(Ordering::Equal, Ordering::then)
            .then_with(|| a.done_after.cmp(&b.done_after))
            .then(a.cost.cmp(&b.cost))
            .then(a.others.cmp(&b.others))
            .then(b.on_first.total_cmp(&a.on_first))
            .then(a.sheets.cmp(&b.sheets))
            .then(a.length.total_cmp(&b.length))
    }
}

impl Worth {
    fn of(patterns: &[Pattern], left: &[u32], shapes: &[Shape], rooms: &[Room]) -> Self {
        let shape_of: BTreeMap<usize, &Shape> = shapes.iter().map(|s| (s.item, s)).collect();
        let room_of: BTreeMap<usize, &Room> = rooms.iter().map(|r| (r.stock, r)).collect();
        let (mut over, mut done) = (BTreeMap::new(), BTreeMap::new());
        for (shape, n) in shapes.iter().zip(left) {
            *over.entry(Reverse(shape.priority)).or_insert(0.0) += shape.area * f64::from(*n);
        }
        let (mut cost, mut others, mut on_first, mut sheets) = (0, 0, 0.0, 0);
        for pattern in patterns {
            let (room, times) = (room_of[&pattern.stock], pattern.times);
            sheets += u64::from(times);
            let parts = pattern.placed.iter().map(|p| shape_of[&p.item]);
            parts.clone().for_each(|s| {
                done.insert(Reverse(s.priority), sheets);
            });
            if room.first {
                on_first += parts.map(|s| s.area).sum::<f64>() * f64::from(times);
            } else {
                others += u64::from(times);
                cost += whole(1000.0 * room.price) * i128::from(times);
            }
        }
        // The lowest priority on the last sheet does not count.
        done.pop_last();
        Self {
            left: over.into_values().collect(),
            done_after: done.into_values().collect(),
            cost,
            others,
            on_first,
            sheets,
            length: patterns.last().map_or(0.0, |p| p.length),
        }
    }
}
