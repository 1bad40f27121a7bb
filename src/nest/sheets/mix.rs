//! The choice of sheets where several sizes are in stock: counts of each that cost less than the
//! plain packings, the cheapest first, until one of them has room for everything.
//!
//! A small search over counts, bounded by cost and by the area the parts take.

use crate::nest::pack;
use crate::nest::pack::Care;
use crate::nest::pack::Packing;
use crate::nest::problem::stock::Stock;
use crate::nest::task::Task;
use crate::nest::value::bound::Limits;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::rank::Rank;

/// Mixes packed where the plain packings take no more than [`FEW_SHEETS`], fewer in proportion
/// where they take more. Our choice: each is a whole packing, and the first layout shall come in a
/// second or two.
const TRIES: usize = 12;
const FEW_SHEETS: usize = 12;

/// Maximum number of kinds of sheet in a mix. Our choice.
const MAX_KINDS: usize = 6;

/// Maximum number of parts in a job that mixes are tried for. Our choice.
const MAX_PARTS: usize = 1000;

/// Maximum number of mixes tried; beyond, the cheapest may be missed. Our choice.
const MAX_MIXES: usize = 20_000;

/// No sheet is expected to be fuller than the fullest of the plain packings by more than this
/// factor. Our choice.
const FULLER: f64 = 1.1;

/// The items packed on a mix of sheets that is better than the plain packing.
pub(crate) fn mixed(task: &Task, plain: &Packing) -> Option<Packing> {
    let Task { items, stock, rules, .. } = *task;
    let parts: usize = plain.patterns.iter().map(|p| p.placed.len() * p.times as usize).sum();
    if parts == 0 || parts > MAX_PARTS || stock.iter().filter(|s| !s.first).count() < 2 {
        return None;
    }
    let limits = Limits::new(items, stock, rules);
    let sheets = plain.candidates();
    let best = Rank::of(task, &sheets);
    let tries = (TRIES * FEW_SHEETS / sheets.len().max(FEW_SHEETS)).max(1);
    let packed = |mix: Vec<Option<u32>>| {
        let counted = |(stock, count): (&Stock, &Option<u32>)| Stock {
            count: count.or(stock.count),
            ..stock.clone()
        };
        let few: Vec<Stock> = stock.iter().zip(&mix).map(counted).collect();
        pack::pack(task.on(&few), Care::Quick)
    };
    let better = |packing: &Packing| {
        packing.unplaced == plain.unplaced && Rank::of(task, &packing.candidates()) < best
    };
    Mixes::new(&limits, &sheets)?.below().into_iter().take(tries).map(packed).find(better)
}

/// What sheets are worth: their cost, how many there are, their area.
type Worth = (f64, u32, f64);

/// The sizes to be mixed.
struct Mixes {
    /// How many stocks there are, with those that are not mixed.
    stock: usize,
    kinds: Vec<Kind>,
    /// Area to be covered, mm².
    needed: f64,
    /// The value to beat.
    worth: Worth,
}

struct Kind {
    stock: usize,
    max: u32,
    price: f64,
    /// Of the sheet.
    metal: f64,
    /// The maximum area parts cover on it.
    room: f64,
}

impl Mixes {
    /// `None` when there are too many kinds, or nothing that could be saved.
    fn new(limits: &Limits, sheets: &[Candidate]) -> Option<Self> {
        let all = counts_on(sheets, limits.items.len());
        let room = |s: usize| limits.room_area(&limits.stock[s]);
        // How full the fullest sheet is, when it had to be.
        let taken = |candidate: &Candidate| {
            limits.min_total_area(&counts(&candidate.placed, limits.items.len()))
                / room(candidate.stock)
        };
        let fullest = match sheets {
            [] => return None,
            [_] => 1.0,
            _ => (FULLER * sheets.iter().map(taken).fold(0.0, f64::max)).min(1.0),
        };
        let others = |d: &&Candidate| !limits.stock[d.stock].first;
        let on_first: f64 = sheets.iter().filter(|d| !others(d)).map(|d| room(d.stock)).sum();
        let needed = limits.min_total_area(&all) / fullest - on_first;
        let mut worth = (0.0, 0, 0.0);
        for candidate in sheets.iter().filter(others) {
            let stock = &limits.stock[candidate.stock];
            worth = (worth.0 + stock.price, worth.1 + 1, worth.2 + stock.region.area());
        }
        let kinds: Vec<Kind> = (0..limits.stock.len())
            .filter(|s| !limits.stock[*s].first && room(*s) > 0.0)
            .map(|s| {
                let stock = &limits.stock[s];
                // Twice as many as the area requires are enough.
                let wanted = (2.0 * needed / room(s)).ceil().clamp(1.0, 1000.0) as u32;
                let max = stock.count.map_or(wanted, |n| n.min(wanted));
                Kind {
                    stock: s,
                    max,
                    price: stock.price,
                    metal: stock.region.area(),
                    room: room(s),
                }
            })
            .collect();
        let several = (2..=MAX_KINDS).contains(&kinds.len()) && worth.1 > 0;
        several.then_some(Self { stock: limits.stock.len(), kinds, needed, worth })
    }

    /// All mixes that cost less and may have enough room, the cheapest first: by stock, how many
    /// may be used; `None` where there is no limit.
    fn below(&self) -> Vec<Vec<Option<u32>>> {
        let mut found = Vec::new();
        let mut looked = 0;
        self.choose(&mut vec![0; self.kinds.len()], 0, (0.0, 0, 0.0), 0.0, &mut looked, &mut found);
        let order = |a: &Worth, b: &Worth| {
            a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.total_cmp(&b.2))
        };
        found.sort_by(|a, b| order(&a.0, &b.0).then_with(|| a.1.cmp(&b.1)));
        let counts = |counts: Vec<u32>| {
            let mut by_stock = vec![None; self.stock];
            for (kind, n) in self.kinds.iter().zip(counts) {
                by_stock[kind.stock] = Some(n);
            }
            by_stock
        };
        found.into_iter().map(|(_, n)| counts(n)).collect()
    }

    fn choose(
        &self,
        counts: &mut Vec<u32>,
        kind: usize,
        worth: Worth,
        room: f64,
        looked: &mut usize,
        found: &mut Vec<(Worth, Vec<u32>)>,
    ) {
        *looked += 1;
        if *looked > MAX_MIXES || !beats(&worth, &self.worth) {
            return;
        }
        let Some(of) = self.kinds.get(kind) else {
            if room >= self.needed {
                found.push((worth, counts.clone()));
            }
            return;
        };
        for n in 0..=of.max {
            counts[kind] = n;
            let times = f64::from(n);
            let worth = (worth.0 + times * of.price, worth.1 + n, worth.2 + times * of.metal);
            if !beats(&worth, &self.worth) {
                break;
            }
            self.choose(counts, kind + 1, worth, room + times * of.room, looked, found);
        }
        counts[kind] = 0;
    }
}

/// Less cost, then fewer sheets, then less metal. Prices are sums: rounding does not count.
fn beats(a: &Worth, b: &Worth) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (a.abs() + b.abs());
    match near(a.0, b.0) {
        true => a.1 < b.1 || (a.1 == b.1 && a.2 < b.2 && !near(a.2, b.2)),
        false => a.0 < b.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::rectangle;
    use crate::nest::nest;
    use crate::nest::problem::item::Item;
    use crate::nest::problem::progress::unwatched;
    use crate::nest::problem::rules::Rules;
    use crate::nest::value::audit::audit;

    fn squares(quantity: u32) -> Item {
        let square = rectangle(Point::new(50.0, 50.0), 100.0, 100.0, 0.0).unwrap();
        Item::new(Region::solid(square), quantity)
    }

    /// A sheet for this many squares side by side, with a gap of 2 mm and a margin of 3 mm.
    fn bar(squares: u32, price: f64, count: Option<u32>) -> Stock {
        let length = f64::from(squares) * 102.0 - 2.0 + 6.0;
        Stock { price, count, ..Stock::whole(length, 106.0).unwrap() }
    }

    fn taken(quantity: u32, stock: &[Stock]) -> Vec<usize> {
        let rules = Rules { gap: 2.0, margin: 3.0, units: 0, ..Rules::default() };
        let items = [squares(quantity)];
        let layout = nest(&items, stock, rules, &unwatched);
        assert_eq!(audit(&items, stock, rules, &layout), Ok(()));
        assert_eq!(layout.unplaced, []);
        let mut taken = vec![0; stock.len()];
        layout.sheets.iter().for_each(|s| taken[s.stock] += 1);
        taken
    }

    /// Large sheets are the cheapest metal, small ones the cheapest sheets, and the lowest cost is
    /// one of either, as counting shows.
    #[test]
    fn the_cheapest_mix_is_taken_where_the_plain_ways_are_dearer() {
        // 5 squares: two large cost 20, five small 25, one of either 15.
        assert_eq!(taken(5, &[bar(4, 10.0, None), bar(1, 5.0, None)]), [1, 1]);
        // 7 squares of 4 for 10, 3 for 8 and 1 for 4: 4 + 3 for 18 beats 4 + 4 for 20, 3 + 3 + 1
        // for 20 and all others.
        let three = [bar(4, 10.0, None), bar(3, 8.0, None), bar(1, 4.0, None)];
        assert_eq!(taken(7, &three), [1, 1, 0]);
        // 6 squares: 3 + 3 for 16 beats 4 + 1 + 1 for 18, 4 + 3 for 18.
        assert_eq!(taken(6, &three), [0, 2, 0]);
        // There is but one of 3: 4 + 1 + 1 and 4 + 3 cost the same, two sheets are fewer.
        let scarce = [bar(4, 10.0, None), bar(3, 8.0, Some(1)), bar(1, 4.0, None)];
        assert_eq!(taken(6, &scarce), [1, 1, 0]);
    }

    /// The result of the search, against all counts tried one by one.
    #[test]
    fn no_mix_that_is_worth_less_is_left_out() {
        let kind = |stock, max, price, room| Kind { stock, max, price, metal: room, room };
        let kinds = vec![kind(0, 3, 10.0, 4.0), kind(2, 9, 3.5, 1.0), kind(1, 5, 8.0, 3.0)];
        let mixes = Mixes { stock: 4, kinds, needed: 7.0, worth: (21.0, 3, 9.0) };
        let found = mixes.below();
        let mut wanted = 0;
        for (a, b, c) in (0..1000).map(|i| (i / 100, i / 10 % 10, i % 10)) {
            let cost = 10.0 * f64::from(a) + 3.5 * f64::from(b) + 8.0 * f64::from(c);
            let room = f64::from(4 * a + b + 3 * c);
            if a <= 3 && c <= 5 && cost < 21.0 && room >= 7.0 {
                wanted += 1;
                assert!(found.contains(&vec![Some(a), Some(c), Some(b), None]), "{a} {b} {c}");
            }
        }
        assert!(wanted > 1);
        assert_eq!(found.len(), wanted);
        assert_eq!(found[0], [Some(1), Some(1), Some(0), None]);
    }
}
