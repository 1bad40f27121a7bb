//! A layout made better by search, within a budget of work.
//!
//! A fixed number of searchers, each with its own chance, work side by side and compare
//! what they have at fixed points. So what comes out depends on the seed and the budget,
//! and not on how many threads there are or how fast they run.

use crate::nest::Item;
use crate::nest::Placed;
use crate::nest::Progress;
use crate::nest::Rules;
use crate::nest::Stock;
use crate::nest::Watch;
use crate::nest::dice::Dice;
use crate::nest::ground::Ground;
use crate::nest::ground::Seat;
use crate::nest::ground::Yard;
use crate::nest::kit::Kit;
use crate::nest::tighten::Answer;
use crate::nest::tighten::Searcher;
use crate::nest::yard::Room;
use rayon::prelude::*;

/// A sheet and what lies on it, before it is measured.
#[derive(Clone, Debug)]
pub(super) struct Filled {
    pub(super) stock: usize,
    pub(super) placed: Vec<Placed>,
}

/// So many search side by side. Our choice: as many as a small machine has cores.
const SEARCHERS: u64 = 2;

/// Times they compare what they have.
const ROUNDS: u64 = 40;

/// Positions asked for in one unit of work.
const POSITIONS: u64 = 10;

/// Searches on from sheets already filled; what comes back is no worse, and how much work
/// it took. `None` when there is nothing to search with.
pub(super) fn improve(
    items: &[Item],
    stock: &[Stock],
    rules: &Rules,
    sheets: &[Filled],
    told: &dyn Fn(&[Filled], u64) -> Progress,
    watch: &Watch,
) -> Option<(Vec<Filled>, u64)> {
    let field = Field::new(items, stock, rules, sheets)?;
    let yards = &field.yards;
    let ground = Ground::new(&field.kit, yards.clone(), &field.parts, &field.in_the_way);
    let all = rules.units.saturating_mul(POSITIONS) / SEARCHERS;
    let searcher =
        |i: u64| Searcher::new(ground.clone(), yards, &field.items, Dice::new(rules.seed, i));
    let mut searchers = (0..SEARCHERS).map(searcher).collect::<Option<Vec<_>>>()?;
    for round in 1..=ROUNDS {
        let until = (u128::from(all) * u128::from(round) / u128::from(ROUNDS)) as u64;
        searchers.par_iter_mut().for_each(|s| s.work(until, all));
        let best = best(&searchers);
        for searcher in &mut searchers {
            searcher.adopt(&best);
        }
        let units = searchers.iter().map(Searcher::asked).sum::<u64>() / POSITIONS;
        let progress = told(&field.filled(&best), units);
        if watch(&progress).is_break() {
            break;
        }
    }
    let units = searchers.iter().map(Searcher::asked).sum::<u64>() / POSITIONS;
    Some((field.filled(&best(&searchers)), units))
}

/// Of equals the first.
fn best(searchers: &[Searcher]) -> Answer {
    let mut best = &searchers[0].best;
    for searcher in searchers {
        if searcher.best.beats(best) {
            best = &searcher.best;
        }
    }
    best.clone()
}

/// The job in the words of the search.
struct Field {
    kit: Kit,
    yards: Vec<Yard>,
    /// By yard, its stock and where its corner lies on the sheet.
    sheets: Vec<(usize, Room)>,
    parts: Vec<Seat>,
    /// By part, its item.
    items: Vec<usize>,
    in_the_way: Vec<Seat>,
}

impl Field {
    fn new(items: &[Item], stock: &[Stock], rules: &Rules, filled: &[Filled]) -> Option<Self> {
        let rooms: Vec<Option<Room>> = stock.iter().map(|s| Room::new(s, rules)).collect();
        let mut rings = Vec::new();
        // By stock, the first of what is in the way on it.
        let mut first = Vec::new();
        for room in &rooms {
            first.push(items.len() + rings.len());
            rings.extend(room.iter().flat_map(|r| r.in_the_way.clone()));
        }
        let wanted: Vec<&Item> = items.iter().collect();
        let kit = Kit::new(&wanted, rules, &rings)?;
        let mut field = Self {
            kit,
            yards: Vec::new(),
            sheets: Vec::new(),
            parts: Vec::new(),
            items: Vec::new(),
            in_the_way: Vec::new(),
        };
        let mut x = 0.0;
        for sheet in filled {
            let room = rooms[sheet.stock].clone()?;
            let (low, high) = (room.low, room.high);
            // The yard's own corner is where the room's corner is plus this.
            let offset = x - low.x as f64;
            let yard =
                Yard { low: (x, low.y as f64), high: (x + (high.x - low.x) as f64, high.y as f64) };
            for placed in &sheet.placed {
                let (form, px, py) = field.kit.found(placed, room.corner)?;
                field.items.push(placed.item);
                field.parts.push(Seat { form, x: px + offset, y: py });
            }
            for i in 0..room.in_the_way.len() {
                let form = field.kit.forms_of(first[sheet.stock] + i).start;
                field.in_the_way.push(Seat { form, x: offset, y: 0.0 });
            }
            x = yard.high.0;
            field.yards.push(yard);
            field.sheets.push((sheet.stock, room));
        }
        (!field.yards.is_empty()).then_some(field)
    }

    /// An answer as filled sheets; those that hold nothing are left out.
    fn filled(&self, answer: &Answer) -> Vec<Filled> {
        let mut filled: Vec<Filled> = self
            .sheets
            .iter()
            .map(|(stock, _)| Filled { stock: *stock, placed: Vec::new() })
            .collect();
        for seat in &answer.parts {
            let form = &self.kit.forms[seat.form];
            let middle = seat.x + (form.least.0 + form.most.0) / 2.0;
            let after = self.yards.partition_point(|y| y.low.0 <= middle);
            let i = after.saturating_sub(1);
            let room = &self.sheets[i].1;
            let offset = self.yards[i].low.0 - room.low.x as f64;
            let placed = self.kit.placed(seat.form, seat.x - offset, seat.y, room.corner);
            filled[i].placed.push(placed);
        }
        filled.retain(|f| !f.placed.is_empty());
        filled
    }
}
