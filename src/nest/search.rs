//! A first layout made better, step by step, as long as the budget of work lasts.
//!
//! Parts are searched shorter on the sheets they lie on; then sheets are emptied or changed
//! for cheaper ones under pressure. Of all layouts that keep the rules the one that ranks
//! best goes on.

use crate::nest::Limits;
use crate::nest::Placed;
use crate::nest::Progress;
use crate::nest::Rules;
use crate::nest::Sheet;
use crate::nest::Watch;
use crate::nest::audit;
use crate::nest::improve;
use crate::nest::improve::Draft;
use crate::nest::improve::STAGE;
use crate::nest::pattern;
use crate::nest::rank::Rank;
use crate::nest::refit;
use crate::nest::refit::Partly;
use crate::nest::squeeze::squeeze;
use crate::nest::task::Task;
use crate::nest::usage::Filled;

/// Of the budget, the share of each of the later steps, where there is anything to do in
/// it: pressing sheets empty, pressing fillings in. Our choice.
const SHARE: u64 = 12;

/// So often at most sheets are pressed.
const PRESSES: u64 = 6;

/// The search as it stands: its budget, and who watches.
pub(super) struct Course<'a> {
    rules: Rules,
    watch: &'a Watch<'a>,
    shown: Progress,
    /// Units of work done.
    pub(super) units: u64,
    /// Stages gone through.
    pub(super) stages: u64,
    cut: bool,
}

impl Course<'_> {
    /// Whether another stage may begin.
    pub(super) fn goes_on(&self) -> bool {
        !self.cut && self.rules.stop_at.is_none_or(|stop| self.stages < stop)
    }

    /// Another stage is over that took so much work.
    pub(super) fn passed(&mut self, units: u64) {
        self.stages += 1;
        self.units += units;
        self.cut = (self.watch)(&Progress { units: self.units, ..self.shown }).is_break();
    }

    /// The budget of one of the later steps.
    pub(super) fn share(&self) -> u64 {
        self.rules.units / SHARE
    }
}

/// Searches on from a layout; `None` when that is not to be.
pub(super) fn search<'a>(
    task: &Task,
    watch: &'a Watch<'a>,
    first: &[Draft],
) -> Option<(Vec<Draft>, Course<'a>)> {
    let Task { items, stock, rules, .. } = *task;
    if rules.units == 0 || rules.stop_at == Some(0) || first.is_empty() {
        return None;
    }
    let steps = Steps { task: *task, limits: Limits::new(items, stock, rules) };
    let shown = steps.told(first, 0);
    if watch(&shown).is_break() {
        return None;
    }
    let start = steps.better(first.to_vec(), steps.patterned(first));
    let start = steps.emptiest_last(start);
    let pressed = start.len() > 1 || !refit::cheaper(stock, &start, 0).is_empty();
    let filled = items.iter().any(|item| item.fill > 0);
    let shares = u64::from(pressed) + u64::from(filled);
    let units = rules.units - shares * (rules.units / SHARE);
    let main = Task { rules: Rules { units, ..rules }, ..*task };
    let told = |drafts: &[Draft], units| steps.told(drafts, units);
    let found = improve::improve(&main, &start, &told, watch);
    let (units, stages, cut) = found.as_ref().map_or((0, 1, false), |f| (f.units, f.stages, f.cut));
    let best = steps.better(start, found.map(|f| f.drafts));
    let mut course = Course { rules, watch, shown: steps.told(&best, units), units, stages, cut };
    let best = steps.pressed(refit::refit(task, best), &mut course);
    Some((best, course))
}

/// The job, as the steps of the search need it.
struct Steps<'a> {
    task: Task<'a>,
    limits: Limits<'a>,
}

impl Steps<'_> {
    fn told(&self, drafts: &[Draft], units: u64) -> Progress {
        let sheets: Vec<Sheet> = drafts.iter().map(Draft::unmeasured).collect();
        let Filled { gross, most } = self.limits.filled(&sheets);
        Progress { units, sheets: sheets.len(), usage: gross, most }
    }

    fn rank(&self, drafts: &[Draft]) -> Rank {
        Rank::of(&self.task, drafts)
    }

    /// The other one where it keeps the rules and ranks better.
    fn better(&self, drafts: Vec<Draft>, other: Option<Vec<Draft>>) -> Vec<Draft> {
        let keeps = |d: &Draft| {
            let Task { items, stock, rules, .. } = &self.task;
            audit::survey(items, &stock[d.stock], rules, &d.placed).is_ok()
        };
        match other {
            Some(other) if self.rank(&other) < self.rank(&drafts) && other.iter().all(keeps) => {
                other
            }
            _ => drafts,
        }
    }

    /// The job laid in patterns on the same sheets.
    fn patterned(&self, first: &[Draft]) -> Option<Vec<Draft>> {
        let used: Vec<usize> = first.iter().map(|d| d.stock).collect();
        let laid = pattern::start(&self.task, &used)?;
        let draft = |(stock, placed): (usize, Vec<Placed>)| Draft { stock, placed };
        let mut sheets: Vec<Draft> = used.into_iter().zip(laid).map(draft).collect();
        sheets.retain(|s| !s.placed.is_empty());
        Some(sheets)
    }

    /// Sheets to be used first, then the fuller ones: the search empties the last. They keep
    /// their order where some parts are more urgent.
    fn emptiest_last(&self, mut drafts: Vec<Draft>) -> Vec<Draft> {
        let urgency = |p: &Placed| self.task.items[p.item].urgency;
        let mut all = drafts.iter().flat_map(|d| &d.placed).map(urgency);
        let first = all.next();
        if all.all(|u| Some(u) == first) {
            let fullness = |d: &Draft| {
                let area = |p: &Placed| self.task.items[p.item].region.outer().area();
                d.placed.iter().map(area).sum::<f64>() / self.task.stock[d.stock].region.area()
            };
            // Sheets that are as good as alike stay as they are.
            let parts_per_million = |d: &Draft| (fullness(d) * 1e6).round() as i64;
            let first = |d: &Draft| self.task.stock[d.stock].first;
            drafts.sort_by_cached_key(|d| (!first(d), -parts_per_million(d)));
        }
        drafts
    }

    /// Sheets emptied into the others, or changed for cheaper ones, where their parts come
    /// free of each other there.
    fn pressed(&self, mut best: Vec<Draft>, course: &mut Course) -> Vec<Draft> {
        let budget = course.share();
        let (mut left, each) = (budget, (budget / 3).min(4 * STAGE));
        for _ in 0..PRESSES {
            let tried = self.crowded(&best);
            let before = self.rank(&best);
            let mut gained = false;
            for (drafts, more) in tried {
                if left == 0 || !course.goes_on() {
                    return best;
                }
                let (found, units) = squeeze(&self.task, &drafts, &more, each.min(left));
                left -= units.clamp(1, left);
                course.passed(units);
                best = self.better(best, found);
                if self.rank(&best) < before {
                    gained = true;
                    break;
                }
            }
            if !gained {
                break;
            }
        }
        best
    }

    /// Layouts that would be better if the parts left over in them found room, and by area
    /// they may: the fewest left over first.
    fn crowded(&self, best: &[Draft]) -> Vec<Partly> {
        let now = self.rank(best);
        let last_first = (0..best.len()).rev().take(refit::SHEETS);
        let emptied = last_first.clone().filter_map(|i| refit::emptied(&self.task, best, i));
        let changed = last_first.flat_map(|i| {
            let others = refit::cheaper(self.task.stock, best, i);
            let on = move |other| refit::on_another(&self.task, best, i, other);
            others.into_iter().filter_map(on).collect::<Vec<_>>()
        });
        let mut counts = vec![0; self.task.items.len()];
        best.iter().flat_map(|d| &d.placed).for_each(|p| counts[p.item] += 1);
        let taken = self.limits.taken(&counts);
        let hopeful = |(drafts, left): &Partly| {
            let room: f64 =
                drafts.iter().map(|d| self.limits.room_area(&self.task.stock[d.stock])).sum();
            // As if the parts left over weighed nothing: whether it is worth the trouble.
            !left.is_empty() && taken <= room && self.rank(drafts) < now
        };
        let mut all: Vec<Partly> = emptied.chain(changed).filter(hopeful).collect();
        let area = |item: &usize| self.task.items[*item].region.outer().area();
        let over = |left: &[usize]| left.iter().map(area).sum::<f64>();
        all.sort_by(|a, b| over(&a.1).total_cmp(&over(&b.1)));
        all.truncate(4);
        all
    }
}
