//! A layout made better by search, within a budget of work.
//!
//! A fixed number of searchers, each with its own chance, work side by side and compare
//! what they have at fixed points. So what comes out depends on the seed and the budget,
//! and not on how many threads there are or how fast they run.

use crate::nest::overlap::compress::Answer;
use crate::nest::overlap::compress::Searcher;
use crate::nest::overlap::setup::Field;
use crate::nest::overlap::setup::Tools;
use crate::nest::problem::item::Item;
use crate::nest::problem::progress::Progress;
use crate::nest::problem::progress::Watch;
use crate::nest::problem::rules::Rules;
use crate::nest::random::Dice;
use crate::nest::task::Task;
use crate::nest::value::candidate::Draft;
use crate::nest::value::candidate::counts_on;
use rayon::prelude::*;
use std::ops::ControlFlow;

/// So many search side by side. Our choice: as many as a small machine has cores.
pub(crate) const SEARCHERS: u64 = 2;

/// Times they compare what they have; in the last of them what is found is only pressed
/// together. A fifth, after arXiv 2509.13329.
const ROUNDS: u64 = 40;
const PRESSING: u64 = 8;

/// Most units of work between two stages, at the end of which whoever watches is asked.
/// Our choice: about a quarter of a second of two cores.
pub(crate) const STAGE: u64 = 250_000;

/// So many rounds without a gain, a quarter of all, and the pressing begins at once.
const IDLE: u64 = ROUNDS / 4;

/// Usage of this share of what is possible is good enough.
const NEAR_THE_LIMIT: f64 = 0.99;

/// Most parts and most kinds of them that are searched at once. Our choice: with them the
/// tables of a search stay below some 200 MB.
const MOST_PARTS: usize = 2500;
pub(crate) const MOST_KINDS: usize = 60;

/// Positions asked for in one unit of work.
pub(crate) const POSITIONS: u64 = 10;

/// What came of a search.
pub(crate) struct Improved {
    pub(crate) drafts: Vec<Draft>,
    /// Units of work done.
    pub(crate) units: u64,
    /// Stages gone through, with the start as the first of them.
    pub(crate) stages: u64,
    /// Whether whoever watches has ended it.
    pub(crate) cut: bool,
}

/// Says how a search stands with these sheets after so many units of work.
type ProgressOf<'a> = dyn Fn(&[Draft], u64) -> Progress + 'a;

/// Searches on from sheets already filled; what comes back is no worse. `None` when there
/// is nothing to search with.
pub(crate) fn improve(
    task: &Task,
    sheets: &[Draft],
    progress_of: &ProgressOf,
    watch: &Watch,
) -> Option<Improved> {
    let Task { items, rules, .. } = task;
    let (settled, searched) = sheets.split_at(settled(items, sheets)?);
    let tools = Tools::new(task, &counts_on(searched, items.len()))?;
    let field = Field::new(task, &tools, searched)?;
    let given = progress_of(sheets, 0);
    let start = Start { given, settled, field: &field, progress_of };
    let mut search = Search::new(&field, rules)?;
    while !search.is_finished() && search.schedule.next_round() {
        if search.round(&start, rules.stop_at, watch).is_break() {
            break;
        }
        search.adopt_best();
    }
    let (found, units) = (start.with(&search.best), search.units());
    let worse = start.is_beaten_by(&progress_of(&found, units));
    let drafts = if worse { sheets.to_vec() } else { found };
    Some(Improved { drafts, units, stages: search.stages, cut: search.cut })
}

/// What the search begins with, and is compared to.
struct Start<'a> {
    given: Progress,
    /// Sheets that are left as they are; the others are searched.
    settled: &'a [Draft],
    field: &'a Field<'a>,
    progress_of: &'a ProgressOf<'a>,
}

impl Start<'_> {
    /// All sheets, those searched as in an answer.
    fn with(&self, answer: &Answer) -> Vec<Draft> {
        [self.settled, &self.field.drafts(&answer.parts)].concat()
    }

    fn is_beaten_by(&self, progress: &Progress) -> bool {
        (progress.sheets, -progress.usage) > (self.given.sheets, -self.given.usage)
    }

    /// How the search stands with an answer; with the sheets given where these are better.
    fn progress(&self, answer: &Answer, units: u64) -> Progress {
        let progress = (self.progress_of)(&self.with(answer), units);
        if self.is_beaten_by(&progress) { Progress { units, ..self.given } } else { progress }
    }
}

/// How the work is shared out: rounds of exploration, then rounds of compression, each of
/// them in stages.
struct Schedule {
    /// Positions each searcher may ask for in all.
    positions: u64,
    stages_of_a_round: u64,
    /// The present round, from 1.
    round: u64,
    /// How many rounds of compression there are with the present one; 0 while exploring.
    pressing: u64,
    /// The last round with a gain.
    gained: u64,
}

impl Schedule {
    fn new(rules: &Rules) -> Self {
        Self {
            positions: rules.units.saturating_mul(POSITIONS) / SEARCHERS,
            stages_of_a_round: (rules.units / ROUNDS).div_ceil(STAGE).max(1),
            round: 0,
            pressing: 0,
            gained: 0,
        }
    }

    /// Begins a round; false when there is none left.
    fn next_round(&mut self) -> bool {
        if self.round >= ROUNDS || self.pressing >= PRESSING {
            return false;
        }
        self.round += 1;
        let late = self.round > ROUNDS - PRESSING || self.round > self.gained + IDLE;
        if self.pressing > 0 || late {
            self.pressing += 1;
        }
        true
    }

    /// Positions each searcher has asked for at the end of a stage of the present round.
    fn until(&self, stage: u64) -> u64 {
        let done = u128::from((self.round - 1) * self.stages_of_a_round + stage);
        let until = u128::from(self.positions) * done / u128::from(ROUNDS * self.stages_of_a_round);
        until as u64
    }

    /// Lets all searchers work through a stage of the present round.
    fn work(&self, searchers: &mut [Searcher], stage: u64) {
        let until = self.until(stage);
        searchers.par_iter_mut().for_each(|s| match self.pressing {
            0 => s.explore(until),
            _ => s.press((self.pressing - 1) as f64 / PRESSING as f64, until),
        });
    }
}

/// The search as it runs.
struct Search<'a> {
    searchers: Vec<Searcher<'a>>,
    best: Answer,
    schedule: Schedule,
    stages: u64,
    cut: bool,
}

impl<'a> Search<'a> {
    /// `None` when the parts of the start do not come free of each other.
    fn new(field: &'a Field, rules: &Rules) -> Option<Self> {
        let ground = field.ground();
        let searcher = |i: u64| {
            // Every other one leans nothing itself: fewer forms are searched more closely.
            let mut ground = ground.clone();
            ground.level = i % 2 == 1;
            Searcher::new(ground, &field.yards, &field.items, Dice::new(rules.seed, i))
        };
        let searchers = (0..SEARCHERS).map(searcher).collect::<Option<Vec<_>>>()?;
        let (best, schedule) = (best(&searchers), Schedule::new(rules));
        Some(Self { searchers, best, schedule, stages: 1, cut: false })
    }

    /// Whether no searcher can gain anything.
    fn is_finished(&self) -> bool {
        self.searchers.iter().all(|s| s.finished)
    }

    /// Units of work done.
    fn units(&self) -> u64 {
        self.searchers.iter().map(Searcher::asked).sum::<u64>() / POSITIONS
    }

    /// Goes through the stages of a round; breaks off where the search ends.
    fn round(&mut self, start: &Start, stop_at: Option<u64>, watch: &Watch) -> ControlFlow<()> {
        for stage in 1..=self.schedule.stages_of_a_round {
            if stop_at.is_some_and(|stop| self.stages >= stop) {
                return ControlFlow::Break(());
            }
            self.stages += 1;
            self.schedule.work(&mut self.searchers, stage);
            let best = best(&self.searchers);
            if best.beats(&self.best) {
                self.schedule.gained = self.schedule.round;
            }
            self.best = best;
            let progress = start.progress(&self.best, self.units());
            self.cut = watch(&progress).is_break();
            if self.cut || progress.usage >= NEAR_THE_LIMIT * progress.most {
                return ControlFlow::Break(());
            }
        }
        ControlFlow::Continue(())
    }

    /// Lets every searcher go on from the best answer.
    fn adopt_best(&mut self) {
        self.searchers.iter_mut().for_each(|s| s.adopt(&self.best));
    }
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
