//! The same layout on many sheets: fewer different ones, for a little more metal.
//!
//! A layout that is to be repeated has an equal share of all parts, or is one of the sheets found
//! so far. It is cut as often as the quantities allow, and what is left of them is nested on
//! further sheets.

use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Sheet;
use crate::nest::problem::stock::Stock;
use crate::nest::task::Task;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::rank::Rank;
use std::cmp::Reverse;

/// Layouts tried of each sort. Our choice: each is two searches.
const TRIES: usize = 3;

/// Nests quantities of the items on a stock, within the budget of one attempt.
pub(crate) type Nested<'a> = dyn Fn(&[Item], &[Stock]) -> Vec<Sheet> + 'a;

/// Each attempt may use one part in this number of the budget of a later step. Our choice: all of
/// them together take a quarter of the whole budget more.
pub(crate) const SHARES: u64 = 4;

/// How many different layouts there are.
pub(crate) fn different(sheets: &[Candidate]) -> usize {
    distinct(sheets).len()
}

/// Each layout once.
fn distinct(sheets: &[Candidate]) -> Vec<&Candidate> {
    let mut seen: Vec<&Candidate> = Vec::new();
    for sheet in sheets {
        if !seen.contains(&sheet) {
            seen.push(sheet);
        }
    }
    seen
}

/// The same parts in fewer different layouts, for at most this share more cost and metal; `None`
/// if none were found. Sheets to be used first stay as they are.
pub(crate) fn repeated(
    task: &Task,
    sheets: &[Candidate],
    extra: f64,
    nested: &Nested,
) -> Option<Vec<Candidate>> {
    let is_first = |sheet: &Candidate| task.stock[sheet.stock].first;
    let (kept, open): (Vec<Candidate>, Vec<Candidate>) = sheets.iter().cloned().partition(is_first);
    if different(&open) < 2 || task.is_ordered(open.iter().flat_map(|sheet| &sheet.placed)) {
        return None;
    }
    let attempts = Attempts { task, kept: &kept, open: &open, nested };
    let now = Rank::of(task, sheets);
    let mut found: Vec<(usize, Rank, Vec<Candidate>)> = Vec::new();
    for one in attempts.of_equal_shares().into_iter().chain(attempts.of_present_sheets()) {
        if task.stop.now() {
            return None;
        }
        let Some(all) = attempts.with_the_rest(&one) else { continue };
        let (number, rank) = (different(&all), Rank::of(task, &all));
        if number < different(sheets) && rank.takes_at_most(&now, extra) {
            found.push((number, rank, all));
        }
    }
    found.into_iter().min_by(|a, b| (a.0, &a.1).cmp(&(b.0, &b.1))).map(|(_, _, all)| all)
}

/// Layouts to repeat.
struct Attempts<'a> {
    task: &'a Task<'a>,
    /// Sheets that stay as they are.
    kept: &'a [Candidate],
    /// The others.
    open: &'a [Candidate],
    nested: &'a Nested<'a>,
}

impl Attempts<'_> {
    /// Sheets with an equal share of all parts for as many sheets as there are, or a few less.
    fn of_equal_shares(&self) -> Vec<Candidate> {
        let all = counts_on(self.open, self.task.items.len());
        let number = u32::try_from(self.open.len()).unwrap_or(u32::MAX);
        let shares = (0..TRIES as u32).filter_map(|fewer| number.checked_sub(fewer));
        let on_one = |number: u32| {
            let share: Vec<u32> = all.iter().map(|n| n / number).collect();
            let stock = self.open[0].stock;
            let one = [Stock { count: Some(1), ..self.task.stock[stock].clone() }];
            let found = (self.nested)(&self.wanted(&share), &one).into_iter().next()?;
            let is_whole = counts(&found.placed, share.len()) == share;
            is_whole.then_some(Candidate { stock, placed: found.placed })
        };
        shares.filter(|number| *number > 1).filter_map(on_one).collect()
    }

    /// The fullest sheets there are.
    fn of_present_sheets(&self) -> Vec<Candidate> {
        let mut all = distinct(self.open);
        let area = |sheet: &Candidate| -> f64 {
            sheet.placed.iter().map(|p| self.task.items[p.item].bulk()).sum()
        };
        let fullness = |sheet: &Candidate| {
            let parts_per_million = 1e6 * area(sheet) / self.task.stock[sheet.stock].region.area();
            Reverse(parts_per_million.round() as i64)
        };
        all.sort_by_cached_key(|sheet| fullness(sheet));
        all.into_iter().take(TRIES).cloned().collect()
    }

    /// A layout as often as the quantities and the stock allow, and what is left nested on further
    /// sheets; `None` unless that is all, and the layout is there twice.
    fn with_the_rest(&self, one: &Candidate) -> Option<Vec<Candidate>> {
        let Task { items, stock, .. } = *self.task;
        let all = counts_on(self.open, items.len());
        let each = counts(&one.placed, items.len());
        let needed = all.iter().zip(&each).filter(|(_, each)| **each > 0);
        let spare = |i: usize| {
            let used = self.kept.iter().filter(|sheet| sheet.stock == i).count() as u32;
            stock[i].count.map(|n| n.saturating_sub(used))
        };
        let times = needed.map(|(all, each)| all / each).min()?;
        let times = times.min(spare(one.stock).unwrap_or(u32::MAX));
        if times < 2 {
            return None;
        }
        let rest: Vec<u32> = all.iter().zip(&each).map(|(all, each)| all - times * each).collect();
        let left = |(i, stock): (usize, &Stock)| {
            let used = if i == one.stock { times } else { 0 };
            let count = if stock.first { Some(0) } else { spare(i).map(|n| n - used.min(n)) };
            Stock { count, ..stock.clone() }
        };
        let left: Vec<Stock> = stock.iter().enumerate().map(left).collect();
        let further = match rest.iter().all(|n| *n == 0) {
            true => Vec::new(),
            false => (self.nested)(&self.wanted(&rest), &left),
        };
        let is_all = counts(further.iter().flat_map(|s| &s.placed), items.len()) == rest;
        is_all.then(|| {
            let repeated = std::iter::repeat_n(one.clone(), times as usize);
            let further = further.iter().map(Candidate::of);
            self.kept.iter().cloned().chain(repeated).chain(further).collect()
        })
    }

    /// The items in these quantities, without fillings.
    fn wanted(&self, counts: &[u32]) -> Vec<Item> {
        let wanted = |(item, n): (&Item, &u32)| Item { quantity: *n, fill: 0, ..item.clone() };
        self.task.items.iter().zip(counts).map(wanted).collect()
    }
}
