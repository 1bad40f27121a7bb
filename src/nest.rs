//! Nesting: blanks placed on sheets.
//!
//! This room works with outlines, sheets and distances, and is independent of parts. x runs along
//! the grain of a sheet.
//!
//! The first layout is packed on a grid of cells, or in patterns of equal parts. Overlap
//! minimisation then shortens it, eliminates sheets or exchanges them for cheaper ones, within a
//! budget of work. Every approximation errs towards more clearance. The result is measured again
//! with true arcs before it is returned, by the same survey that [`audit`] makes.
//!
//! The stages, each of which imports only from those before it: `problem`, `random`, `shape`,
//! `task`, `course`, `value`, `pattern` and `pack`, `overlap`, `sheets`.

mod course;
mod overlap;
mod pack;
mod pattern;
mod problem;
mod random;
mod shape;
mod sheets;
mod task;
mod value;

pub use problem::item::Item;
pub use problem::item::Orientations;
pub use problem::layout::Layout;
pub use problem::layout::MAX_PARTS;
pub use problem::layout::Placed;
pub use problem::layout::Sheet;
pub use problem::layout::Unplaced;
pub use problem::layout::Why;
pub(crate) use problem::progress::Found;
pub use problem::progress::Progress;
pub use problem::progress::Watch;
pub use problem::progress::unwatched;
pub use problem::rules::MIN_GAP;
pub use problem::rules::MIN_REMNANT;
pub use problem::rules::Rules;
pub use problem::rules::USUAL_UNITS;
pub use problem::rules::usual_units;
pub use problem::stock::LARGEST_SHEET;
pub use problem::stock::Sides;
pub use problem::stock::Stock;
pub use shape::orientation::fitting_rotation;
pub use value::audit::Fault;
pub use value::audit::Flaw;
pub use value::audit::audit;
pub use value::bound::Limits;
pub use value::usage::SheetUsage;
pub use value::usage::Usage;

use crate::nest::course::Course;
use crate::nest::pack::Care;
use crate::nest::pack::Packing;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::orientation;
use crate::nest::sheets::eliminate::Elimination;
use crate::nest::sheets::filling;
use crate::nest::sheets::filling::AddedParts;
use crate::nest::sheets::kits;
use crate::nest::sheets::mix;
use crate::nest::sheets::repeat;
use crate::nest::sheets::search;
use crate::nest::task::Masks;
use crate::nest::task::Task;
use crate::nest::value::audit::survey;
use crate::nest::value::audit::survey_until;
use crate::nest::value::candidate::Candidate;
use crate::nest::value::candidate::counts;
use crate::nest::value::rank::Rank;
use rayon::prelude::*;
use std::cell::Cell;
use std::cmp::Reverse;
use std::ops::ControlFlow;

/// Places the items on sheets. Of two layouts the better one, in this order, leaves nothing over,
/// has parts of a higher priority on earlier sheets, has its kits on fewer sheets and these nearer to
/// each other, costs less (sheets to be used first count as
/// paid for), takes fewer sheets that need not be used first, places more on those that must, takes
/// fewer sheets in all, and uses up less metal besides its largest useful remnant.
///
/// Nothing fails: what cannot be placed is listed in [`Layout::unplaced`]. A sheet larger than
/// [`LARGEST_SHEET`], or one its margins cover, stays empty.
///
/// The first layout is packed, on a mix of sheets where that is better, and improved by sheet
/// elimination. The search improves it further and never makes it worse. It places parts in
/// cut-outs and flips them over where that is allowed; where any angle is allowed, it tries some
/// dozens. What was left over is then placed where room has become free, or on sheets that are no
/// longer needed. Fillings are added last, to the sheets as they are then.
///
/// The work is done in stages. `watch` may stop it at any moment: the stage under way then leaves
/// no trace, and [`Rules::stop_at`] with the number of those completed gives the same layout again.
/// Stopped before anything was packed, the items are placed in rows.
///
/// ```
/// use platewright::geom::Point;
/// use platewright::geom::Region;
/// use platewright::geom::rectangle;
/// use platewright::nest::Item;
/// use platewright::nest::Rules;
/// use platewright::nest::Stock;
/// use platewright::nest::audit;
/// use platewright::nest::nest;
/// use platewright::nest::unwatched;
///
/// let plate = Region::solid(rectangle(Point::ZERO, 90.0, 60.0, 0.0)?);
/// let items = [Item::new(plate, 10)];
/// let stock = [Stock::whole(300.0, 200.0)?];
/// let rules = Rules {
///     gap: 4.0,
///     margin: 8.0,
///     min_cut_out: 0.0,
///     cut_out_gap: 0.0,
///     min_remnant: 100.0,
///     units: 0,
///     stop_at: None,
///     extra_metal: None,
///     seed: 0,
/// };
/// let layout = nest(&items, &stock, rules, &unwatched);
///
/// // Upright, four by two plates and their gaps fit into 284 mm by 184 mm inside the margins.
/// let placed: Vec<usize> = layout.sheets.iter().map(|sheet| sheet.placed.len()).collect();
/// assert_eq!(placed, [8, 2]);
/// assert!(layout.unplaced.is_empty());
/// assert!(audit(&items, &stock, rules, &layout).is_ok());
/// # Ok::<(), platewright::geom::OutlineError>(())
/// ```
pub fn nest(items: &[Item], stock: &[Stock], rules: Rules, watch: &Watch) -> Layout {
    nest_telling(items, stock, rules, watch, None)
}

/// The same, where somebody looks at the best layouts on the way, which changes nothing.
pub(crate) fn nest_telling(
    items: &[Item],
    stock: &[Stock],
    rules: Rules,
    watch: &Watch,
    found: Option<&Found>,
) -> Layout {
    let orientations = orientation::orientations(items, stock, &rules);
    let (masks, stop) = (Masks::default(), Stop::new(watch).telling(found));
    let (orientations, masks, stop) = (&orientations, &masks, &stop);
    let task = Task { items, orientations, stock, rules, masks, stop };
    let mut course = Course::new(&rules, stop);
    let mut layout = first(&task, &mut course);
    if !layout.sheets.is_empty() {
        improve(&task, &mut layout, &mut course);
    }
    (layout.units, layout.stages) = (course.units, course.stages);
    layout
}

/// The first layout: packed, on a mix of sheets where that is better; in rows where there was not
/// the time.
fn first(task: &Task, course: &mut Course) -> Layout {
    let packed = course.stage(|| {
        let packing = pack::pack(*task, Care::Full);
        let layout = surveyed(task, &packing);
        (packing, layout)
    });
    let Some((packing, plain)) = packed else {
        // Measured to the end, without a watcher.
        let patient = Stop::new(&unwatched);
        let task = Task { stop: &patient, ..*task };
        return surveyed(&task, &pack::in_rows(&task));
    };
    let mixed = course.stage(|| mix::mixed(task, &packing).map(|mixed| surveyed(task, &mixed)));
    let mut layout = mixed.flatten().unwrap_or(plain);
    if kits::are_split(task.items, &layout.sheets) {
        keep_kits_together(task, &mut layout, course);
    }
    layout
}

/// Exchanges a layout for one with the kits kept together where that leaves no more over and ranks
/// better.
fn keep_kits_together(task: &Task, layout: &mut Layout, course: &mut Course) {
    let worth = |sheets: &[Candidate]| {
        let placed: usize = sheets.iter().map(|sheet| sheet.placed.len()).sum();
        (Reverse(placed), Rank::of(task, sheets))
    };
    let now: Vec<Candidate> = layout.sheets.iter().map(Candidate::of).collect();
    let found = course.stage(|| {
        let together = kits::together(task);
        (worth(&together) < worth(&now)).then(|| measured(task, &together, &layout.sheets))
    });
    if let Some(sheets) = found.flatten().flatten() {
        exchange(layout, sheets, task.items.len());
    }
}

/// Exchanges the sheets of a layout, and settles what is left over; not where more would be placed
/// than were required and could be measured.
fn exchange(layout: &mut Layout, sheets: Vec<Sheet>, items: usize) {
    let before = counts(parts_on(&layout.sheets), items);
    let after = counts(parts_on(&sheets), items);
    let left = layout.without_sheet(items).into_iter().zip(before.iter().zip(after));
    let left = left.map(|(left, (before, after))| (left + before).checked_sub(after));
    if let Some(left) = left.collect::<Option<Vec<u32>>>() {
        layout.settle_without_sheet(&left);
        layout.sheets = sheets;
    }
}

/// Improves a layout: sheet elimination, the search, then left-over parts and the fillings.
fn improve(task: &Task, layout: &mut Layout, course: &mut Course) {
    let Task { items, stock, rules, .. } = *task;
    let first: Vec<Candidate> = layout.sheets.iter().map(Candidate::of).collect();
    let limits = Limits::new(items, stock, rules);
    let SheetUsage { gross: usage, max } = limits.filled(&layout.sheets);
    course.show(Progress { units: 0, sheets: layout.sheets.len(), usage, max });
    course.found(|| layout.sheets.clone());
    let first = Elimination::new(*task, &limits).run(first, course);
    let best = search::search(task, course, first);
    if let Some(sheets) = measured(task, &best, &layout.sheets) {
        exchange(layout, sheets, items.len());
    }
    if layout.unplaced.iter().any(|u| u.why == Why::NoSheetLeft) {
        filling::fill(task, layout, AddedParts::LeftOver, course);
        on_spare_sheets(task, layout, course);
    }
    repeat(task, layout, course);
    filling::fill(task, layout, AddedParts::Fillings, course);
}

/// Exchanges the sheets for fewer different ones where the rules ask for that.
fn repeat(task: &Task, layout: &mut Layout, course: &mut Course) {
    let Some(extra) = task.rules.extra_metal else { return };
    let units = course.share() / repeat::SHARES;
    let rules = Rules { units, stop_at: None, extra_metal: None, ..task.rules };
    let watch = |_: &Progress| match task.stop.now() {
        true => ControlFlow::Break(()),
        false => ControlFlow::Continue(()),
    };
    let worked = Cell::new(0);
    let nested = |items: &[Item], stock: &[Stock]| {
        let layout = nest(items, stock, rules, &watch);
        worked.set(worked.get() + layout.units);
        layout.sheets
    };
    let now: Vec<Candidate> = layout.sheets.iter().map(Candidate::of).collect();
    let found = course.stage(|| {
        let found = repeat::repeated(task, &now, extra, &nested)?;
        measured(task, &found, &layout.sheets)
    });
    // A stage that was stopped leaves no trace.
    course.units += found.as_ref().map_or(0, |_| worked.get());
    if let Some(sheets) = found.flatten() {
        exchange(layout, sheets, task.items.len());
    }
}

/// Measures the packed sheets; items that break the rules are removed.
fn surveyed(task: &Task, packing: &Packing) -> Layout {
    let Task { items, stock, rules, .. } = task;
    let mut layout = Layout { unplaced: packing.unplaced.clone(), ..Layout::default() };
    for pattern in &packing.patterns {
        let mut pattern = pattern.clone();
        let size = &stock[pattern.stock];
        let survey = loop {
            match survey_until(items, size, rules, &pattern.placed, &|| task.stop.now()) {
                Ok(survey) => break survey,
                Err(flaw) => {
                    let item = pattern.placed[flaw.part()].item;
                    let before = pattern.placed.len();
                    pattern.placed.retain(|p| p.item != item);
                    let taken = (before - pattern.placed.len()) as u32 * pattern.times;
                    layout.unplaced.push(Unplaced { item, quantity: taken, why: Why::Unsure });
                }
            }
        };
        if !pattern.placed.is_empty() {
            let sheet = Sheet {
                stock: pattern.stock,
                placed: pattern.placed,
                min_gap: survey.min_gap,
                min_margin: survey.min_margin,
            };
            layout.sheets.extend(std::iter::repeat_n(sheet, pattern.times as usize));
        }
    }
    layout.unplaced.sort_by_key(|u| u.item);
    layout
}

/// A sheet of a layout on the way, measured; `None` where it breaks the rules.
pub(crate) fn measured_alone(
    items: &[Item],
    stock: &[Stock],
    rules: &Rules,
    sheet: &Sheet,
) -> Option<Sheet> {
    let survey = survey(items, stock.get(sheet.stock)?, rules, &sheet.placed).ok()?;
    let (min_gap, min_margin) = (survey.min_gap, survey.min_margin);
    Some(Sheet { min_gap, min_margin, ..sheet.clone() })
}

fn parts_on(sheets: &[Sheet]) -> impl Iterator<Item = &Placed> {
    sheets.iter().flat_map(|sheet| &sheet.placed)
}

/// Measures candidate sheets; `None` when one of them breaks the rules. One that is like a sheet which
/// was measured before, or like another candidate, is not measured again.
fn measured(task: &Task, candidates: &[Candidate], before: &[Sheet]) -> Option<Vec<Sheet>> {
    let Task { items, stock, rules, .. } = task;
    let mut new: Vec<&Candidate> = Vec::new();
    for candidate in candidates {
        if !before.iter().any(|sheet| candidate.is_like(sheet)) && !new.contains(&candidate) {
            new.push(candidate);
        }
    }
    let survey =
        |candidate: &&Candidate| measured_alone(items, stock, rules, &candidate.unmeasured());
    let new: Option<Vec<Sheet>> = new.par_iter().with_max_len(1).map(survey).collect();
    let known: Vec<&Sheet> = before.iter().chain(new.as_ref()?).collect();
    let found = |of: &Candidate| known.iter().find(|sheet| of.is_like(sheet)).map(|s| (*s).clone());
    candidates.iter().map(found).collect()
}

/// Places what found no sheet on those that the search no longer needs.
fn on_spare_sheets(task: &Task, layout: &mut Layout, course: &mut Course) {
    let left = layout.without_sheet(task.items.len());
    let few = |(item, n): (&Item, &u32)| Item { quantity: *n, fill: 0, ..item.clone() };
    let items: Vec<Item> = task.items.iter().zip(&left).map(few).collect();
    let used = |stock: usize| layout.sheets.iter().filter(|s| s.stock == stock).count() as u32;
    let spare = |(i, stock): (usize, &Stock)| Stock {
        count: stock.count.map(|n| n.saturating_sub(used(i))),
        ..stock.clone()
    };
    let stock: Vec<Stock> = task.stock.iter().enumerate().map(spare).collect();
    let packed = || surveyed(task, &pack::pack(task.of(&items).on(&stock), Care::Full));
    let Some(more) = course.stage(packed) else { return };
    let found = counts(parts_on(&more.sheets), items.len());
    let left: Vec<u32> = left.iter().zip(found).map(|(left, found)| left - found).collect();
    layout.settle_without_sheet(&left);
    layout.sheets.extend(more.sheets);
}
