//! A first layout made better, step by step, as long as the budget of work lasts.
//!
//! Parts are searched shorter on the sheets they lie on; then sheets are emptied or changed
//! for cheaper ones under pressure. Of all layouts that keep the rules the one that ranks
//! best goes on.

use crate::nest::overlap::improve;
use crate::nest::overlap::improve::STAGE;
use crate::nest::overlap::insert;
use crate::nest::overlap::insert::squeeze;
use crate::nest::overlap::setup::Tools;
use crate::nest::pattern::job::place_job;
use crate::nest::problem::layout::MOST_PARTS;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Sheet;
use crate::nest::problem::progress::Progress;
use crate::nest::problem::progress::Watch;
use crate::nest::problem::rules::Rules;
use crate::nest::sheets::eliminate;
use crate::nest::sheets::eliminate::Partly;
use crate::nest::sheets::eliminate::Refit;
use crate::nest::task::Task;
use crate::nest::value::bound::Limits;
use crate::nest::value::candidate::Draft;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::rank::Rank;
use crate::nest::value::usage::Filled;
use std::cmp::Reverse;

/// Each of the later steps, pressing sheets empty and pressing fillings in, gets one part in
/// so many of the budget, where there is anything to do in it. Our choice.
const SHARE: u64 = 12;

/// Sheets are pressed in no more rounds than this, in each of them so many layouts, each with
/// no more than one part in so many of the step's budget. Our choice.
const ROUNDS: usize = 6;
const LAYOUTS: usize = 4;
const TRIES: u64 = 3;

/// Most units of work between two moments at which whoever watches is asked. Our choice:
/// about a second of two cores.
pub(crate) const LONGEST: u64 = 4 * STAGE;

/// The search as it stands: its budget, and who watches.
pub(crate) struct Course<'a> {
    rules: Rules,
    watch: &'a Watch<'a>,
    shown: Progress,
    /// Units of work done.
    pub(crate) units: u64,
    /// Stages gone through.
    pub(crate) stages: u64,
    cut: bool,
}

impl Course<'_> {
    /// Whether another stage may begin.
    pub(crate) fn goes_on(&self) -> bool {
        !self.cut && self.rules.stop_at.is_none_or(|stop| self.stages < stop)
    }

    /// Another stage is over that took so much work.
    pub(crate) fn passed(&mut self, units: u64) {
        self.stages += 1;
        self.units += units;
        self.cut = (self.watch)(&Progress { units: self.units, ..self.shown }).is_break();
    }

    /// The budget of one of the later steps.
    pub(crate) fn share(&self) -> u64 {
        self.rules.units / SHARE
    }
}

/// Searches on from a layout; `None` when that is not to be.
pub(crate) fn search<'a>(
    task: &Task,
    watch: &'a Watch<'a>,
    first: &[Draft],
) -> Option<(Vec<Draft>, Course<'a>)> {
    let Task { items, stock, rules, .. } = *task;
    if rules.units == 0 || rules.stop_at == Some(0) || first.is_empty() {
        return None;
    }
    let limits = Limits::new(items, stock, rules);
    let steps = Steps { task: *task, limits: &limits };
    if watch(&steps.told(first, 0)).is_break() {
        return None;
    }
    let start = steps.better(first.to_vec(), steps.patterned(first));
    let sorted = steps.emptiest_last(start.clone());
    let pressed = steps.may_press(&sorted);
    let laid = start.iter().map(|d| d.placed.len() as u64).sum::<u64>();
    let filled = items.iter().any(|item| item.fill > 0);
    let shares = [pressed, laid < task.asked(), filled].map(u64::from).iter().sum::<u64>();
    let units = rules.units - shares * (rules.units / SHARE);
    let main = Task { rules: Rules { units, ..rules }, ..*task };
    let told = |drafts: &[Draft], units| steps.told(drafts, units);
    let found = improve::improve(&main, &sorted, &told, watch);
    let (units, stages, cut) = found.as_ref().map_or((0, 1, false), |f| (f.units, f.stages, f.cut));
    let best = steps.better(start, found.map(|f| f.drafts));
    let mut refit = Refit::new(*task, &limits);
    let best = refit.refit(best);
    let mut course = Course { rules, watch, shown: steps.told(&best, units), units, stages, cut };
    let best = if pressed { steps.pressed(&mut refit, best, &mut course) } else { best };
    Some((best, course))
}

/// The job, as the steps of the search need it.
struct Steps<'a> {
    task: Task<'a>,
    limits: &'a Limits<'a>,
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

    /// The other one where it keeps the rules and has more parts or ranks better.
    fn better(&self, drafts: Vec<Draft>, other: Option<Vec<Draft>>) -> Vec<Draft> {
        let parts = |drafts: &[Draft]| drafts.iter().map(|d| d.placed.len()).sum::<usize>();
        let worth = |drafts: &[Draft]| (Reverse(parts(drafts)), self.rank(drafts));
        match other {
            Some(other)
                if worth(&other) < worth(&drafts) && other.iter().all(|d| d.keeps(&self.task)) =>
            {
                other
            }
            _ => drafts,
        }
    }

    /// The job laid in patterns on the same sheets, all of it, though some of it found no
    /// place there at first. `None` where it is too much for any sheets.
    fn patterned(&self, first: &[Draft]) -> Option<Vec<Draft>> {
        if self.task.asked() > u64::from(MOST_PARTS) {
            return None;
        }
        let used: Vec<usize> = first.iter().map(|d| d.stock).collect();
        let laid = place_job(&self.task, &used)?;
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
                let area = |p: &Placed| self.task.items[p.item].bulk();
                d.placed.iter().map(area).sum::<f64>() / self.task.stock[d.stock].region.area()
            };
            // Sheets that are as good as alike stay as they are.
            let parts_per_million = |d: &Draft| (fullness(d) * 1e6).round() as i64;
            let first = |d: &Draft| self.task.stock[d.stock].first;
            drafts.sort_by_cached_key(|d| (!first(d), -parts_per_million(d)));
        }
        drafts
    }

    /// Whether there may be a sheet less or a cheaper one, and the job is small enough to try.
    fn may_press(&self, drafts: &[Draft]) -> bool {
        let counts = counts_on(drafts, self.task.items.len());
        let other = || !eliminate::cheaper(self.task.stock, drafts, 0).is_empty();
        drafts.len() <= eliminate::MOST_SHEETS
            && insert::is_small_enough(&counts)
            && (drafts.len() > 1 || other())
    }

    /// Sheets emptied into the others, or changed for cheaper ones, where their parts come
    /// free of each other there.
    fn pressed(&self, refit: &mut Refit, mut best: Vec<Draft>, course: &mut Course) -> Vec<Draft> {
        let counts = counts_on(&best, self.task.items.len());
        let Some(tools) = Tools::new(&self.task, &counts) else { return best };
        let mut left = course.share();
        let each = (left / TRIES).min(LONGEST);
        for _ in 0..ROUNDS {
            if !course.goes_on() {
                break;
            }
            let before = self.rank(&best);
            let mut gained = false;
            for (drafts, more) in self.crowded(refit, &best, &before) {
                if left == 0 || each == 0 || !course.goes_on() {
                    return best;
                }
                let (found, units) = squeeze(&self.task, &tools, &drafts, &more, each.min(left));
                left -= units.clamp(1, left);
                best = self.better(best, found);
                gained = self.rank(&best) < before;
                course.shown = self.told(&best, course.units);
                course.passed(units);
                if gained {
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
    fn crowded(&self, refit: &mut Refit, best: &[Draft], now: &Rank) -> Vec<Partly> {
        let (items, stock) = (self.task.items, self.task.stock);
        let last_first = || (0..best.len()).rev().take(eliminate::SHEETS);
        let mut all: Vec<Partly> = last_first().filter_map(|i| refit.emptied(best, i)).collect();
        for i in last_first() {
            let others = eliminate::cheaper(stock, best, i);
            all.extend(others.into_iter().filter_map(|other| refit.on_another(best, i, other)));
        }
        let taken = self.limits.taken(&counts_on(best, items.len()));
        all.retain(|(drafts, left)| {
            let rooms = drafts.iter().map(|d| self.limits.room_area(&stock[d.stock]));
            // As if the parts left over weighed nothing: whether it is worth the trouble.
            !left.is_empty() && taken <= rooms.sum() && self.rank(drafts) < *now
        });
        let over = |left: &[usize]| left.iter().map(|item| items[*item].bulk()).sum::<f64>();
        all.sort_by(|a, b| over(&a.1).total_cmp(&over(&b.1)));
        all.truncate(LAYOUTS);
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::Vertex;
    use crate::geom::rectangle;
    use crate::nest::nest;
    use crate::nest::pack;
    use crate::nest::problem::item::Item;
    use crate::nest::problem::progress::unwatched;
    use crate::nest::problem::stock::Stock;
    use crate::nest::shape::orientation::turns;
    use crate::nest::task::Masks;
    use crate::nest::value::audit;

    const RULES: Rules = Rules {
        gap: 3.0,
        margin: 5.0,
        least_window: 0.0,
        window_gap: 0.0,
        least_remnant: 100.0,
        units: 200_000,
        stop_at: None,
        seed: 1,
    };

    fn gussets(quantity: u32, urgency: u32) -> Item {
        let corners = [(0.0, 0.0), (120.0, 0.0), (120.0, 12.0), (12.0, 90.0), (0.0, 90.0)];
        let rim = Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap();
        Item { urgency, ..Item::new(Region::solid(rim), quantity) }
    }

    fn plate(width: f64, height: f64) -> Item {
        Item::new(Region::solid(rectangle(Point::ZERO, width, height, 0.0).unwrap()), 1)
    }

    fn sheets(count: u32) -> [Stock; 1] {
        [Stock { count: Some(count), ..Stock::whole(1000.0, 500.0).unwrap() }]
    }

    /// By sheet, how many parts; and how many are left over.
    fn laid(items: &[Item], stock: &[Stock], rules: Rules) -> (Vec<usize>, u32) {
        let layout = nest(items, stock, rules, &unwatched);
        assert_eq!(audit::audit(items, stock, rules, &layout), Ok(()));
        let laid = layout.sheets.iter().map(|s| s.placed.len()).collect();
        (laid, layout.unplaced.iter().map(|u| u.quantity).sum())
    }

    /// How many parts the first packing leaves over.
    fn left_over_at_first(items: &[Item], stock: &[Stock]) -> u32 {
        let turns = turns(items, stock, &RULES);
        let masks = Masks::default();
        let task = Task { items, turns: &turns, stock, rules: RULES, masks: &masks };
        let packed = pack::pack(task, pack::Care::Full);
        packed.unplaced.iter().map(|u| u.quantity).sum()
    }

    /// One by one 51 go on a sheet, in patterns and pressed some more.
    #[test]
    fn what_found_no_sheet_at_first_is_laid_where_there_comes_to_be_room() {
        let (few, many) = ([gussets(58, 0)], [gussets(90, 0)]);
        assert!(left_over_at_first(&few, &sheets(1)) > 0);
        for units in [0, RULES.units] {
            let rules = Rules { units, ..RULES };
            assert_eq!(laid(&few, &sheets(1), rules), (vec![58], 0));
            // What goes on no sheet whatever is done is still told.
            let (all, left) = laid(&many, &sheets(1), rules);
            assert!(all[0] >= 58 && all[0] as u32 + left == 90, "{all:?} {left}");
        }
    }

    #[test]
    fn what_is_left_over_goes_on_a_sheet_that_is_set_free() {
        let items = [gussets(58, 1), plate(990.0, 490.0)];
        assert_eq!(left_over_at_first(&items, &sheets(2)), 1);
        assert_eq!(laid(&items, &sheets(2), RULES), (vec![58, 1], 0));
    }

    /// Half a gap of 1/16 in is no whole number of micrometres.
    #[test]
    fn parts_at_the_very_rim_are_on_their_sheet_in_any_units() {
        let rules = Rules { gap: 1.5875, margin: 3.175, ..RULES };
        let square = |n| Item { quantity: n, ..plate(90.0, 90.0) };
        // Two columns of five beside each other, and one sheet for all.
        let stock = [Stock::whole(300.0, 464.0).unwrap(), Stock::whole(120.0, 464.0).unwrap()];
        let (all, left) = laid(&[square(14)], &stock, rules);
        assert_eq!((all.iter().sum::<usize>(), left), (14, 0));
        assert_eq!(all.len(), 1, "{all:?}");
    }
}
