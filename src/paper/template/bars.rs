//! Bars of known length, to see that a page was printed at its size.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::scene;
use crate::paper::scene::Item;
use crate::paper::scene::Words;
use crate::paper::template::measures::HEIGHT;
use crate::paper::template::measures::MARGIN;
use crate::quantity::MM_PER_INCH;

/// Thickness of a bar, mm.
const BAR: f64 = 2.0;
/// From the foot of one level bar to that of the other, mm.
const PITCH: f64 = 5.0;
/// What both level bars take, mm.
pub(super) const LEVEL: f64 = PITCH + BAR;

/// The level bars of 100 mm and 4 in, from the corner of the margin.
pub(super) fn level() -> Vec<Item> {
    let inches = 4.0 * MM_PER_INCH;
    let bars = [(100.0, 10.0, MARGIN, "100 mm"), (inches, MM_PER_INCH, MARGIN + PITCH, "4 in")]
        .into_iter();
    bars.flat_map(|(length, step, y, words)| {
        let min = Point::new(MARGIN, y);
        let at = min + (length + 2.0, 0.0);
        let words = Item::Words(Words::plain(at, HEIGHT, words));
        bar(min, (length, BAR), step).into_iter().chain([words])
    })
    .collect()
}

/// A vertical one of 100 mm, for printers that are true in one direction only. `foot` is where it
/// begins.
pub(super) fn upright(width: f64, foot: f64) -> Vec<Item> {
    let min = Point::new(width - MARGIN - BAR, foot);
    let at = min + (BAR, 102.0);
    let words = Item::Words(Words::plain(at, HEIGHT, "100 mm").upward());
    bar(min, (BAR, 100.0), 10.0).into_iter().chain([words]).collect()
}

/// A black bar with white ticks in its upper or left half.
fn bar(min: Point, (width, height): (f64, f64), step: f64) -> Vec<Item> {
    let whole = Bounds { min, max: min + (width, height) };
    let level = width > height;
    let count = (width.max(height) / step - 0.5) as usize;
    let tick = |i: usize| {
        let along = i as f64 * step;
        let (from, to) = match level {
            true => (min + (along - 0.15, height / 2.0), min + (along + 0.15, height)),
            false => (min + (0.0, along - 0.15), min + (width / 2.0, along + 0.15)),
        };
        Item::Fill(1.0, vec![scene::outline(Bounds { min: from, max: to })])
    };
    let black = Item::Fill(0.0, vec![scene::outline(whole)]);
    std::iter::once(black).chain((1..=count).map(tick)).collect()
}
