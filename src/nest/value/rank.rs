//! Which of two layouts of the same parts is the better one.

use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::task::Task;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::kits::Spread;
use crate::nest::value::remnant::remnant;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// What a layout takes, the most important first; less is better. What is left over of the parts
/// asked for is compared before it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Rank {
    /// By priority, the highest first and without the lowest: after how many sheets all its parts
    /// are cut.
    done_after: Vec<usize>,
    /// How far kits are spread over the sheets.
    spread: Spread,
    /// What the sheets cost, in thousandths; those to be used first count as paid for.
    cost: i128,
    /// Sheets that need not be used first.
    others: usize,
    /// Area of parts on sheets to be used first, mm²: the more, the better.
    on_first: Reverse<i128>,
    sheets: usize,
    /// Area of the sheets less the largest useful remnant, mm².
    used_up: i128,
    /// How far parts reach on the last sheet, µm.
    reach: i128,
}

impl Rank {
    pub(crate) fn of(task: &Task, sheets: &[Candidate]) -> Self {
        let Task { items, stock, rules, .. } = task;
        let area: Vec<i128> = items.iter().map(|i| whole(i.bulk())).collect();
        let on_first = |d: &&Candidate| stock[d.stock].first;
        let taken: i128 =
            sheets.iter().filter(on_first).flat_map(|d| &d.placed).map(|p| area[p.item]).sum();
        let others = || sheets.iter().map(|d| &stock[d.stock]).filter(|s| !s.first);
        // Of equal sheets, which are behind each other as a rule, one is looked at.
        let new = (0..sheets.len()).filter(|i| *i == 0 || sheets[*i] != sheets[*i - 1]);
        let left = new.filter_map(|i| {
            let left = remnant(items, &stock[sheets[i].stock], rules, &sheets[i].placed)?;
            Some(whole(left.width() * left.height()))
        });
        let metal: i128 = sheets.iter().map(|d| whole(stock[d.stock].region.area())).sum();
        Self {
            done_after: done_after(items, sheets),
            spread: Spread::of(items, sheets.iter().map(|sheet| sheet.placed.as_slice())),
            cost: others().map(|s| whole(1000.0 * s.price)).sum(),
            others: others().count(),
            on_first: Reverse(taken),
            sheets: sheets.len(),
            used_up: metal - left.max().unwrap_or(0),
            reach: whole(1000.0 * sheets.last().map_or(0.0, |last| reach(task, last))),
        }
    }
}

impl Rank {
    /// Whether it takes at most this share more cost and metal than another.
    pub(crate) fn takes_at_most(&self, other: &Self, more: f64) -> bool {
        let within = |is: i128, was: i128| is as f64 <= was as f64 * (1.0 + more);
        within(self.cost, other.cost) && within(self.used_up, other.used_up)
    }
}

/// How far parts reach from the left of a sheet, mm.
fn reach(task: &Task, sheet: &Candidate) -> f64 {
    let left = task.stock[sheet.stock].region.bounds().min.x;
    let end = |p: &Placed| task.items[p.item].region.outer().moved(&p.place).bounds().max.x - left;
    sheet.placed.iter().map(end).fold(0.0, f64::max)
}

/// Larger measures count as this, so that sums of them fit. Our choice.
const LARGEST: f64 = 1e27;

/// A measure in whole units: differences that matter stay, and sums are the same in any order.
pub(crate) fn whole(measure: f64) -> i128 {
    measure.round().clamp(-LARGEST, LARGEST) as i128
}

fn done_after(items: &[Item], sheets: &[Candidate]) -> Vec<usize> {
    let mut last = BTreeMap::new();
    for (i, sheet) in sheets.iter().enumerate() {
        for placed in &sheet.placed {
            last.insert(Reverse(items[placed.item].priority), i + 1);
        }
    }
    last.pop_last();
    last.into_values().collect()
}
