//! More pieces on sheets that are needed anyway: those asked for that found no sheet, and fillings.
//!
//! Each sheet is filled in several ways: on cells beside its parts, in patterns beside them, and in
//! patterns on the bare sheet together with the required parts. The fullest result is kept, and
//! where there is a search, more parts are inserted one by one.

use crate::nest::course::Course;
use crate::nest::overlap::insert::insert;
use crate::nest::overlap::insert::is_small_enough;
use crate::nest::overlap::setup::Tools;
use crate::nest::pack;
use crate::nest::pack::Care;
use crate::nest::pattern::fill::top_up;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Layout;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::layout::Sheet;
use crate::nest::problem::stock::Stock;
use crate::nest::sheets::eliminate::beside;
use crate::nest::sheets::search::LONGEST;
use crate::nest::task::Task;
use crate::nest::value::audit;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts;

/// Share of the budget of all insertions that one insertion may use, as one part in this number.
/// Our choice.
const TRIES: u64 = 8;

/// Sheets on which fillings are tried in patterns. Our choice: each takes a good part of a second.
const PATTERNED: usize = 8;

/// No patterns for a sheet with room for more parts than this. Our choice.
const MAX_IN_PATTERNS: f64 = 5000.0;

/// The parts to add to sheets that are needed anyway.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum AddedParts {
    /// Required parts that have no sheet.
    LeftOver,
    /// Fillings. A layout that leaves out required parts gets none.
    Fillings,
}

/// Adds to each sheet in turn as many parts as fit, the largest first. A sheet that would break the
/// rules with them is not changed. Each attempt is a stage of the course.
pub(crate) fn fill(task: &Task, layout: &mut Layout, wanted: AddedParts, course: &mut Course) {
    let Task { items, stock, rules, .. } = task;
    let mut left: Vec<u32> = match wanted {
        AddedParts::LeftOver => layout.without_sheet(items.len()),
        AddedParts::Fillings if !layout.unplaced.is_empty() => return,
        AddedParts::Fillings => items.iter().map(|item| item.fill).collect(),
    };
    let mut levels: Vec<u32> = match wanted {
        AddedParts::LeftOver => {
            (0..items.len()).filter(|i| left[*i] > 0).map(|i| items[i].priority).collect()
        }
        AddedParts::Fillings => vec![0],
    };
    levels.sort_unstable();
    levels.dedup();
    let mut budget = course.share();
    // The highest priority first.
    for level in levels.into_iter().rev() {
        let now = |item: &Item| wanted == AddedParts::Fillings || item.priority == level;
        // The last sheet that nothing could be added to, and the parts that were to be added.
        let mut full: Option<(Sheet, Vec<u32>)> = None;
        for (i, sheet) in layout.sheets.iter_mut().enumerate() {
            let size = &stock[sheet.stock];
            // No more than its area allows, so that "as many as fit" stays a small job.
            let max = |item: &Item| (size.region.area() / item.region.area()) as u32;
            let more = |(item, n): (&Item, &u32)| if now(item) { (*n).min(max(item)) } else { 0 };
            let more: Vec<u32> = items.iter().zip(&left).map(more).collect();
            let tried = |(of, wanted): &(Sheet, Vec<u32>)| {
                of.stock == sheet.stock && of.placed == sheet.placed && *wanted == more
            };
            if more.iter().all(|n| *n == 0) || full.as_ref().is_some_and(tried) {
                continue;
            }
            let few = |(item, n): (&Item, &u32)| *n == 0 || f64::from(max(item)) < MAX_IN_PATTERNS;
            let patterns = i < PATTERNED && items.iter().zip(&more).all(few);
            let constructed = || constructed(task, size, &sheet.placed, &more, patterns);
            let Some(mut placed) = course.stage(constructed) else { break };
            let one = task.on(std::slice::from_ref(size));
            inserted(&one, &sheet.placed, &more, &mut placed, &mut budget, course);
            if placed.len() == sheet.placed.len() {
                full = Some((sheet.clone(), more));
            } else if let Ok(survey) = audit::survey(items, size, rules, &placed) {
                let added = added(items, &sheet.placed, &placed);
                left.iter_mut().zip(added).for_each(|(left, n)| *left -= n);
                let (min_gap, min_margin) = (survey.min_gap, survey.min_margin);
                *sheet = Sheet { stock: sheet.stock, placed, min_gap, min_margin };
            }
        }
    }
    if wanted == AddedParts::LeftOver {
        layout.settle_without_sheet(&left);
    }
}

/// The fullest of the sheets that keep the rules, on cells and where wanted in patterns; of equals
/// the first.
fn constructed(
    task: &Task,
    size: &Stock,
    placed: &[Placed],
    more: &[u32],
    patterns: bool,
) -> Vec<Placed> {
    let Task { items, rules, .. } = task;
    let asked: Vec<u32> =
        counts(placed, items.len()).iter().zip(more).map(|(n, m)| n + m).collect();
    let on_cells = |present: Vec<Placed>| {
        let counted = counts(&present, items.len());
        let left = |(i, item): (usize, &Item)| Item {
            quantity: asked[i] - counted[i],
            fill: 0,
            ..item.clone()
        };
        let wanted: Vec<Item> = items.iter().enumerate().map(left).collect();
        let room = beside(items, size, &present);
        let found =
            pack::pack(task.of(&wanted).on(&[room]), Care::Full).patterns.into_iter().next();
        [present, found.map_or_else(Vec::new, |pattern| pattern.placed)].concat()
    };
    let mut starts = vec![placed.to_vec()];
    if patterns {
        starts.extend(top_up(task, size, placed, more));
    }
    let area = |placed: &[Placed]| -> f64 { placed.iter().map(|p| items[p.item].bulk()).sum() };
    let mut best = placed.to_vec();
    for way in starts.into_iter().map(on_cells) {
        let fuller = area(&way) > area(&best) * (1.0 + 1e-9);
        let must_end = || task.stop.now();
        if fuller && audit::survey_until(items, size, rules, &way, &must_end).is_ok() {
            best = way;
        }
    }
    best
}

/// How many more of each item there are.
fn added(items: &[Item], before: &[Placed], after: &[Placed]) -> Vec<u32> {
    let before = counts(before, items.len());
    counts(after, items.len()).iter().zip(before).map(|(after, before)| after - before).collect()
}

/// Inserts one part after the other into the one sheet of the stock, the largest first, while they
/// can be separated.
fn inserted(
    task: &Task,
    before: &[Placed],
    more: &[u32],
    placed: &mut Vec<Placed>,
    budget: &mut u64,
    course: &mut Course,
) {
    let Task { items, stock, .. } = task;
    let each = (course.share() / TRIES).min(LONGEST);
    let area = |i: &usize| items[*i].bulk();
    let free = |placed: &[Placed]| {
        stock[0].region.area() - placed.iter().map(|p| area(&p.item)).sum::<f64>()
    };
    let fits = |kind: &usize, placed: &[Placed]| {
        let mut counts = counts(placed, items.len());
        counts[*kind] += 1;
        area(kind) <= free(placed) && is_small_enough(&counts)
    };
    let mut kinds: Vec<usize> =
        (0..items.len()).filter(|i| more[*i] > 0 && fits(i, placed)).collect();
    if kinds.is_empty() || *budget == 0 || each == 0 {
        return;
    }
    let mut any = counts(&*placed, items.len());
    kinds.iter().for_each(|kind| any[*kind] += 1);
    let Some(tools) = course.stage(|| Tools::new(task, &any)).flatten() else { return };
    kinds.sort_by(|a, b| area(b).total_cmp(&area(a)));
    for kind in kinds {
        while added(items, before, placed)[kind] < more[kind] {
            if *budget == 0 || !fits(&kind, placed) {
                break;
            }
            let sheet = [Candidate { stock: 0, placed: placed.clone() }];
            let tried = || insert(task, &tools, &sheet, &[kind], each.min(*budget));
            let Some((found, units)) = course.stage(tried) else { return };
            *budget -= units.clamp(1, *budget);
            course.units += units;
            let Some(fuller) = found.and_then(|candidates| candidates.into_iter().next()) else {
                break;
            };
            *placed = fuller.placed;
        }
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
    use crate::nest::problem::progress::Stop;
    use crate::nest::problem::progress::unwatched;
    use crate::nest::problem::rules::Rules;
    use crate::nest::shape::orientation::orientations;
    use crate::nest::task::Masks;

    fn plate(width: f64, height: f64, quantity: u32, fill: u32) -> Item {
        let region = Region::solid(rectangle(Point::ZERO, width, height, 0.0).unwrap());
        Item { fill, ..Item::new(region, quantity) }
    }

    fn count_placed(items: &[Item], units: u64) -> Vec<u32> {
        let rules = Rules { gap: 3.0, margin: 5.0, units, ..Rules::default() };
        let stock = [Stock::whole(400.0, 300.0).unwrap()];
        let layout = nest(items, &stock, rules, &unwatched);
        assert_eq!(audit::audit(items, &stock, rules, &layout), Ok(()));
        assert_eq!(layout.sheets.len(), 1);
        let count = |i| layout.sheets[0].placed.iter().filter(|p| p.item == i).count() as u32;
        (0..items.len()).map(count).collect()
    }

    #[test]
    fn a_sheet_that_is_needed_anyway_is_filled() {
        for units in [0, 2_000] {
            // Rows of three times four plates of 90 by 60 fit on 390 by 290.
            let all = count_placed(&[plate(90.0, 60.0, 2, 1_000)], units);
            assert!(all[0] >= 14, "{all:?}");
            assert_eq!(count_placed(&[plate(90.0, 60.0, 2, 5)], units), [7]);
        }
    }

    /// Six gussets and as many more as fit: placed one by one on cells they are 51.
    #[test]
    fn many_fillings_are_placed_in_patterns() {
        let corners = [(0.0, 0.0), (120.0, 0.0), (120.0, 12.0), (12.0, 90.0), (0.0, 90.0)];
        let gusset = Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap();
        let items = [Item { fill: 1_000, ..Item::new(Region::solid(gusset), 6) }];
        let rules = Rules { gap: 3.0, margin: 5.0, units: 0, ..Rules::default() };
        let stock = [Stock::whole(1000.0, 500.0).unwrap()];
        let layout = nest(&items, &stock, rules, &unwatched);
        assert_eq!(audit::audit(&items, &stock, rules, &layout), Ok(()));
        let placed = layout.sheets[0].placed.len();
        assert!(layout.sheets.len() == 1 && placed >= 60, "{placed}");
    }

    /// Beside the large plate there is room for either of the others.
    #[test]
    fn of_what_is_left_over_the_highest_priority_comes_first() {
        let with_priority = |priority, item| Item { priority, ..item };
        let items = [
            with_priority(2, plate(390.0, 180.0, 1, 0)),
            with_priority(1, plate(200.0, 100.0, 1, 0)),
            plate(250.0, 105.0, 1, 0),
        ];
        let rules = Rules { gap: 3.0, margin: 5.0, units: 0, ..Rules::default() };
        let stock = [Stock { count: Some(1), ..Stock::whole(400.0, 300.0).unwrap() }];
        let mut layout = nest(&items[..1], &stock, rules, &unwatched);
        layout.settle_without_sheet(&[0, 1, 1]);
        let (orientations, masks) = (&orientations(&items, &stock, &rules), &Masks::default());
        let stop = &Stop::never();
        let task = Task { items: &items, orientations, stock: &stock, rules, masks, stop };
        fill(&task, &mut layout, AddedParts::LeftOver, &mut Course::new(&rules, stop));
        assert_eq!(audit::audit(&items, &stock, rules, &layout), Ok(()));
        assert_eq!(layout.without_sheet(3), [0, 0, 1]);
    }

    #[test]
    fn required_parts_come_before_fillings() {
        let both = count_placed(&[plate(180.0, 140.0, 4, 0), plate(40.0, 30.0, 0, 1_000)], 0);
        assert_eq!(both[0], 4);
        assert_eq!(count_placed(&[plate(90.0, 60.0, 2, 0)], 0), [2]);
    }
}
