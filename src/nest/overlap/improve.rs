//! The search for a shorter layout, within a budget of work.
//!
//! A fixed number of searchers with separate random numbers work side by side and compare their
//! results at fixed points. So the result depends on the seed and the budget, and not on how many
//! threads there are or how fast they run.

use crate::nest::course::Course;
use crate::nest::overlap::compress::Answer;
use crate::nest::overlap::compress::Searcher;
use crate::nest::overlap::setup::Setup;
use crate::nest::overlap::setup::Tools;
use crate::nest::problem::item::Item;
use crate::nest::problem::progress::Progress;
use crate::nest::problem::rules::Rules;
use crate::nest::random::Rng;
use crate::nest::task::Task;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts_on;
use rayon::prelude::*;
use std::ops::ControlFlow;

/// Searchers side by side. Our choice: as many as a small machine has cores.
pub(crate) const SEARCHERS: u64 = 2;

/// Rounds, after each of which the searchers compare their results (our choice); the last of them
/// compress. One in five, as in arXiv 2509.13329.
const ROUNDS: u64 = 40;
const COMPRESSION_ROUNDS: u64 = 8;

/// Maximum number of units of work in a stage, after which the watcher is called. Our choice: about
/// a quarter of a second of two cores.
pub(crate) const STAGE: u64 = 250_000;

/// Rounds without a gain after which compression begins at once. Our choice: a quarter of all.
const IDLE: u64 = ROUNDS / 4;

/// The search ends at this share of the upper bound of the usage. Our choice.
const NEAR_THE_LIMIT: f64 = 0.99;

/// Maximum number of parts, and of kinds of part, in one search. Our choice: the tables then stay
/// below some 200 MB.
const MAX_PARTS: usize = 2500;
pub(crate) const MAX_KINDS: usize = 60;

/// Positions evaluated in one unit of work. Our choice.
pub(crate) const POSITIONS: u64 = 10;

/// The progress of a search with these sheets after this many units of work.
type ProgressOf<'a> = dyn Fn(&[Candidate], u64) -> Progress + 'a;

/// Improves filled sheets; the result is never worse. `None` when there is nothing to search.
pub(crate) fn improve(
    task: &Task,
    sheets: &[Candidate],
    progress_of: &ProgressOf,
    course: &mut Course,
) -> Option<Vec<Candidate>> {
    let Task { items, rules, .. } = task;
    let (settled, searched) = sheets.split_at(settled(items, sheets)?);
    let tools = course.stage(|| Tools::new(task, &counts_on(searched, items.len())))??;
    let setup = Setup::new(task, &tools, searched)?;
    let given = progress_of(sheets, 0);
    let start = Start { given, settled, setup: &setup, progress_of };
    let mut search = course.stage(|| Search::new(&setup, rules))??;
    while !search.is_finished() && search.schedule.next_round() {
        if search.round(&start, course).is_break() {
            break;
        }
        search.adopt_best();
    }
    let found = start.with(&search.best);
    let worse = start.is_beaten_by(&progress_of(&found, course.units));
    Some(if worse { sheets.to_vec() } else { found })
}

/// The sheets that the search starts from.
struct Start<'a> {
    given: Progress,
    /// Sheets that are not changed; the others are searched.
    settled: &'a [Candidate],
    setup: &'a Setup<'a>,
    progress_of: &'a ProgressOf<'a>,
}

impl Start<'_> {
    /// All sheets, those searched as in an answer.
    fn with(&self, answer: &Answer) -> Vec<Candidate> {
        [self.settled, &self.setup.candidates(&answer.parts)].concat()
    }

    fn is_beaten_by(&self, progress: &Progress) -> bool {
        (progress.sheets, -progress.usage) > (self.given.sheets, -self.given.usage)
    }

    /// The progress with an answer, or with the sheets given where these are better.
    fn progress(&self, answer: &Answer, units: u64) -> Progress {
        let progress = (self.progress_of)(&self.with(answer), units);
        if self.is_beaten_by(&progress) { Progress { units, ..self.given } } else { progress }
    }
}

/// How the work is divided: rounds of exploration, then rounds of compression, each in stages.
struct Schedule {
    /// Positions that each searcher may evaluate in all.
    positions: u64,
    stages_of_a_round: u64,
    /// The present round, from 1.
    round: u64,
    /// Which round of compression this is; 0 during exploration.
    compression: u64,
    /// The last round with a gain.
    gained: u64,
}

impl Schedule {
    fn new(rules: &Rules) -> Self {
        Self {
            positions: rules.units.saturating_mul(POSITIONS) / SEARCHERS,
            stages_of_a_round: (rules.units / ROUNDS).div_ceil(STAGE).max(1),
            round: 0,
            compression: 0,
            gained: 0,
        }
    }

    /// Begins a round; false when there is none left.
    fn next_round(&mut self) -> bool {
        if self.round >= ROUNDS || self.compression >= COMPRESSION_ROUNDS {
            return false;
        }
        self.round += 1;
        let late = self.round > ROUNDS - COMPRESSION_ROUNDS || self.round > self.gained + IDLE;
        if self.compression > 0 || late {
            self.compression += 1;
        }
        true
    }

    /// Positions that each searcher has evaluated at the end of a stage of the present round.
    fn until(&self, stage: u64) -> u64 {
        let done = u128::from((self.round - 1) * self.stages_of_a_round + stage);
        let until = u128::from(self.positions) * done / u128::from(ROUNDS * self.stages_of_a_round);
        until as u64
    }

    /// Lets all searchers work through a stage of the present round.
    fn work(&self, searchers: &mut [Searcher], stage: u64) {
        let until = self.until(stage);
        searchers.par_iter_mut().for_each(|s| match self.compression {
            0 => s.explore(until),
            _ => s.compress((self.compression - 1) as f64 / COMPRESSION_ROUNDS as f64, until),
        });
    }
}

/// The search as it runs.
struct Search<'a> {
    searchers: Vec<Searcher<'a>>,
    best: Answer,
    schedule: Schedule,
}

impl<'a> Search<'a> {
    /// `None` when the parts of the start cannot be separated, or the work must end.
    fn new(setup: &'a Setup, rules: &Rules) -> Option<Self> {
        let placements = setup.placements();
        let searcher = |i: u64| {
            // Every other searcher skews no further part: it searches fewer forms more closely.
            let mut placements = placements.clone();
            placements.unskewed_only = i % 2 == 1;
            Searcher::new(placements, &setup.containers, &setup.items, Rng::new(rules.seed, i))
        };
        let searchers = (0..SEARCHERS).map(searcher).collect::<Option<Vec<_>>>()?;
        let (best, schedule) = (best(&searchers), Schedule::new(rules));
        Some(Self { searchers, best, schedule })
    }

    /// Whether no searcher can gain anything more.
    fn is_finished(&self) -> bool {
        self.searchers.iter().all(|s| s.finished)
    }

    /// Units of work done.
    fn units(&self) -> u64 {
        self.searchers.iter().map(Searcher::asked).sum::<u64>() / POSITIONS
    }

    /// Works through the stages of a round; breaks where the search ends.
    fn round(&mut self, start: &Start, course: &mut Course) -> ControlFlow<()> {
        for stage in 1..=self.schedule.stages_of_a_round {
            let work = || self.schedule.work(&mut self.searchers, stage);
            if course.stage(work).is_none() {
                return ControlFlow::Break(());
            }
            course.units = self.units();
            let best = best(&self.searchers);
            if best.beats(&self.best) {
                self.schedule.gained = self.schedule.round;
            }
            self.best = best;
            let progress = start.progress(&self.best, course.units);
            course.show(progress);
            if !start.is_beaten_by(&progress) {
                course.found(|| start.with(&self.best).iter().map(Candidate::unmeasured).collect());
            }
            if progress.usage >= NEAR_THE_LIMIT * progress.max {
                return ControlFlow::Break(());
            }
        }
        ControlFlow::Continue(())
    }

    /// Lets every searcher continue from the best answer.
    fn adopt_best(&mut self) {
        self.searchers.iter_mut().for_each(|s| s.adopt(&self.best));
    }
}

/// How many sheets, from the first on, are not changed because the search cannot handle all of them
/// at once. `None` when not even the last is small enough.
fn settled(items: &[Item], sheets: &[Candidate]) -> Option<usize> {
    let (mut parts, mut kinds) = (0, vec![false; items.len()]);
    let mut first = sheets.len();
    for (i, sheet) in sheets.iter().enumerate().rev() {
        parts += sheet.placed.len();
        sheet.placed.iter().for_each(|p| kinds[p.item] = true);
        if parts > MAX_PARTS || kinds.iter().filter(|k| **k).count() > MAX_KINDS {
            break;
        }
        first = i;
    }
    (first < sheets.len()).then_some(first)
}

/// The best answer; of equals the first.
fn best(searchers: &[Searcher]) -> Answer {
    let mut best = &searchers[0].best;
    for searcher in searchers {
        if searcher.best.beats(best) {
            best = &searcher.best;
        }
    }
    best.clone()
}
