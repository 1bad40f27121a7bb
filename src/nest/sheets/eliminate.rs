//! Sheet elimination: when all parts are placed, each sheet may be emptied into the others, or its
//! parts may move to a smaller or cheaper one.

use crate::nest::course::Course;
use crate::nest::pack;
use crate::nest::pack::Care;
use crate::nest::pattern::job::place_job;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::stock::Stock;
use crate::nest::task::Task;
use crate::nest::value::audit;
use crate::nest::value::bound::Limits;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::rank::Rank;
use std::collections::BTreeSet;

/// Sheets tried, from the last on. Our choice: those before are full, as a rule.
pub(crate) const SHEETS: usize = 12;

/// Maximum number of sheets in a layout for sheet elimination. Our choice: many sheets take long.
pub(crate) const MAX_SHEETS: usize = 200;

/// Sheets, and the items of parts that could not be placed on them.
pub(crate) type Partly = (Vec<Candidate>, Vec<usize>);

/// Sheet elimination for one task.
pub(crate) struct Elimination<'a> {
    task: Task<'a>,
    limits: &'a Limits<'a>,
    /// Sheets, and items none of which fits beside their parts: tried once, true ever after.
    full: Vec<(Candidate, BTreeSet<usize>)>,
}

impl<'a> Elimination<'a> {
    pub(crate) fn new(task: Task<'a>, limits: &'a Limits<'a>) -> Self {
        Self { task, limits, full: Vec::new() }
    }

    /// The layout with sheets emptied or exchanged, as long as that ranks better. Each change is a
    /// stage of the course.
    pub(crate) fn run(
        &mut self,
        mut candidates: Vec<Candidate>,
        course: &mut Course,
    ) -> Vec<Candidate> {
        if candidates.len() > MAX_SHEETS || !course.may_continue() {
            return candidates;
        }
        let mut rank = Rank::of(&self.task, &candidates);
        while let Some((better, found)) = course.stage(|| self.step(&candidates, &rank)).flatten() {
            (rank, candidates) = (better, found);
        }
        candidates
    }

    /// The first change that ranks better.
    fn step(&mut self, candidates: &[Candidate], rank: &Rank) -> Option<(Rank, Vec<Candidate>)> {
        let task = self.task;
        let judged = |(candidates, left): Partly| {
            let better = left.is_empty().then(|| Rank::of(&task, &candidates))?;
            (better < *rank).then_some((better, candidates))
        };
        let last_first = || (0..candidates.len()).rev().take(SHEETS);
        last_first().find_map(|i| self.emptied(candidates, i).and_then(judged)).or_else(|| {
            last_first().find_map(|i| {
                let others = cheaper(task.stock, candidates, i);
                let may = |other: &usize| self.may_hold(*other, &candidates[i]);
                let others = others.into_iter().filter(may);
                others
                    .map(|other| self.on_another(candidates, i, other))
                    .find_map(|o| o.and_then(judged))
            })
        })
    }

    /// Whether a sheet of a stock has room, by area, for everything on another.
    fn may_hold(&self, stock: usize, candidate: &Candidate) -> bool {
        let counts = counts(&candidate.placed, self.task.items.len());
        self.limits.min_total_area(&counts) <= self.limits.room_area(&self.task.stock[stock])
    }

    /// The parts of a sheet moved to another stock, as far as they fit; `None` when the next sheet
    /// is equal and was tried. Patterns, which take a while, are tried where there is a search.
    pub(crate) fn on_another(
        &self,
        candidates: &[Candidate],
        sheet: usize,
        other: usize,
    ) -> Option<Partly> {
        let task = &self.task;
        if task.stop.now() || candidates.get(sheet + 1) == Some(&candidates[sheet]) {
            return None;
        }
        let all = &candidates[sheet].placed;
        let mut left: Vec<usize> = all.iter().map(|p| p.item).collect();
        let few = wanted(task.items, &left);
        let one = Stock { count: Some(1), ..task.stock[other].clone() };
        let packed = pack::pack(task.of(&few).on(std::slice::from_ref(&one)), Care::Quick);
        let mut placed = packed.patterns.into_iter().next()?.placed;
        if placed.len() < all.len()
            && task.rules.units > 0
            && self.may_hold(other, &candidates[sheet])
            && let Some(patterned) = place_job(&task.of(&few), &[other])
        {
            placed = patterned.into_iter().next()?;
        }
        let must_end = || task.stop.now();
        audit::survey_until(task.items, &one, &task.rules, &placed, &must_end).ok()?;
        take(&mut left, &placed)?;
        let mut changed = candidates.to_vec();
        changed[sheet] = Candidate { stock: other, placed };
        Some((changed, left))
    }

    /// The parts of a sheet moved into the room the others have left, as far as they fit; `None`
    /// when their area is not enough for all, or the next sheet is equal and was tried.
    pub(crate) fn emptied(&mut self, candidates: &[Candidate], sheet: usize) -> Option<Partly> {
        let Task { items, stock, rules, .. } = self.task;
        if candidates.get(sheet + 1) == Some(&candidates[sheet]) {
            return None;
        }
        let mut changed = candidates.to_vec();
        let mut left: Vec<usize> = changed.remove(sheet).placed.iter().map(|p| p.item).collect();
        let room: f64 = changed.iter().map(|d| self.limits.room_area(&stock[d.stock])).sum();
        if self.limits.min_total_area(&counts_on(candidates, items.len())) > room {
            return None;
        }
        for candidate in &mut changed {
            if self.task.stop.now() {
                return None;
            }
            let kinds: BTreeSet<usize> = left.iter().copied().collect();
            if self.is_full(candidate, &kinds) {
                continue;
            }
            let beside = [beside(items, &stock[candidate.stock], &candidate.placed)];
            let packed = pack::pack(self.task.of(&wanted(items, &left)).on(&beside), Care::Quick);
            let Some(found) = packed.patterns.into_iter().next() else {
                self.full.push((candidate.clone(), kinds));
                continue;
            };
            let mut placed = candidate.placed.clone();
            placed.extend(&found.placed);
            let (size, must_end) = (&stock[candidate.stock], || self.task.stop.now());
            if audit::survey_until(items, size, &rules, &placed, &must_end).is_ok() {
                take(&mut left, &found.placed)?;
                candidate.placed = placed;
            }
        }
        Some((changed, left))
    }

    /// Whether none of these items fits beside its parts, as far as known.
    fn is_full(&self, candidate: &Candidate, kinds: &BTreeSet<usize>) -> bool {
        let known = self.full.iter().filter(|(full, _)| full == candidate).flat_map(|(_, k)| k);
        let known: BTreeSet<usize> = known.copied().collect();
        kinds.is_subset(&known)
    }
}

/// Stock that is spare, and used first or cheaper, or smaller for the same price; the best first.
pub(crate) fn cheaper(stock: &[Stock], candidates: &[Candidate], sheet: usize) -> Vec<usize> {
    let now = &stock[candidates[sheet].stock];
    let key = |s: &Stock| (!s.first, s.price, s.region.area());
    let used = |i: usize| candidates.iter().filter(|d| d.stock == i).count();
    let spare = |i: usize| stock[i].count.is_none_or(|n| used(i) < n as usize);
    let mut others: Vec<usize> =
        (0..stock.len()).filter(|i| key(&stock[*i]) < key(now) && spare(*i)).collect();
    others.sort_by(|a, b| {
        let (a, b) = (key(&stock[*a]), key(&stock[*b]));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
    });
    others
}

/// Removes the placed parts from those left.
fn take(left: &mut Vec<usize>, placed: &[Placed]) -> Option<()> {
    for part in placed {
        let at = left.iter().position(|item| *item == part.item)?;
        left.swap_remove(at);
    }
    Some(())
}

/// Items in the quantity in which they are named.
fn wanted(items: &[Item], named: &[usize]) -> Vec<Item> {
    let count = |i| named.iter().filter(|n| **n == i).count() as u32;
    let wanted = |(i, item): (usize, &Item)| Item { quantity: count(i), fill: 0, ..item.clone() };
    items.iter().enumerate().map(wanted).collect()
}

/// A sheet with parts on it as stock for others: one of it.
pub(crate) fn beside(items: &[Item], stock: &Stock, placed: &[Placed]) -> Stock {
    let taken = placed.iter().map(|p| items[p.item].region.outer().moved(&p.place));
    Stock {
        keep_outs: stock.keep_outs.iter().cloned().chain(taken).collect(),
        count: Some(1),
        ..stock.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::Vec2;
    use crate::geom::rectangle;
    use crate::nest::problem::progress::Stop;
    use crate::nest::problem::rules::Rules;
    use crate::nest::shape::orientation::orientations;
    use crate::nest::task::Masks;

    const RULES: Rules = Rules {
        gap: 2.0,
        margin: 3.0,
        min_cut_out: 0.0,
        cut_out_gap: 0.0,
        min_remnant: 100.0,
        units: 0,
        stop_at: None,
        extra_metal: None,
        seed: 0,
    };

    fn square() -> Item {
        let square = rectangle(Point::new(50.0, 50.0), 100.0, 100.0, 0.0).unwrap();
        Item::new(Region::solid(square), 5)
    }

    /// A sheet for this many squares side by side.
    fn bar(squares: u32, price: f64, count: Option<u32>) -> Stock {
        let length = f64::from(squares) * 102.0 - 2.0 + 6.0;
        Stock { price, count, ..Stock::whole(length, 106.0).unwrap() }
    }

    /// A number of squares from the left on.
    fn squares_on(stock: usize, squares: u32) -> Candidate {
        let at = |i: u32| Vec2::new(3.0 + 102.0 * f64::from(i), 3.0);
        let placed = |i| Placed { item: 0, place: Place { shift: at(i), ..Place::default() } };
        Candidate { stock, placed: (0..squares).map(placed).collect() }
    }

    fn eliminated(stock: &[Stock], candidates: Vec<Candidate>) -> Vec<(usize, usize)> {
        let items = [square()];
        let orientations = orientations(&items, stock, &RULES);
        let masks = Masks::default();
        let (orientations, masks, stop) = (&orientations, &masks, &Stop::never());
        let task = Task { items: &items, orientations, stock, rules: RULES, masks, stop };
        let limits = Limits::new(&items, stock, RULES);
        let found = Elimination::new(task, &limits).run(candidates, &mut Course::new(&RULES, stop));
        for candidate in &found {
            audit::survey(&items, &stock[candidate.stock], &RULES, &candidate.placed).unwrap();
        }
        found.iter().map(|d| (d.stock, d.placed.len())).collect()
    }

    #[test]
    fn a_sheet_is_changed_for_the_cheapest_that_takes_all_its_parts() {
        let stock = [bar(4, 10.0, None), bar(2, 6.0, None), bar(1, 5.0, None)];
        assert_eq!(eliminated(&stock, vec![squares_on(0, 4), squares_on(0, 1)]), [(0, 4), (2, 1)]);
        let scarce = [bar(4, 10.0, None), bar(2, 6.0, None), bar(1, 5.0, Some(0))];
        assert_eq!(eliminated(&scarce, vec![squares_on(0, 4), squares_on(0, 1)]), [(0, 4), (1, 1)]);
        // For the same price the larger one, where it leaves a larger remnant.
        let free = [bar(4, 0.0, None), bar(3, 0.0, None)];
        assert_eq!(eliminated(&free, vec![squares_on(0, 3)]), [(0, 3)]);
        // A remnant to be used first is paid for.
        let first = Stock { first: true, ..bar(1, 50.0, Some(1)) };
        let stock = [bar(4, 10.0, None), first];
        assert_eq!(eliminated(&stock, vec![squares_on(0, 4), squares_on(0, 1)]), [(0, 4), (1, 1)]);
    }

    #[test]
    fn a_sheet_is_emptied_where_the_others_have_room() {
        let stock = [bar(4, 10.0, None), bar(1, 4.0, None)];
        assert_eq!(eliminated(&stock, vec![squares_on(0, 3), squares_on(0, 1)]), [(0, 4)]);
        assert_eq!(
            eliminated(&stock, vec![squares_on(0, 2), squares_on(1, 1), squares_on(1, 1)]),
            [(0, 4)]
        );
        // Not one that is to be used first.
        let first = Stock { first: true, ..bar(1, 0.0, Some(1)) };
        let stock = [bar(4, 10.0, None), first];
        assert_eq!(eliminated(&stock, vec![squares_on(1, 1), squares_on(0, 3)]), [(1, 1), (0, 3)]);
    }
}
