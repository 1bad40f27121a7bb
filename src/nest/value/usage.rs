//! How full sheets are, and how full they could be.

use crate::geom::Bounds;
use crate::geom::Region;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Sheet;
use crate::nest::value::bound::Limits;
use crate::nest::value::bound::area_before;
use crate::nest::value::candidate::counts;
use crate::nest::value::remnant::remnant;

/// How full one sheet is. Shares are of its used length, 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usage {
    /// From the left side of the sheet to the right end of the parts and a margin behind them, in
    /// mm; at most the sheet's own length.
    pub length: f64,
    /// Share of the metal of the parts.
    pub net: f64,
    /// Share of the area within the outlines of the parts, cut-outs included; parts in cut-outs
    /// count once with the cut-out and once more themselves.
    pub gross: f64,
    /// Upper bound of `gross`, however these parts are placed on such a sheet.
    pub max: f64,
    /// The largest upright rectangle left at a side or a corner, on the sheet, a gap away from the
    /// parts; `None` where it is smaller than
    /// [`Rules::min_remnant`](crate::nest::Rules::min_remnant), or the sheet is no plain rectangle.
    pub remnant: Option<Bounds>,
}

/// How full all sheets of a layout are. Shares are 0 to 1 of all sheets, the last one counted as
/// far as it is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetUsage {
    /// Share of the area within the outlines of the parts.
    pub gross: f64,
    /// Upper bound of `gross`, however these parts are placed.
    pub max: f64,
}

impl Limits<'_> {
    /// How full a sheet is.
    pub fn usage(&self, sheet: &Sheet) -> Usage {
        let stock = &self.stock[sheet.stock];
        let bounds = stock.region.bounds();
        let parts: Vec<Region> =
            sheet.placed.iter().map(|p| self.items[p.item].region.moved(&p.place)).collect();
        let reached = parts.iter().map(Region::bounds).fold(Bounds::EMPTY, Bounds::and);
        let reached =
            if parts.is_empty() { Bounds { max: bounds.min, ..reached } } else { reached };
        let length = self.length(sheet.stock, reached.max.x);
        let area = area_before(&stock.region, length);
        let share = |taken: f64| if area > 0.0 { taken / area } else { 0.0 };
        let remnant = remnant(self.items, stock, &self.rules, &sheet.placed);
        let gross = share(parts.iter().map(|p| p.outer().area()).sum());
        Usage {
            length,
            net: share(parts.iter().map(Region::area).sum()),
            gross,
            // Areas before a line are exact to a thousandth where the outline is round.
            max: self.max_usage(sheet.stock, &self.counts(sheet)).max(gross),
            remnant,
        }
    }

    /// How full all sheets are.
    pub fn filled(&self, sheets: &[Sheet]) -> SheetUsage {
        let Some((last, whole)) = sheets.split_last() else {
            return SheetUsage { gross: 0.0, max: 1.0 };
        };
        let counts = counts(sheets.iter().flat_map(|sheet| &sheet.placed), self.items.len());
        let right = |p: &Placed| self.items[p.item].region.outer().moved(&p.place).bounds().max.x;
        let reach = last.placed.iter().map(right).fold(f64::NEG_INFINITY, f64::max);
        let area: f64 = whole.iter().map(|sheet| self.stock[sheet.stock].region.area()).sum();
        let region = &self.stock[last.stock].region;
        let area = area + area_before(region, self.length(last.stock, reach));
        let gross = self.gross(&counts);
        let min = self.min_area(&counts);
        let max = if min > 0.0 { (gross / min).min(1.0) } else { 1.0 };
        let gross = gross / area;
        SheetUsage { gross, max: max.max(gross) }
    }

    /// The used length of a stock whose parts reach to x.
    fn length(&self, stock: usize, x: f64) -> f64 {
        let bounds = self.stock[stock].region.bounds();
        (x - bounds.min.x + self.rules.kept_margin()).clamp(0.0, bounds.width())
    }

    /// Lower bound of the area of sheets, the last one as far as it is used, with room for the
    /// parts.
    fn min_area(&self, counts: &[u32]) -> f64 {
        let (margin, gap) = (self.rules.kept_margin(), self.rules.kept_gap());
        // Where the margin is less than half the gap, half a gap may reach over the end of the used
        // length.
        let over = (gap - 2.0 * margin).max(0.0);
        let (mut dense, mut beyond) = (0.0f64, 0.0f64);
        for stock in self.stock {
            let Some(room) = stock.room(margin) else { continue };
            let share = self.room_area(stock) / stock.region.area();
            dense = dense.max(if stock.is_plain() { share } else { share.max(1.0) });
            beyond = beyond.max(over * (room.height() + gap));
        }
        if dense > 0.0 { (self.min_total_area(counts) - beyond).max(0.0) / dense } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::rectangle;
    use crate::nest::nest;
    use crate::nest::problem::item::Item;
    use crate::nest::problem::layout::Placed;
    use crate::nest::problem::progress::unwatched;
    use crate::nest::problem::rules::Rules;
    use crate::nest::problem::stock::Stock;
    use proptest::prelude::*;

    fn plate(width: f64, height: f64, quantity: u32) -> Item {
        let outline = rectangle(Point::new(width / 2.0, height / 2.0), width, height, 0.0).unwrap();
        Item::new(Region::solid(outline), quantity)
    }

    #[test]
    fn a_sheet_says_how_full_it_is_and_what_is_left() {
        let cut_out = rectangle(Point::new(50.0, 40.0), 50.0, 40.0, 0.0).unwrap();
        let mut item = plate(100.0, 80.0, 1);
        item.region = item.region.pierced(cut_out).unwrap();
        let (items, stock) = ([item], [Stock::whole(400.0, 100.0).unwrap()]);
        let rules = Rules { gap: 2.0, margin: 10.0, ..Rules::default() };
        let place = Place::at(Point::new(10.0, 10.0));
        let placed = vec![Placed { item: 0, place }];
        let sheet = Sheet { stock: 0, placed, min_gap: None, min_margin: 10.0 };
        let limits = Limits::new(&items, &stock, rules);
        let usage = limits.usage(&sheet);
        assert!((usage.length - 120.0).abs() < 1e-9);
        assert!((usage.gross - 8000.0 / 12000.0).abs() < 1e-9);
        assert!((usage.net - 6000.0 / 12000.0).abs() < 1e-9);
        // By its area it could be no more than the width of a corner shorter.
        assert!((usage.gross..usage.gross + 0.001).contains(&usage.max), "{usage:?}");
        let remnant = usage.remnant.unwrap();
        assert_eq!((remnant.min, remnant.max), (Point::new(112.0, 0.0), Point::new(400.0, 100.0)));
        let filled = limits.filled(&[sheet]);
        assert!((filled.gross - usage.gross).abs() < 1e-9 && filled.max >= usage.gross);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
        #[test]
        fn no_layout_is_fuller_than_it_can_be(
            sizes in prop::collection::vec((10.0..120.0f64, 10.0..90.0f64, 1..9u32), 1..4),
            width in 130.0..400.0f64,
            gap in 0.0..6.0f64,
            margin in 0.0..8.0f64,
        ) {
            let items: Vec<Item> = sizes.iter().map(|(w, h, n)| plate(*w, *h, *n)).collect();
            let stock = [Stock::whole(width, 150.0).unwrap(), Stock::whole(200.0, 140.0).unwrap()];
            let rules = Rules { gap, margin, units: 0, ..Rules::default() };
            let limits = Limits::new(&items, &stock, rules);
            let layout = nest(&items, &stock, rules, &unwatched);
            for sheet in &layout.sheets {
                let max = limits.max_usage(sheet.stock, &limits.counts(sheet));
                let usage = limits.usage(sheet);
                prop_assert!(usage.gross <= max + 1e-6, "{usage:?} {max}");
            }
            let mut counts = vec![0; items.len()];
            for placed in layout.sheets.iter().flat_map(|s| &s.placed) {
                counts[placed.item] += 1;
            }
            let filled = limits.filled(&layout.sheets);
            let used = limits.gross(&counts) / filled.gross;
            prop_assert!(limits.min_area(&counts) <= used + 1e-6);
        }
    }
}
