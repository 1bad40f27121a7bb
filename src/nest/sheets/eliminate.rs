//! Sheets taken up again when all parts are laid: each may be emptied into the others, or
//! its parts may go on a smaller or cheaper one.

use crate::nest::pack;
use crate::nest::pack::Care;
use crate::nest::pattern::job::place_job;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::stock::Stock;
use crate::nest::task::Task;
use crate::nest::value::audit;
use crate::nest::value::bound::Limits;
use crate::nest::value::candidate::Draft;
use crate::nest::value::candidate::counts;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::rank::Rank;
use std::collections::BTreeSet;

/// Sheets looked at, from the last on. Our choice: those before are full, as a rule.
pub(crate) const SHEETS: usize = 12;

/// Most sheets in a layout that is looked at. Our choice: many sheets take long.
pub(crate) const MOST_SHEETS: usize = 200;

/// Sheets, and the items of parts that found no place on them.
pub(crate) type Partly = (Vec<Draft>, Vec<usize>);

/// Takes sheets up again.
pub(crate) struct Refit<'a> {
    task: Task<'a>,
    limits: &'a Limits<'a>,
    /// Sheets, and items none of which found room on them: found once, true ever after.
    full: Vec<(Draft, BTreeSet<usize>)>,
}

impl<'a> Refit<'a> {
    pub(crate) fn new(task: Task<'a>, limits: &'a Limits<'a>) -> Self {
        Self { task, limits, full: Vec::new() }
    }

    /// The layout with sheets emptied or changed for better ones, as long as that ranks
    /// better.
    pub(crate) fn refit(&mut self, mut drafts: Vec<Draft>) -> Vec<Draft> {
        if drafts.len() > MOST_SHEETS {
            return drafts;
        }
        let mut rank = Rank::of(&self.task, &drafts);
        while let Some((better, found)) = self.step(&drafts, &rank) {
            (rank, drafts) = (better, found);
        }
        drafts
    }

    /// The first change that ranks better.
    fn step(&mut self, drafts: &[Draft], rank: &Rank) -> Option<(Rank, Vec<Draft>)> {
        let task = self.task;
        let judged = |(drafts, left): Partly| {
            let better = left.is_empty().then(|| Rank::of(&task, &drafts))?;
            (better < *rank).then_some((better, drafts))
        };
        let last_first = || (0..drafts.len()).rev().take(SHEETS);
        last_first().find_map(|i| self.emptied(drafts, i).and_then(judged)).or_else(|| {
            last_first().find_map(|i| {
                let others = cheaper(task.stock, drafts, i);
                let may = |other: &usize| self.may_hold(*other, &drafts[i]);
                let others = others.into_iter().filter(may);
                others
                    .map(|other| self.on_another(drafts, i, other))
                    .find_map(|o| o.and_then(judged))
            })
        })
    }

    /// Whether a sheet of a stock can hold all that lies on another, by area.
    fn may_hold(&self, stock: usize, draft: &Draft) -> bool {
        let counts = counts(&draft.placed, self.task.items.len());
        self.limits.taken(&counts) <= self.limits.room_area(&self.task.stock[stock])
    }

    /// The parts of a sheet on another one, as far as they go there; `None` when the next sheet
    /// is the same and was tried. Patterns, which take their time, are tried where there is a
    /// search.
    pub(crate) fn on_another(
        &self,
        drafts: &[Draft],
        sheet: usize,
        other: usize,
    ) -> Option<Partly> {
        let task = &self.task;
        if drafts.get(sheet + 1) == Some(&drafts[sheet]) {
            return None;
        }
        let all = &drafts[sheet].placed;
        let mut left: Vec<usize> = all.iter().map(|p| p.item).collect();
        let few = wanted(task.items, &left);
        let one = Stock { count: Some(1), ..task.stock[other].clone() };
        let packed = pack::pack(task.of(&few).on(std::slice::from_ref(&one)), Care::Quick);
        let mut placed = packed.patterns.into_iter().next()?.placed;
        if placed.len() < all.len()
            && task.rules.units > 0
            && self.may_hold(other, &drafts[sheet])
            && let Some(laid) = place_job(&task.of(&few), &[other])
        {
            placed = laid.into_iter().next()?;
        }
        audit::survey(task.items, &one, &task.rules, &placed).ok()?;
        take(&mut left, &placed)?;
        let mut changed = drafts.to_vec();
        changed[sheet] = Draft { stock: other, placed };
        Some((changed, left))
    }

    /// A sheet's parts in the room the others have left, as far as they go there; `None` when
    /// their area is not enough for all, or the next sheet is the same and was tried.
    pub(crate) fn emptied(&mut self, drafts: &[Draft], sheet: usize) -> Option<Partly> {
        let Task { items, stock, rules, .. } = self.task;
        if drafts.get(sheet + 1) == Some(&drafts[sheet]) {
            return None;
        }
        let mut changed = drafts.to_vec();
        let mut left: Vec<usize> = changed.remove(sheet).placed.iter().map(|p| p.item).collect();
        let room: f64 = changed.iter().map(|d| self.limits.room_area(&stock[d.stock])).sum();
        if self.limits.taken(&counts_on(drafts, items.len())) > room {
            return None;
        }
        for draft in &mut changed {
            let kinds: BTreeSet<usize> = left.iter().copied().collect();
            if self.is_full(draft, &kinds) {
                continue;
            }
            let beside = [beside(items, &stock[draft.stock], &draft.placed)];
            let packed = pack::pack(self.task.of(&wanted(items, &left)).on(&beside), Care::Quick);
            let Some(found) = packed.patterns.into_iter().next() else {
                self.full.push((draft.clone(), kinds));
                continue;
            };
            let mut placed = draft.placed.clone();
            placed.extend(&found.placed);
            if audit::survey(items, &stock[draft.stock], &rules, &placed).is_ok() {
                take(&mut left, &found.placed)?;
                draft.placed = placed;
            }
        }
        Some((changed, left))
    }

    /// Whether there is surely no room for any of these items.
    fn is_full(&self, draft: &Draft, kinds: &BTreeSet<usize>) -> bool {
        let known = self.full.iter().filter(|(full, _)| full == draft).flat_map(|(_, k)| k);
        let known: BTreeSet<usize> = known.copied().collect();
        kinds.is_subset(&known)
    }
}

/// Stock of which there is one more, and which is used first or costs less, or is smaller
/// for the same money; the best first.
pub(crate) fn cheaper(stock: &[Stock], drafts: &[Draft], sheet: usize) -> Vec<usize> {
    let now = &stock[drafts[sheet].stock];
    let key = |s: &Stock| (!s.first, s.price, s.region.area());
    let used = |i: usize| drafts.iter().filter(|d| d.stock == i).count();
    let spare = |i: usize| stock[i].count.is_none_or(|n| used(i) < n as usize);
    let mut others: Vec<usize> =
        (0..stock.len()).filter(|i| key(&stock[*i]) < key(now) && spare(*i)).collect();
    others.sort_by(|a, b| {
        let (a, b) = (key(&stock[*a]), key(&stock[*b]));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
    });
    others
}

/// Takes what is placed from what is left.
fn take(left: &mut Vec<usize>, placed: &[Placed]) -> Option<()> {
    for laid in placed {
        let at = left.iter().position(|item| *item == laid.item)?;
        left.swap_remove(at);
    }
    Some(())
}

/// Items asked for as often as they are named.
fn wanted(items: &[Item], named: &[usize]) -> Vec<Item> {
    let count = |i| named.iter().filter(|n| **n == i).count() as u32;
    let wanted = |(i, item): (usize, &Item)| Item { quantity: count(i), fill: 0, ..item.clone() };
    items.iter().enumerate().map(wanted).collect()
}

/// A sheet on which parts lie already, as stock for others: one of it.
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
    use crate::nest::problem::rules::Rules;
    use crate::nest::shape::orientation::turns;
    use crate::nest::task::Masks;

    const RULES: Rules = Rules {
        gap: 2.0,
        margin: 3.0,
        least_window: 0.0,
        window_gap: 0.0,
        least_remnant: 100.0,
        units: 0,
        stop_at: None,
        seed: 0,
    };

    fn square() -> Item {
        let square = rectangle(Point::new(50.0, 50.0), 100.0, 100.0, 0.0).unwrap();
        Item::new(Region::solid(square), 5)
    }

    /// Holds so many squares side by side.
    fn bar(squares: u32, price: f64, count: Option<u32>) -> Stock {
        let length = f64::from(squares) * 102.0 - 2.0 + 6.0;
        Stock { price, count, ..Stock::whole(length, 106.0).unwrap() }
    }

    /// So many squares from the left on.
    fn laid(stock: usize, squares: u32) -> Draft {
        let at = |i: u32| Vec2::new(3.0 + 102.0 * f64::from(i), 3.0);
        let placed = |i| Placed { item: 0, place: Place { shift: at(i), ..Place::default() } };
        Draft { stock, placed: (0..squares).map(placed).collect() }
    }

    fn refitted(stock: &[Stock], drafts: Vec<Draft>) -> Vec<(usize, usize)> {
        let items = [square()];
        let turns = turns(&items, stock, &RULES);
        let masks = Masks::default();
        let task = Task { items: &items, turns: &turns, stock, rules: RULES, masks: &masks };
        let limits = Limits::new(&items, stock, RULES);
        let found = Refit::new(task, &limits).refit(drafts);
        for draft in &found {
            audit::survey(&items, &stock[draft.stock], &RULES, &draft.placed).unwrap();
        }
        found.iter().map(|d| (d.stock, d.placed.len())).collect()
    }

    #[test]
    fn a_sheet_is_changed_for_the_cheapest_that_takes_all_its_parts() {
        let stock = [bar(4, 10.0, None), bar(2, 6.0, None), bar(1, 5.0, None)];
        assert_eq!(refitted(&stock, vec![laid(0, 4), laid(0, 1)]), [(0, 4), (2, 1)]);
        let scarce = [bar(4, 10.0, None), bar(2, 6.0, None), bar(1, 5.0, Some(0))];
        assert_eq!(refitted(&scarce, vec![laid(0, 4), laid(0, 1)]), [(0, 4), (1, 1)]);
        // For the same money the larger one, where it leaves more of a remnant.
        let free = [bar(4, 0.0, None), bar(3, 0.0, None)];
        assert_eq!(refitted(&free, vec![laid(0, 3)]), [(0, 3)]);
        // A remnant to be used first is paid for.
        let first = Stock { first: true, ..bar(1, 50.0, Some(1)) };
        let stock = [bar(4, 10.0, None), first];
        assert_eq!(refitted(&stock, vec![laid(0, 4), laid(0, 1)]), [(0, 4), (1, 1)]);
    }

    #[test]
    fn a_sheet_is_emptied_where_the_others_have_room() {
        let stock = [bar(4, 10.0, None), bar(1, 4.0, None)];
        assert_eq!(refitted(&stock, vec![laid(0, 3), laid(0, 1)]), [(0, 4)]);
        assert_eq!(refitted(&stock, vec![laid(0, 2), laid(1, 1), laid(1, 1)]), [(0, 4)]);
        // Not one that is to be used first.
        let first = Stock { first: true, ..bar(1, 0.0, Some(1)) };
        let stock = [bar(4, 10.0, None), first];
        assert_eq!(refitted(&stock, vec![laid(1, 1), laid(0, 3)]), [(1, 1), (0, 3)]);
    }
}
