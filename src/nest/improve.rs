//! A layout made better by search, within a budget of work.
//!
//! A fixed number of searchers, each with its own chance, work side by side and compare
//! what they have at fixed points. So what comes out depends on the seed and the budget,
//! and not on how many threads there are or how fast they run.

use crate::nest::Item;
use crate::nest::Progress;
use crate::nest::Watch;
use crate::nest::dice::Dice;
use crate::nest::draft::Draft;
use crate::nest::draft::counts_on;
use crate::nest::field::Field;
use crate::nest::field::Tools;
use crate::nest::task::Task;
use crate::nest::tighten::Answer;
use crate::nest::tighten::Searcher;
use rayon::prelude::*;

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
pub(super) const MOST_KINDS: usize = 60;

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
    let tools = Tools::new(task, &counts_on(sheets, items.len()))?;
    let field = Field::new(task, &tools, sheets)?;
    let yards = &field.yards;
    let ground = field.ground();
    let all = rules.units.saturating_mul(POSITIONS) / SEARCHERS;
    let searcher = |i: u64| {
        // Every other one leans nothing itself: fewer forms are searched more closely.
        let mut ground = ground.clone();
        ground.level = i % 2 == 1;
        Searcher::new(ground, yards, &field.items, Dice::new(rules.seed, i))
    };
    let whole = |answer: &Answer| [settled, &field.drafts(&answer.parts)].concat();
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
