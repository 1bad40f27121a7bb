//! Boxes in rows: a layout that is at hand at once, where nothing was packed before the work had to
//! end.

use crate::geom::Bounds;
use crate::geom::Place;
use crate::geom::Vec2;
use crate::nest::pack::attempt::Pattern;
use crate::nest::pack::packing::Packing;
use crate::nest::problem::layout::MAX_PARTS;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Unplaced;
use crate::nest::problem::layout::Why;
use crate::nest::shape::mask::GRAZE;
use crate::nest::task::Task;
use std::cmp::Reverse;

/// An item in one of its orientations.
struct Boxed {
    item: usize,
    rotation: Place,
    bounds: Bounds,
}

/// Places the items in rows, the highest priority first, then the highest boxes. Sheets that are
/// not plain rectangles are not used: items left for them are not reached.
pub(crate) fn in_rows(task: &Task) -> Packing {
    let (stock, rules) = (task.stock, &task.rules);
    let room = |i: usize| stock[i].room(rules.kept_margin()).filter(|_| rules.gap.is_finite());
    let mut rooms: Vec<(usize, Bounds)> =
        (0..stock.len()).filter_map(|i| Some((i, room(i)?))).collect();
    rooms.sort_by_key(|(i, _)| (!stock[*i].first, *i));
    let (plain, others): (Vec<_>, Vec<_>) =
        rooms.into_iter().partition(|(i, _)| stock[*i].is_plain());
    let mut packing = Packing { patterns: Vec::new(), unplaced: Vec::new() };
    let mut left = vec![0; task.items.len()];
    let mut free = MAX_PARTS;
    for (i, item) in task.items.iter().enumerate() {
        let granted = item.quantity.min(free);
        let fits =
            |rooms: &[(usize, Bounds)]| rooms.iter().any(|(_, r)| boxed(task, i, r).is_some());
        let (here, elsewhere) = (fits(&plain), fits(&others));
        let mut leave = |quantity: u32, why: Why| {
            if quantity > 0 {
                packing.unplaced.push(Unplaced { item: i, quantity, why });
            }
        };
        match (here, elsewhere) {
            (false, false) if stock.is_empty() => leave(item.quantity, Why::NoSheetLeft),
            (false, false) => leave(item.quantity, Why::TooLarge),
            (here, _) => {
                leave(item.quantity - granted, Why::TooMany);
                free -= granted;
                left[i] = granted;
                if !here {
                    leave(granted, Why::NotReached);
                    left[i] = 0;
                }
            }
        }
    }
    for (s, room) in &plain {
        packing.patterns.extend(on_stock(task, *s, room, &mut left));
    }
    let why = if others.is_empty() { Why::NoSheetLeft } else { Why::NotReached };
    for (item, quantity) in left.into_iter().enumerate().filter(|(_, n)| *n > 0) {
        packing.unplaced.push(Unplaced { item, quantity, why });
    }
    packing
}

/// The lowest box of an item that fits a room.
fn boxed(task: &Task, item: usize, room: &Bounds) -> Option<Boxed> {
    let outer = task.items[item].region.outer();
    let boxes = task.orientations[item].iter().map(|orientation| {
        let rotation = Place { rotation: orientation.angle(), ..Place::default() };
        Boxed { item, rotation, bounds: outer.moved(&rotation).bounds() }
    });
    let fits = |b: &Boxed| {
        b.bounds.width() <= room.width() + GRAZE && b.bounds.height() <= room.height() + GRAZE
    };
    boxes.filter(fits).min_by(|a, b| a.bounds.height().total_cmp(&b.bounds.height()))
}

/// Puts as many of the remaining parts as fit on the sheets of a stock.
fn on_stock(task: &Task, stock: usize, room: &Bounds, left: &mut [u32]) -> Vec<Pattern> {
    let mut boxes: Vec<Boxed> =
        (0..left.len()).filter(|i| left[*i] > 0).filter_map(|i| boxed(task, i, room)).collect();
    boxes.sort_by(|a, b| {
        let priority = |x: &Boxed| Reverse(task.items[x.item].priority);
        let higher = b.bounds.height().total_cmp(&a.bounds.height());
        priority(a).cmp(&priority(b)).then(higher)
    });
    let mut patterns = Vec::new();
    let mut sheets = task.stock[stock].count.unwrap_or(u32::MAX);
    while sheets > 0 {
        let before = left.to_vec();
        let placed = on_sheet(&boxes, room, task.rules.kept_gap(), left);
        let taken = before.iter().zip(left.iter()).map(|(b, l)| b - l);
        // While there is enough of everything on it, the next sheet is the same.
        let alike =
            taken.clone().zip(left.iter()).filter(|(t, _)| *t > 0).map(|(t, l)| l / t).min();
        let Some(alike) = alike else { break };
        let times = 1 + alike.min(sheets - 1);
        let taken: Vec<u32> = taken.collect();
        for (left, taken) in left.iter_mut().zip(taken) {
            *left -= taken * (times - 1);
        }
        sheets -= times;
        let end = |p: &Placed| task.items[p.item].region.outer().moved(&p.place).bounds().max.x;
        let length = placed.iter().map(end).fold(room.min.x, f64::max) - room.min.x;
        patterns.push(Pattern { stock, times, placed, length });
    }
    patterns
}

/// One sheet, filled row by row from the bottom edge.
fn on_sheet(boxes: &[Boxed], room: &Bounds, gap: f64, left: &mut [u32]) -> Vec<Placed> {
    let mut placed = Vec::new();
    // The place of the next box, and the start of the row above.
    let (mut x, mut y, mut above) = (0.0, 0.0, 0.0_f64);
    for of in boxes {
        let (width, height) = (of.bounds.width(), of.bounds.height());
        while left[of.item] > 0 {
            if x + width > room.width() + GRAZE {
                (x, y) = (0.0, above);
            }
            if y + height > room.height() + GRAZE {
                break;
            }
            let shift = room.min - of.bounds.min + Vec2::new(x, y);
            placed.push(Placed { item: of.item, place: Place { shift, ..of.rotation } });
            left[of.item] -= 1;
            (x, above) = (x + width + gap, above.max(y + height + gap));
        }
    }
    placed
}
