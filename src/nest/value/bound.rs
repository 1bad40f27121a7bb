//! Bounds: what no layout can exceed.
//!
//! Two arguments, both proofs. *Area*: parts a gap apart, each grown by half of it, do not overlap,
//! so their areas add up to no more than the usable area grown by as much. *Width*: lines are drawn
//! along the sheet, evenly spaced. At least one of them crosses a part taller than the spacing, in
//! metal of a certain length wherever the part is; and the parts on one line, each with a gap, are
//! no longer than the sheet.

mod chord;

use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Region;
use crate::geom::offset;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Sheet;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::value::bound::chord::Chords;
use crate::num::PI;

/// The bounds of a job: number of sheets, length, usage.
#[derive(Clone, Debug)]
pub struct Limits<'a> {
    pub(crate) items: &'a [Item],
    pub(crate) stock: &'a [Stock],
    pub(crate) rules: Rules,
    weights: Vec<Weight>,
}

/// What one piece of an item needs.
#[derive(Clone, Debug)]
struct Weight {
    /// Area within the outline, mm².
    gross: f64,
    /// Area within the outline grown by half a gap, mm².
    grown: f64,
    /// Area of the cut-outs that may hold other parts, mm².
    cut_outs: f64,
    /// Whether it is small enough for any such cut-out.
    slips_in: bool,
    /// The smallest extent along x over all orientations, mm.
    min_length: f64,
    chords: Chords,
}

/// Maximum number of lines drawn along a sheet. Our choice: a sheet holds few more rows of parts.
const MAX_LINES: u32 = 24;

/// Sums of areas are exact to this share, so that rounding exceeds no bound. Our choice.
const ROUNDING: f64 = 1e-9;

impl<'a> Limits<'a> {
    /// Measures the items.
    pub fn new(items: &'a [Item], stock: &'a [Stock], rules: Rules) -> Self {
        let usable = items.iter().flat_map(|item| cut_outs(item, &rules));
        let largest = usable.map(Outline::area).fold(0.0, f64::max);
        let weights = items.iter().map(|item| Weight::new(item, &rules, largest)).collect();
        Self { items, stock, rules, weights }
    }

    /// Lower bound of the length, in mm from the left side of the given stock, that parts and the
    /// margin behind them take; `counts` gives the number of each item on it. 0 without parts.
    pub fn min_length(&self, stock: usize, counts: &[u32]) -> f64 {
        let stock = &self.stock[stock];
        let (margin, gap) = (self.rules.kept_margin(), self.rules.kept_gap());
        let Some(room) = stock.room(margin) else { return 0.0 };
        let used = || self.weights.iter().zip(counts).filter(|(_, n)| **n > 0);
        if used().next().is_none() {
            return 0.0;
        }
        let longest = used().map(|(w, _)| w.min_length).fold(0.0, f64::max);
        let by_area = self.min_total_area(counts) / (room.height() + gap) - gap;
        let by_width = (1..=MAX_LINES)
            .map(|lines| {
                let met: f64 = used()
                    .map(|(w, n)| w.chords.met(lines, room.height(), gap) * f64::from(*n))
                    .sum();
                met / f64::from(lines) - gap
            })
            .fold(0.0, f64::max);
        let before = room.min.x - stock.region.bounds().min.x;
        before + longest.max(by_area).max(by_width) * (1.0 - ROUNDING) + margin
    }

    /// Lower bound of the sheets for these quantities; `None` when the stock does not have enough
    /// room all.
    pub fn min_sheets(&self, counts: &[u32]) -> Option<u32> {
        let mut rooms = self.rooms();
        rooms.sort_by(|a, b| b.area.total_cmp(&a.area));
        let mut left = self.min_total_area(counts);
        let mut sheets = 0u32;
        for room in rooms {
            if left <= 0.0 {
                break;
            }
            let needed = (left / room.area).ceil().min(f64::from(u32::MAX)) as u32;
            let used = needed.min(room.count.unwrap_or(u32::MAX));
            left -= f64::from(used) * room.area;
            sheets = sheets.saturating_add(used);
        }
        (left <= 0.0).then_some(sheets)
    }

    /// Lower bound of the cost of the sheets for so many of each item, as if sold by the piece, the
    /// cheapest metal first.
    pub(crate) fn min_cost(&self, counts: &[u32]) -> f64 {
        let mut rooms = self.rooms();
        rooms.sort_by(|a, b| (a.price / a.area).total_cmp(&(b.price / b.area)));
        let (mut left, mut cost) = (self.min_total_area(counts), 0.0);
        for room in rooms {
            let max = room.count.map_or(f64::INFINITY, |n| f64::from(n) * room.area);
            let taken = left.min(max);
            cost += taken / room.area * room.price;
            left -= taken;
        }
        cost
    }

    /// Upper bound of the number of one item on a sheet.
    pub(crate) fn max_on_one(&self, item: usize, stock: usize) -> u32 {
        let mut counts = vec![0; self.weights.len()];
        let area = self.room_area(&self.stock[stock]);
        let by_area = (area / (self.weights[item].grown - self.weights[item].cut_outs)
            * (1.0 + ROUNDING))
            .floor();
        let (mut low, mut high) = (0, by_area.min(f64::from(u32::MAX / 2)) as u32);
        let length = self.stock[stock].region.bounds().width();
        while low < high {
            counts[item] = low + (high - low).div_ceil(2);
            if self.min_length(stock, &counts) <= length * (1.0 + ROUNDING) {
                low = counts[item];
            } else {
                high = counts[item] - 1;
            }
        }
        low
    }

    /// Upper bound of the usage, 0 to 1: the share of the used length of a sheet that these parts
    /// can fill.
    pub(crate) fn max_usage(&self, stock: usize, counts: &[u32]) -> f64 {
        let length = self.min_length(stock, counts);
        let area = area_before(&self.stock[stock].region, length);
        if area > 0.0 { (self.gross(counts) / area).min(1.0) } else { 1.0 }
    }

    /// Area within the outlines of so many of each item, mm².
    pub fn gross(&self, counts: &[u32]) -> f64 {
        self.weights.iter().zip(counts).map(|(w, n)| w.gross * f64::from(*n)).sum()
    }

    /// How many of each item are on a sheet.
    pub fn counts(&self, sheet: &Sheet) -> Vec<u32> {
        let mut counts = vec![0; self.weights.len()];
        for placed in &sheet.placed {
            counts[placed.item] += 1;
        }
        counts
    }

    /// Lower bound of the area that so many of each item cover together, mm².
    pub(crate) fn min_total_area(&self, counts: &[u32]) -> f64 {
        let sum = |of: fn(&Weight) -> f64| -> f64 {
            self.weights.iter().zip(counts).map(|(w, n)| of(w) * f64::from(*n)).sum()
        };
        // The parts in cut-outs are limited by the room there, and by the parts there are.
        let inside = sum(|w| w.cut_outs).min(sum(|w| if w.slips_in { w.grown } else { 0.0 }));
        (sum(|w| w.grown) - inside) * (1.0 - ROUNDING)
    }

    fn rooms(&self) -> Vec<Room> {
        let room = |s: &Stock| Room { area: self.room_area(s), count: s.count, price: s.price };
        self.stock.iter().map(room).filter(|r| r.area > 0.0).collect()
    }

    /// Upper bound of the area of a sheet that parts grown by half a gap can cover, mm².
    pub(crate) fn room_area(&self, stock: &Stock) -> f64 {
        let (margin, gap) = (self.rules.kept_margin(), self.rules.kept_gap());
        let Some(room) = stock.room(margin) else { return 0.0 };
        let boxed = (room.width() + gap) * (room.height() + gap);
        if stock.is_plain() { boxed } else { boxed.min(grown(&stock.region, gap / 2.0 - margin)) }
    }
}

/// A stock by the room of its sheets.
struct Room {
    area: f64,
    count: Option<u32>,
    price: f64,
}

impl Weight {
    fn new(item: &Item, rules: &Rules, largest_cut_out: f64) -> Self {
        let outer = item.region.outer();
        let reach = rules.kept_gap() / 2.0;
        // Where the outline cannot be grown, the part itself is a lower bound.
        let grown = offset(outer, reach).map_or(outer.area(), |o| o.area().max(outer.area()));
        let cut_outs = cut_outs(item, rules);
        let chords = Chords::new(outer, &cut_outs, item);
        Self {
            gross: outer.area(),
            grown,
            cut_outs: cut_outs.iter().map(|hole| hole.area()).sum(),
            slips_in: outer.area() < largest_cut_out,
            min_length: chords.min_length(),
            chords,
        }
    }
}

/// The cut-outs of an item that may hold other parts.
fn cut_outs<'a>(item: &'a Item, rules: &Rules) -> Vec<&'a Outline> {
    let usable = |hole: &&Outline| {
        let size = hole.bounds();
        size.width().min(size.height()) >= rules.min_cut_out - NEAR
    };
    item.region.holes().iter().filter(|_| item.cut_outs).filter(usable).collect()
}

/// Upper bound of the area of a plate grown by so many mm; when shrunk, the plate's own.
fn grown(region: &Region, by: f64) -> f64 {
    let by = by.max(0.0);
    region.area() + region.length() * by + PI * by * by
}

/// Area of a plate left of the line that many mm from its left side, mm².
pub(crate) fn area_before(region: &Region, length: f64) -> f64 {
    let bounds = region.bounds();
    let before = |outline: &Outline| chord::area_before(outline, bounds.min.x + length);
    before(region.outer()) - region.holes().iter().map(before).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::Vertex;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use crate::nest::nest;
    use crate::nest::problem::item::Orientations;
    use crate::nest::problem::progress::unwatched;
    use proptest::prelude::*;

    fn rules(gap: f64, margin: f64) -> Rules {
        Rules { gap, margin, units: 0, ..Rules::default() }
    }

    fn plate(width: f64, height: f64) -> Item {
        Item::new(Region::solid(rectangle(Point::ZERO, width, height, 0.0).unwrap()), 1)
    }

    /// Plates that fill their sheet by rows and columns: the bound is what they need.
    #[test]
    fn a_full_grid_cannot_be_shorter() {
        let cases =
            [(4, 3, 100.0, 50.0), (7, 1, 30.0, 80.0), (2, 5, 81.0, 20.0), (1, 1, 40.0, 40.0)];
        for (columns, rows, width, height) in cases {
            let rules = rules(3.0, 5.0);
            let extent = |n: u32, size: f64| f64::from(n) * (size + 3.0) - 3.0 + 10.0;
            let (length, across) = (extent(columns, width), extent(rows, height));
            let stock = [Stock::whole(length, across).unwrap()];
            let items = [plate(width, height)];
            let limits = Limits::new(&items, &stock, rules);
            let min = limits.min_length(0, &[columns * rows]);
            assert!((min - length).abs() < 1e-6, "{columns} × {rows}: {min} of {length}");
            assert_eq!(limits.min_sheets(&[columns * rows]), Some(1));
            assert_eq!(limits.min_sheets(&[columns * rows + 1]), Some(2));
            assert_eq!(limits.max_on_one(0, 0), columns * rows);
        }
    }

    /// Two plates that each reach over the centre line cannot be above each other, however much
    /// room is beside them.
    #[test]
    fn tall_parts_stand_beside_each_other() {
        let stock = [Stock::whole(1000.0, 100.0).unwrap()];
        let items = [Item { orientations: Orientations::Half, ..plate(30.0, 60.0) }];
        let limits = Limits::new(&items, &stock, rules(2.0, 0.0));
        assert!((limits.min_length(0, &[5]) - (5.0 * 32.0 - 2.0)).abs() < 1e-6);
    }

    #[test]
    fn cost_and_sheets_are_counted_from_the_best_stock() {
        let priced =
            |length, price, count| Stock { price, count, ..Stock::whole(length, 100.0).unwrap() };
        let stock = [priced(1001.0, 50.0, None), priced(100.0, 1.0, Some(1))];
        let items = [plate(100.0, 100.0)];
        let limits = Limits::new(&items, &stock, rules(0.01, 0.0));
        assert_eq!(limits.min_sheets(&[10]), Some(1));
        assert_eq!(limits.min_sheets(&[11]), Some(2));
        let cost = limits.min_cost(&[11]);
        assert!((cost - 51.0).abs() < 0.1, "{cost}");
        let few = Limits::new(&items, &stock[1..], rules(0.01, 0.0));
        assert_eq!(few.min_sheets(&[2]), None);
    }

    #[test]
    fn cut_outs_in_use_take_nothing() {
        let cut_out = rectangle(Point::ZERO, 60.0, 60.0, 0.0).unwrap();
        let mut frame = plate(100.0, 100.0);
        frame.region = frame.region.pierced(cut_out).unwrap();
        let stock = [Stock::whole(1000.0, 100.0).unwrap()];
        let items = |cut_outs| [Item { cut_outs, ..frame.clone() }, plate(50.0, 50.0)];
        let length = |cut_outs| {
            Limits::new(&items(cut_outs), &stock, rules(1.0, 0.0)).min_length(0, &[2, 2])
        };
        assert!(length(false) > 245.0);
        assert!((length(true) - 201.0).abs() < 2.0, "{}", length(true));
    }

    #[test]
    fn the_area_before_a_line_is_what_is_cut_off() {
        let region = Region::solid(disc(Point::new(30.0, 0.0), 10.0).unwrap());
        assert!((area_before(&region, 10.0) - region.area() / 2.0).abs() < 0.5);
        assert_eq!(area_before(&region, 20.0), region.area());
        assert_eq!(area_before(&region, 0.0), 0.0);
    }

    fn item() -> impl Strategy<Value = Item> {
        let region = prop_oneof![
            (5.0..150.0f64, 5.0..90.0f64).prop_map(|(w, h)| rectangle(
                Point::ZERO,
                w,
                h,
                w.min(h) / 6.0
            )),
            (3.0..45.0f64).prop_map(|r| disc(Point::ZERO, r)),
            (10.0..120.0f64, 10.0..80.0f64, 0.1..0.9f64).prop_map(|(x, y, t)| Outline::new(
                [(0.0, 0.0), (x, 0.0), (x, t * y), (t * x, t * y), (t * x, y), (0.0, y)].map(
                    |(x, y)| Vertex {
                        at: Point::new(x, y),
                        bulge: if x == 0.0 { 0.0 } else { 0.1 * t }
                    }
                )
            )),
        ];
        let orientations = prop_oneof![
            Just(Orientations::Quarters),
            Just(Orientations::Half),
            Just(Orientations::Fixed)
        ];
        (region, 1..5u32, orientations).prop_filter_map(
            "is an outline",
            |(outline, quantity, orientations)| {
                Some(Item { orientations, ..Item::new(Region::solid(outline.ok()?), quantity) })
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
        #[test]
        fn no_layout_beats_its_bounds(
            items in prop::collection::vec(item(), 1..5),
            width in 100.0..500.0f64,
            height in 60.0..200.0f64,
            gap in 0.0..6.0f64,
            margin in 0.0..8.0f64,
        ) {
            let stock = [Stock { price: 3.0, ..Stock::whole(width, height).unwrap() }];
            let rules = rules(gap, margin);
            let limits = Limits::new(&items, &stock, rules);
            let layout = nest(&items, &stock, rules, &unwatched);
            let mut all = vec![0; items.len()];
            for sheet in &layout.sheets {
                let counts = limits.counts(sheet);
                let right = |p: &crate::nest::Placed| {
                    items[p.item].region.moved(&p.place).bounds().max.x
                };
                let reach = sheet.placed.iter().map(right).fold(0.0, f64::max);
                let min = limits.min_length(0, &counts);
                prop_assert!(min <= reach + margin + 1e-6, "{min} > {}", reach + margin);
                for (item, n) in counts.iter().enumerate() {
                    prop_assert!(*n <= limits.max_on_one(item, 0));
                    all[item] += n;
                }
            }
            let sheets = limits.min_sheets(&all);
            prop_assert!(sheets.is_some_and(|n| n as usize <= layout.sheets.len()));
            prop_assert!(limits.min_cost(&all) <= 3.0 * layout.sheets.len() as f64 + 1e-9);
        }
    }
}
