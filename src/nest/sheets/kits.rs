//! Kits kept together: each kit on one sheet, or on as few as it takes, next to each other.
//!
//! Kit after kit, the largest first, is packed beside the parts on the first sheet that has room
//! for all of it, or on a new sheet; a kit too large for one is packed on neighbouring sheets.
//! What is in no kit then fills the room that is left.

use crate::nest::pack;
use crate::nest::pack::Care;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Sheet;
use crate::nest::problem::stock::Stock;
use crate::nest::sheets::eliminate::beside;
use crate::nest::task::Task;
use crate::nest::value::audit;
use crate::nest::value::bound::Limits;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::kits::Spread;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Whether a kit is on more than one sheet.
pub(crate) fn are_split(items: &[Item], sheets: &[Sheet]) -> bool {
    let placed = sheets.iter().map(|sheet| sheet.placed.as_slice());
    Spread::of(items, placed) != Spread::default()
}

/// A layout of all required parts with the kits kept together, as far as there are sheets for them.
pub(crate) fn together(task: &Task) -> Vec<Candidate> {
    let limits = Limits::new(task.items, task.stock, task.rules);
    let mut filling = Filling { task, limits: &limits, sheets: Vec::new() };
    let mut loose = vec![0; task.items.len()];
    for group in groups(task.items) {
        match group.is_kit {
            true if filling.add_kit(&group.counts) => {}
            _ => loose.iter_mut().zip(&group.counts).for_each(|(loose, n)| *loose += n),
        }
        if !group.is_kit {
            filling.add_loose(&mut loose);
        }
    }
    // Kits for which there was no room anywhere.
    filling.add_loose(&mut loose);
    filling.sheets
}

/// Parts that are placed together, or one after the other.
struct Group {
    is_kit: bool,
    /// By item.
    counts: Vec<u32>,
}

/// The kits and the other parts: those of the highest priority first, kits before other parts, and
/// of the kits the largest first.
fn groups(items: &[Item]) -> Vec<Group> {
    let mut of_kit: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut others: BTreeMap<Reverse<u32>, Vec<usize>> = BTreeMap::new();
    for (i, item) in items.iter().enumerate().filter(|(_, item)| item.quantity > 0) {
        match item.kit {
            Some(kit) => of_kit.entry(kit).or_default().push(i),
            None => others.entry(Reverse(item.priority)).or_default().push(i),
        }
    }
    let group = |is_kit: bool, members: Vec<usize>| {
        let priority = members.iter().map(|i| items[*i].priority).max().unwrap_or(0);
        let area: f64 =
            members.iter().map(|i| items[*i].bulk() * f64::from(items[*i].quantity)).sum();
        let mut counts = vec![0; items.len()];
        members.iter().for_each(|i| counts[*i] = items[*i].quantity);
        (priority, area, Group { is_kit, counts })
    };
    let kits = of_kit.into_values().map(|members| group(true, members));
    let others = others.into_values().map(|members| group(false, members));
    let mut all: Vec<(u32, f64, Group)> = kits.chain(others).collect();
    all.sort_by(|a, b| b.0.cmp(&a.0).then(b.2.is_kit.cmp(&a.2.is_kit)).then(b.1.total_cmp(&a.1)));
    all.into_iter().map(|(_, _, group)| group).collect()
}

/// Sheets that are filled kit by kit.
struct Filling<'a> {
    task: &'a Task<'a>,
    limits: &'a Limits<'a>,
    sheets: Vec<Candidate>,
}

impl Filling<'_> {
    /// Adds a kit to as few neighbouring sheets as possible; of these the first that have room for
    /// it. `false` if it can only be divided otherwise.
    fn add_kit(&mut self, counts: &[u32]) -> bool {
        let open = self.sheets.len();
        let (alone, left) = self.on_new(counts);
        let most = if left.iter().all(|n| *n == 0) { alone.len() } else { open };
        for wide in 1..=most {
            for start in 0..=open {
                let end = (start + wide).min(open);
                if self.task.stop.now() {
                    return false;
                }
                if let Some((changed, new)) = self.in_window(counts, start, end, start + wide - end)
                {
                    self.sheets.splice(start..end, changed);
                    self.sheets.extend(new);
                    return true;
                }
            }
        }
        false
    }

    /// The sheets from `start` to `end` with a kit added, and at most so many new ones; `None` if
    /// they have no room for it.
    fn in_window(
        &self,
        counts: &[u32],
        start: usize,
        end: usize,
        new: usize,
    ) -> Option<(Vec<Candidate>, Vec<Candidate>)> {
        let mut left = counts.to_vec();
        let mut changed = self.sheets[start..end].to_vec();
        if new == 0 && !self.may_hold(&changed, counts) {
            return None;
        }
        changed.iter_mut().for_each(|sheet| self.add_beside(sheet, &mut left));
        let (more, left) = match left.iter().all(|n| *n == 0) {
            true => (Vec::new(), left),
            false if new == 0 => return None,
            false => self.on_new(&left),
        };
        (more.len() <= new && left.iter().all(|n| *n == 0)).then_some((changed, more))
    }

    /// Whether sheets have room, by area, for more parts.
    fn may_hold(&self, sheets: &[Candidate], more: &[u32]) -> bool {
        let present = counts_on(sheets, more.len());
        let all: Vec<u32> = present.iter().zip(more).map(|(n, more)| n + more).collect();
        let room = sheets.iter().map(|s| self.limits.room_area(&self.task.stock[s.stock]));
        self.limits.min_total_area(&all) <= room.sum()
    }

    /// Adds to a sheet what fits beside its parts, and takes it off what is left.
    fn add_beside(&self, sheet: &mut Candidate, left: &mut [u32]) {
        let Task { items, stock, rules, .. } = *self.task;
        let size = &stock[sheet.stock];
        let room = [beside(items, size, &sheet.placed)];
        let packed = pack::pack(self.task.of(&wanted(items, left)).on(&room), Care::Quick);
        let Some(found) = packed.patterns.into_iter().next() else { return };
        let placed: Vec<Placed> = sheet.placed.iter().chain(&found.placed).copied().collect();
        let must_end = || self.task.stop.now();
        if audit::survey_until(items, size, &rules, &placed, &must_end).is_ok() {
            take(left, &found.placed);
            sheet.placed = placed;
        }
    }

    /// New sheets for parts, as far as there are any, and what is left over.
    fn on_new(&self, counts: &[u32]) -> (Vec<Candidate>, Vec<u32>) {
        let Task { items, stock, rules, .. } = *self.task;
        let used = |stock: usize| self.sheets.iter().filter(|s| s.stock == stock).count() as u32;
        let spare = |(i, stock): (usize, &Stock)| Stock {
            count: stock.count.map(|n| n.saturating_sub(used(i))),
            ..stock.clone()
        };
        let spare: Vec<Stock> = stock.iter().enumerate().map(spare).collect();
        let packed = pack::pack(self.task.of(&wanted(items, counts)).on(&spare), Care::Full);
        let must_end = || self.task.stop.now();
        let keeps = |sheet: &Candidate| {
            let size = &stock[sheet.stock];
            audit::survey_until(items, size, &rules, &sheet.placed, &must_end).is_ok()
        };
        let sheets: Vec<Candidate> = packed.candidates().into_iter().filter(keeps).collect();
        let mut left = counts.to_vec();
        sheets.iter().for_each(|sheet| take(&mut left, &sheet.placed));
        (sheets, left)
    }

    /// Adds parts that are in no kit, or in one that cannot be kept together: first to the sheets
    /// in use, then to new ones.
    fn add_loose(&mut self, left: &mut Vec<u32>) {
        let mut sheets = std::mem::take(&mut self.sheets);
        for sheet in &mut sheets {
            if left.iter().all(|n| *n == 0) || self.task.stop.now() {
                break;
            }
            self.add_beside(sheet, left);
        }
        self.sheets = sheets;
        if left.iter().any(|n| *n > 0) {
            let (new, rest) = self.on_new(left);
            self.sheets.extend(new);
            *left = rest;
        }
    }
}

/// Takes placed parts off what is left.
fn take(left: &mut [u32], placed: &[Placed]) {
    let placed = counts(placed, left.len());
    left.iter_mut().zip(placed).for_each(|(left, n)| *left = left.saturating_sub(n));
}

/// The items in these quantities, without fillings.
fn wanted(items: &[Item], counts: &[u32]) -> Vec<Item> {
    let wanted = |(item, n): (&Item, &u32)| Item { quantity: *n, fill: 0, ..item.clone() };
    items.iter().zip(counts).map(wanted).collect()
}
