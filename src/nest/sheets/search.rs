//! The search: a first layout improved step by step, as long as the budget lasts.
//!
//! Overlap minimisation first shortens the layout; then sheets are emptied or exchanged for cheaper
//! ones by insertion. Of all valid layouts the one that ranks best is kept.

use crate::nest::course::Course;
use crate::nest::overlap::improve;
use crate::nest::overlap::improve::STAGE;
use crate::nest::overlap::insert;
use crate::nest::overlap::insert::insert;
use crate::nest::overlap::setup::Tools;
use crate::nest::pattern::job::place_job;
use crate::nest::problem::layout::MAX_PARTS;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Sheet;
use crate::nest::problem::progress::Progress;
use crate::nest::problem::rules::Rules;
use crate::nest::sheets::eliminate;
use crate::nest::sheets::eliminate::Elimination;
use crate::nest::sheets::eliminate::Partly;
use crate::nest::task::Task;
use crate::nest::value::bound::Limits;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts_on;
use crate::nest::value::rank::Rank;
use crate::nest::value::usage::SheetUsage;
use std::cmp::Reverse;

/// Maximum number of rounds of insertion to eliminate sheets, the layouts tried in each, and the
/// share of the step's budget for one of them, as one part in so many. Our choice.
const ROUNDS: usize = 6;
const LAYOUTS: usize = 4;
const TRIES: u64 = 3;

/// Maximum number of units of work in one insertion. Our choice: about a second of two cores.
pub(crate) const LONGEST: u64 = 4 * STAGE;

/// Improves a layout; where there is no search it stays as it is.
pub(crate) fn search(task: &Task, course: &mut Course, first: Vec<Candidate>) -> Vec<Candidate> {
    let Task { items, stock, rules, .. } = *task;
    if rules.units == 0 || first.is_empty() || !course.may_continue() {
        return first;
    }
    let limits = Limits::new(items, stock, rules);
    let steps = Steps { task: *task, limits: &limits };
    course.show(steps.progress(&first, 0));
    let patterned = course.stage(|| steps.patterned(&first)).flatten();
    let start = steps.better(first, patterned);
    course.found(|| unmeasured(&start));
    if !course.may_continue() {
        return start;
    }
    let sorted = steps.emptiest_last(start.clone());
    let insertion = steps.may_insert(&sorted);
    let placed = start.iter().map(|d| d.placed.len() as u64).sum::<u64>();
    let filled = items.iter().any(|item| item.fill > 0);
    let shares = [insertion, placed < task.asked(), filled].map(u64::from).iter().sum::<u64>();
    let units = rules.units - shares * course.share();
    let main = Task { rules: Rules { units, ..rules }, ..*task };
    let progress = |candidates: &[Candidate], units| steps.progress(candidates, units);
    let found = improve::improve(&main, &sorted, &progress, course);
    let best = steps.better(start, found);
    let mut elimination = Elimination::new(*task, &limits);
    let best = elimination.run(best, course);
    if !course.may_continue() {
        return best;
    }
    course.show(steps.progress(&best, course.units));
    course.found(|| unmeasured(&best));
    if insertion { steps.by_insertion(&mut elimination, best, course) } else { best }
}

fn unmeasured(candidates: &[Candidate]) -> Vec<Sheet> {
    candidates.iter().map(Candidate::unmeasured).collect()
}

/// The job, for the steps of the search.
struct Steps<'a> {
    task: Task<'a>,
    limits: &'a Limits<'a>,
}

impl Steps<'_> {
    fn progress(&self, candidates: &[Candidate], units: u64) -> Progress {
        let sheets = unmeasured(candidates);
        let SheetUsage { gross, max } = self.limits.filled(&sheets);
        Progress { units, sheets: sheets.len(), usage: gross, max }
    }

    fn rank(&self, candidates: &[Candidate]) -> Rank {
        Rank::of(&self.task, candidates)
    }

    /// The other layout where it keeps the rules and has more parts or ranks better.
    fn better(&self, candidates: Vec<Candidate>, other: Option<Vec<Candidate>>) -> Vec<Candidate> {
        let parts =
            |candidates: &[Candidate]| candidates.iter().map(|d| d.placed.len()).sum::<usize>();
        let worth = |candidates: &[Candidate]| (Reverse(parts(candidates)), self.rank(candidates));
        match other {
            Some(other)
                if worth(&other) < worth(&candidates)
                    && other.iter().all(|d| d.keeps(&self.task)) =>
            {
                other
            }
            _ => candidates,
        }
    }

    /// The whole job in patterns on the same sheets, also the parts that could not be placed at first.
    /// `None` where it is too much for any sheets.
    fn patterned(&self, first: &[Candidate]) -> Option<Vec<Candidate>> {
        if self.task.asked() > u64::from(MAX_PARTS) {
            return None;
        }
        let used: Vec<usize> = first.iter().map(|d| d.stock).collect();
        let patterned = place_job(&self.task, &used)?;
        let candidate = |(stock, placed): (usize, Vec<Placed>)| Candidate { stock, placed };
        let mut sheets: Vec<Candidate> = used.into_iter().zip(patterned).map(candidate).collect();
        sheets.retain(|s| !s.placed.is_empty());
        Some(sheets)
    }

    /// Sheets to be used first, then the fuller ones: the search empties the last. They keep their
    /// order where priorities differ or kits are kept together.
    fn emptiest_last(&self, mut candidates: Vec<Candidate>) -> Vec<Candidate> {
        if !self.task.is_ordered(candidates.iter().flat_map(|d| &d.placed)) {
            let fullness = |d: &Candidate| {
                let area = |p: &Placed| self.task.items[p.item].bulk();
                d.placed.iter().map(area).sum::<f64>() / self.task.stock[d.stock].region.area()
            };
            // Sheets of nearly the same fullness keep their order.
            let parts_per_million = |d: &Candidate| (fullness(d) * 1e6).round() as i64;
            let first = |d: &Candidate| self.task.stock[d.stock].first;
            candidates.sort_by_cached_key(|d| (!first(d), -parts_per_million(d)));
        }
        candidates
    }

    /// Whether a sheet may be eliminated or exchanged, and the job is small enough to try.
    fn may_insert(&self, candidates: &[Candidate]) -> bool {
        let counts = counts_on(candidates, self.task.items.len());
        let other = || !eliminate::cheaper(self.task.stock, candidates, 0).is_empty();
        candidates.len() <= eliminate::MAX_SHEETS
            && insert::is_small_enough(&counts)
            && (candidates.len() > 1 || other())
    }

    /// Empties sheets into the others, or exchanges them for cheaper ones, where their parts can be
    /// separated there.
    fn by_insertion(
        &self,
        elimination: &mut Elimination,
        mut best: Vec<Candidate>,
        course: &mut Course,
    ) -> Vec<Candidate> {
        let counts = counts_on(&best, self.task.items.len());
        let tools = course.stage(|| Tools::new(&self.task, &counts)).flatten();
        let Some(tools) = tools else { return best };
        let mut left = course.share();
        let each = (left / TRIES).min(LONGEST);
        for _ in 0..ROUNDS {
            let before = self.rank(&best);
            let overfull = course.stage(|| self.overfull(elimination, &best, &before));
            let mut gained = false;
            for (candidates, more) in overfull.into_iter().flatten() {
                if left == 0 || each == 0 {
                    return best;
                }
                let tried = || insert(&self.task, &tools, &candidates, &more, each.min(left));
                let Some((found, units)) = course.stage(tried) else { return best };
                left -= units.clamp(1, left);
                course.units += units;
                best = self.better(best, found);
                gained = self.rank(&best) < before;
                course.show(self.progress(&best, course.units));
                course.found(|| unmeasured(&best));
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

    /// Layouts that would be better with the parts left over in them, which by area may fit: the
    /// least left over first.
    fn overfull(
        &self,
        elimination: &mut Elimination,
        best: &[Candidate],
        now: &Rank,
    ) -> Vec<Partly> {
        let (items, stock) = (self.task.items, self.task.stock);
        let last_first = || (0..best.len()).rev().take(eliminate::SHEETS);
        let mut all: Vec<Partly> =
            last_first().filter_map(|i| elimination.emptied(best, i)).collect();
        for i in last_first() {
            let others = eliminate::cheaper(stock, best, i);
            all.extend(
                others.into_iter().filter_map(|other| elimination.on_another(best, i, other)),
            );
        }
        let taken = self.limits.min_total_area(&counts_on(best, items.len()));
        all.retain(|(candidates, left)| {
            let rooms = candidates.iter().map(|d| self.limits.room_area(&stock[d.stock]));
            // Ranked as if nothing were left over: whether it is worth trying.
            !left.is_empty() && taken <= rooms.sum() && self.rank(candidates) < *now
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
    use crate::nest::problem::progress::Stop;
    use crate::nest::problem::progress::unwatched;
    use crate::nest::problem::stock::Stock;
    use crate::nest::shape::orientation::orientations;
    use crate::nest::task::Masks;
    use crate::nest::value::audit;

    const RULES: Rules = Rules {
        gap: 3.0,
        margin: 5.0,
        min_cut_out: 0.0,
        cut_out_gap: 0.0,
        min_remnant: 100.0,
        units: 200_000,
        stop_at: None,
        extra_metal: None,
        seed: 1,
    };

    fn gussets(quantity: u32, priority: u32) -> Item {
        let corners = [(0.0, 0.0), (120.0, 0.0), (120.0, 12.0), (12.0, 90.0), (0.0, 90.0)];
        let outline = Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap();
        Item { priority, ..Item::new(Region::solid(outline), quantity) }
    }

    fn plate(width: f64, height: f64) -> Item {
        Item::new(Region::solid(rectangle(Point::ZERO, width, height, 0.0).unwrap()), 1)
    }

    fn sheets(count: u32) -> [Stock; 1] {
        [Stock { count: Some(count), ..Stock::whole(1000.0, 500.0).unwrap() }]
    }

    /// By sheet, how many parts; and how many are left over.
    fn count_placed(items: &[Item], stock: &[Stock], rules: Rules) -> (Vec<usize>, u32) {
        let layout = nest(items, stock, rules, &unwatched);
        assert_eq!(audit::audit(items, stock, rules, &layout), Ok(()));
        let placed = layout.sheets.iter().map(|s| s.placed.len()).collect();
        (placed, layout.unplaced.iter().map(|u| u.quantity).sum())
    }

    /// How many parts the first packing leaves over.
    fn left_over_at_first(items: &[Item], stock: &[Stock]) -> u32 {
        let orientations = orientations(items, stock, &RULES);
        let masks = Masks::default();
        let (orientations, masks, stop) = (&orientations, &masks, &Stop::never());
        let task = Task { items, orientations, stock, rules: RULES, masks, stop };
        let packed = pack::pack(task, pack::Care::Full);
        packed.unplaced.iter().map(|u| u.quantity).sum()
    }

    /// One by one 51 fit on a sheet, in patterns and by insertion some more.
    #[test]
    fn what_found_no_sheet_at_first_is_placed_where_room_becomes_free() {
        let (few, many) = ([gussets(58, 0)], [gussets(90, 0)]);
        assert!(left_over_at_first(&few, &sheets(1)) > 0);
        for units in [0, RULES.units] {
            let rules = Rules { units, ..RULES };
            assert_eq!(count_placed(&few, &sheets(1), rules), (vec![58], 0));
            // What fits on no sheet is still reported.
            let (all, left) = count_placed(&many, &sheets(1), rules);
            assert!(all[0] >= 58 && all[0] as u32 + left == 90, "{all:?} {left}");
        }
    }

    #[test]
    fn what_is_left_over_goes_on_a_sheet_that_is_set_free() {
        let items = [gussets(58, 1), plate(990.0, 490.0)];
        assert_eq!(left_over_at_first(&items, &sheets(2)), 1);
        assert_eq!(count_placed(&items, &sheets(2), RULES), (vec![58, 1], 0));
    }

    /// Half a gap of 1/16 in is no whole number of micrometres.
    #[test]
    fn parts_at_the_very_edge_are_on_their_sheet_in_any_units() {
        let rules = Rules { gap: 1.5875, margin: 3.175, ..RULES };
        let square = |n| Item { quantity: n, ..plate(90.0, 90.0) };
        // Two columns of five beside each other, and one sheet for all.
        let stock = [Stock::whole(300.0, 464.0).unwrap(), Stock::whole(120.0, 464.0).unwrap()];
        let (all, left) = count_placed(&[square(14)], &stock, rules);
        assert_eq!((all.iter().sum::<usize>(), left), (14, 0));
        assert_eq!(all.len(), 1, "{all:?}");
    }
}
