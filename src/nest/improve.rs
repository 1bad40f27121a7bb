//! A layout made better by search, within a budget of work.
//!
//! A fixed number of searchers, each with its own chance, work side by side and compare
//! what they have at fixed points. So what comes out depends on the seed and the budget,
//! and not on how many threads there are or how fast they run.

use crate::nest::Item;
use crate::nest::Placed;
use crate::nest::Progress;
use crate::nest::Sheet;
use crate::nest::Watch;
use crate::nest::dice::Dice;
use crate::nest::ground::Ground;
use crate::nest::ground::Seat;
use crate::nest::ground::Yard;
use crate::nest::kit::Kit;
use crate::nest::task::Task;
use crate::nest::tighten::Answer;
use crate::nest::tighten::Searcher;
use crate::nest::yard::Room;
use rayon::prelude::*;

/// A sheet and what lies on it, before it is measured.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    pub(super) stock: usize,
    pub(super) placed: Vec<Placed>,
}

impl Draft {
    pub(super) fn of(sheet: &Sheet) -> Self {
        Self { stock: sheet.stock, placed: sheet.placed.clone() }
    }

    pub(super) fn unmeasured(&self) -> Sheet {
        let placed = self.placed.clone();
        Sheet { stock: self.stock, placed, least_gap: None, least_margin: 0.0 }
    }
}

/// So many search side by side. Our choice: as many as a small machine has cores.
pub(super) const SEARCHERS: u64 = 2;

/// Times they compare what they have; in the last of them what is found is only pressed
/// together. A fifth, after arXiv 2509.13329.
const ROUNDS: u64 = 40;
const PRESSING: u64 = 8;

/// Most units of work between two stages, at the end of which whoever watches is asked.
/// Our choice: about a quarter of a second of two cores.
pub(super) const STAGE: u64 = 250_000;

/// So many rounds without a gain, a quarter of all, and the pressing begins at once.
const IDLE: u64 = ROUNDS / 4;

/// Usage of this share of what is possible is good enough.
const NEAR_THE_LIMIT: f64 = 0.99;

/// Most parts and most kinds of them that are searched at once. Our choice: with them the
/// tables of a search stay below some 200 MB.
const MOST_PARTS: usize = 2500;
const MOST_KINDS: usize = 60;

/// Positions asked for in one unit of work.
pub(super) const POSITIONS: u64 = 10;

/// What came of a search.
pub(super) struct Improved {
    pub(super) drafts: Vec<Draft>,
    /// Units of work done.
    pub(super) units: u64,
    /// Stages gone through, with the start as the first of them.
    pub(super) stages: u64,
    /// Whether whoever watches has ended it.
    pub(super) cut: bool,
}

/// Searches on from sheets already filled; what comes back is no worse. `None` when there
/// is nothing to search with.
pub(super) fn improve(
    task: &Task,
    sheets: &[Draft],
    told: &dyn Fn(&[Draft], u64) -> Progress,
    watch: &Watch,
) -> Option<Improved> {
    let Task { items, rules, .. } = task;
    let given = told(sheets, 0);
    let (all_given, worse) =
        (sheets, |p: &Progress| (p.sheets, -p.usage) > (given.sheets, -given.usage));
    let (settled, sheets) = sheets.split_at(settled(items, sheets)?);
    let field = Field::new(task, sheets)?;
    let yards = &field.yards;
    let ground = field.ground();
    let all = rules.units.saturating_mul(POSITIONS) / SEARCHERS;
    let searcher = |i: u64| {
        // Every other one leans nothing itself: fewer forms are searched more closely.
        let mut ground = ground.clone();
        ground.level = i % 2 == 1;
        Searcher::new(ground, yards, &field.items, Dice::new(rules.seed, i))
    };
    let whole = |answer: &Answer| [settled, &field.drafts(answer)].concat();
    let mut searchers = (0..SEARCHERS).map(searcher).collect::<Option<Vec<_>>>()?;
    let units =
        |searchers: &[Searcher]| searchers.iter().map(Searcher::asked).sum::<u64>() / POSITIONS;
    let mut so_far = best(&searchers);
    let stages_of_a_round = (rules.units / ROUNDS).div_ceil(STAGE).max(1);
    let (mut round, mut pressing, mut gained, mut stages) = (0, 0, 0, 1);
    let mut cut = false;
    let ended = |stages: u64| rules.stop_at.is_some_and(|stop| stages >= stop);
    'search: while round < ROUNDS && pressing < PRESSING && !searchers.iter().all(|s| s.finished) {
        round += 1;
        if pressing > 0 || round > ROUNDS - PRESSING || round > gained + IDLE {
            pressing += 1;
        }
        for stage in 1..=stages_of_a_round {
            if ended(stages) {
                break 'search;
            }
            stages += 1;
            let done = u128::from((round - 1) * stages_of_a_round + stage);
            let until = u128::from(all) * done / u128::from(ROUNDS * stages_of_a_round);
            searchers.par_iter_mut().for_each(|s| match pressing {
                0 => s.explore(until as u64),
                _ => s.press((pressing - 1) as f64 / PRESSING as f64, until as u64),
            });
            let best = best(&searchers);
            if best.beats(&so_far) {
                gained = round;
            }
            let mut progress = told(&whole(&best), units(&searchers));
            if worse(&progress) {
                progress = Progress { units: progress.units, ..given };
            }
            let near = progress.usage >= NEAR_THE_LIMIT * progress.most;
            so_far = best;
            cut = watch(&progress).is_break();
            if cut || near {
                break 'search;
            }
        }
        searchers.iter_mut().for_each(|s| s.adopt(&so_far));
    }
    let (found, units) = (whole(&so_far), units(&searchers));
    let drafts = if worse(&told(&found, units)) { all_given.to_vec() } else { found };
    Some(Improved { drafts, units, stages, cut })
}

/// How many sheets from the first on are left as they are, because the search cannot hold
/// all at once. `None` when not even the last is small enough.
fn settled(items: &[Item], sheets: &[Draft]) -> Option<usize> {
    let (mut parts, mut kinds) = (0, vec![false; items.len()]);
    let mut first = sheets.len();
    for (i, sheet) in sheets.iter().enumerate().rev() {
        parts += sheet.placed.len();
        sheet.placed.iter().for_each(|p| kinds[p.item] = true);
        if parts > MOST_PARTS || kinds.iter().filter(|k| **k).count() > MOST_KINDS {
            break;
        }
        first = i;
    }
    (first < sheets.len()).then_some(first)
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
pub(super) struct Field {
    kit: Kit,
    pub(super) yards: Vec<Yard>,
    /// By yard, its stock and where its corner lies on the sheet.
    sheets: Vec<(usize, Room)>,
    parts: Vec<Seat>,
    /// By part, its item.
    pub(super) items: Vec<usize>,
    in_the_way: Vec<Seat>,
    /// Whether parts may change from sheet to sheet.
    roaming: bool,
    /// Where the sheets to be used first end, as far as they come first.
    first_end: f64,
}

impl Field {
    pub(super) fn new(task: &Task, filled: &[Draft]) -> Option<Self> {
        let Task { items, turns, stock, rules } = task;
        let rooms: Vec<Option<Room>> = stock.iter().map(|s| Room::new(s, rules)).collect();
        let mut rings = Vec::new();
        // By stock, the first of what is in the way on it.
        let mut first = Vec::new();
        for room in &rooms {
            first.push(items.len() + rings.len());
            rings.extend(room.iter().flat_map(|r| r.in_the_way.clone()));
        }
        let mut used = vec![false; items.len()];
        for placed in filled.iter().flat_map(|sheet| &sheet.placed) {
            used[placed.item] = true;
        }
        let kit = Kit::new(items, turns, &used, rules, &rings)?;
        // What is urgent stays on the early sheets it was laid on.
        let mut urgencies =
            items.iter().zip(&used).filter(|(_, used)| **used).map(|(i, _)| i.urgency);
        let first_urgency = urgencies.next();
        let roaming = urgencies.all(|u| Some(u) == first_urgency);
        let mut field = Self {
            kit,
            yards: Vec::new(),
            sheets: Vec::new(),
            parts: Vec::new(),
            items: Vec::new(),
            in_the_way: Vec::new(),
            roaming,
            first_end: f64::NEG_INFINITY,
        };
        let mut leading = true;
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
            leading = leading && stock[sheet.stock].first;
            if leading {
                field.first_end = x;
            }
            field.yards.push(yard);
            field.sheets.push((sheet.stock, room));
        }
        (!field.yards.is_empty()).then_some(field)
    }

    /// Every part where it lies at first.
    pub(super) fn ground(&self) -> Ground<'_> {
        let yards = self.yards.clone();
        let mut ground = Ground::new(&self.kit, yards, &self.parts, &self.in_the_way, self.roaming);
        ground.first_end = self.first_end;
        ground
    }

    /// An answer as sheets; those that hold nothing are left out.
    pub(super) fn drafts(&self, answer: &Answer) -> Vec<Draft> {
        let mut drafts: Vec<Draft> = self
            .sheets
            .iter()
            .map(|(stock, _)| Draft { stock: *stock, placed: Vec::new() })
            .collect();
        for seat in &answer.parts {
            let form = &self.kit.forms[seat.form];
            let middle = seat.x + (form.least.0 + form.most.0) / 2.0;
            let after = self.yards.partition_point(|y| y.low.0 <= middle);
            let i = after.saturating_sub(1);
            let room = &self.sheets[i].1;
            let offset = self.yards[i].low.0 - room.low.x as f64;
            let placed = self.kit.placed(seat.form, seat.x - offset, seat.y, room.corner);
            drafts[i].placed.push(placed);
        }
        drafts.retain(|d| !d.placed.is_empty());
        drafts
    }
}
