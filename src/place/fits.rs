//! Whether the pieces of a job fit on its sheets, as soon as that is known.
//!
//! Rows of boxes can prove that they do, their total area that they do not. Between the two a few
//! pieces are nested: first as one packing, and if that leaves something over, as a full nest. Of
//! many it is only said how many the rows leave over.

use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::nest;
use crate::nest::Item;
use crate::nest::Limits;
use crate::nest::Rules;
use crate::nest::Stock;
use crate::nest::Unplaced;
use crate::place::bridges;
use crate::place::budget::Search;
use crate::place::nesting::Ended;
use crate::place::nesting::Question;
use crate::place::nesting::conflicts;
use crate::place::nesting::left_over;
use crate::solve::Solved;
use rayon::prelude::*;
use std::ops::ControlFlow;

/// Number of pieces on one kind of sheet that are nested to test whether they fit, if that cannot
/// be known otherwise: it takes some seconds. Our choice.
const NESTED: u32 = 500;

/// What nesting would find, without a nest where that can be known otherwise.
pub(crate) fn fits(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let conflicts = conflicts(job, solved);
    if !conflicts.is_empty() {
        return conflicts;
    }
    let mut findings: Vec<Finding> =
        solved.iter().filter_map(|s| bridges::too_small(job, s)).collect();
    let kinds: Vec<usize> = (0..job.sheets.len()).collect();
    let of_kind = |kind: &usize| of_kind(job, *kind, solved);
    findings.extend(kinds.par_iter().flat_map_iter(of_kind).collect::<Vec<_>>());
    findings
}

/// What nesting would find on one kind of sheet.
fn of_kind(job: &Job, kind: usize, solved: &[Solved]) -> Vec<Finding> {
    let Question { parts, mut items, stock, rules } =
        Question::new(job, kind, solved, &Search::none());
    items.iter_mut().for_each(|item| item.fill = 0);
    let counted = stock.is_empty() || stock.iter().any(|s| s.count.is_some());
    // What finds room in rows of boxes finds room, and that is soon known.
    let in_rows = || nest::nest(&items, &stock, rules, &|_| ControlFlow::Break(())).unplaced;
    let over_rows = if counted { in_rows() } else { Vec::new() };
    if counted && over_rows.is_empty() {
        return Vec::new();
    }
    let alone = alone(&items, &stock, rules);
    let finding = |over: &Unplaced| {
        let rotation = nest::fitting_rotation(&items[over.item], &stock, &rules);
        left_over(job, kind, &solved[parts[over.item]], over, rotation)
    };
    let mut findings: Vec<Finding> = alone.iter().map(finding).collect();
    if !counted {
        return findings;
    }
    let mut others = items.clone();
    alone.iter().for_each(|over| others[over.item].quantity = 0);
    let pieces = pieces(&others);
    match missing(&others, &stock, rules) {
        Some(missing) => findings.push(too_few(job, kind, pieces, missing)),
        None if pieces > NESTED => {
            let of_others = over_rows.iter().filter(|over| others[over.item].quantity > 0);
            let over = of_others.map(|over| over.quantity).fold(0, u32::saturating_add);
            findings.extend((over > 0).then(|| may_run_out(job, kind, pieces, over)));
        }
        None => findings.extend(left(&others, &stock, rules).iter().map(finding)),
    }
    findings
}

/// All pieces of the parts of which not even one fits on any of the sheets, however many there are.
fn alone(items: &[Item], stock: &[Stock], rules: Rules) -> Vec<Unplaced> {
    let one_of = |item: &Item| Item { quantity: item.quantity.min(1), ..item.clone() };
    let ones: Vec<Item> = items.iter().map(one_of).collect();
    let uncounted = |stock: &Stock| Stock { count: None, ..stock.clone() };
    let all: Vec<Stock> = stock.iter().map(uncounted).collect();
    if all.is_empty() {
        return Vec::new();
    }
    let found = nest::nest(&ones, &all, rules, &nest::unwatched).unplaced;
    let whole = |over: Unplaced| Unplaced { quantity: items[over.item].quantity, ..over };
    found.into_iter().map(whole).collect()
}

/// Minimum number of further sheets of the largest stock; `None` if the stock may have enough room.
fn missing(items: &[Item], stock: &[Stock], rules: Rules) -> Option<(usize, u32)> {
    let limits = Limits::new(items, stock, rules);
    let counts: Vec<u32> = items.iter().map(|item| item.quantity).collect();
    let room = |i: &usize| limits.room_area(&stock[*i]);
    let largest = (0..stock.len()).rev().max_by(|a, b| room(a).total_cmp(&room(b)))?;
    let held: f64 = stock
        .iter()
        .map(|s| s.count.map_or(f64::INFINITY, f64::from) * limits.room_area(s))
        .filter(|held| !held.is_nan())
        .sum();
    let over = limits.taken(&counts) - held;
    let sheets = (over / room(&largest)).ceil();
    (over > 0.0 && sheets.is_finite()).then_some((largest, sheets.min(f64::from(u32::MAX)) as u32))
}

/// The pieces a nest leaves over; once a packing leaves none, no other is tried.
fn left(items: &[Item], stock: &[Stock], rules: Rules) -> Vec<Unplaced> {
    let packed = nest::nest(items, stock, Rules { stop_at: Some(1), ..rules }, &nest::unwatched);
    match packed.unplaced.is_empty() {
        true => Vec::new(),
        false => nest::nest(items, stock, rules, &nest::unwatched).unplaced,
    }
}

/// Fewer sheets than the metal of the pieces takes.
fn too_few(job: &Job, kind: usize, pieces: u32, (stock, missing): (usize, u32)) -> Finding {
    let sheet = &job.sheets[kind];
    let Ended { code, why, help } = Ended::of(job, kind);
    let of = &sheet.stock[stock];
    let size = [of.length(), of.width()].map(|mm| job.units.length(mm)).join(" × ");
    let sheets = if missing == 1 { "sheet" } else { "sheets" };
    let headline = format!(
        "not all {pieces} pieces on `{}` could be placed: {why}; at least {missing} more {sheets} of \
         {size} would be needed",
        sheet.name
    );
    Finding::caution(code, headline)
        .about(About::Sheet(sheet.name.clone()))
        .at(sheet.span, "")
        .note("by the area of the pieces with their gaps; a layout needs at least as many")
        .help(help)
}

/// Fewer sheets than rows of boxes take, and enough for the metal.
fn may_run_out(job: &Job, kind: usize, pieces: u32, over: u32) -> Finding {
    let sheet = &job.sheets[kind];
    let headline = format!(
        "{over} of {pieces} pieces on `{}` may not fit: laid out in plain rows they find no sheet, \
         though the area would be enough",
        sheet.name
    );
    let help = Ended::of(job, kind).help;
    Finding::caution("sheets-may-run-out", headline)
        .about(About::Sheet(sheet.name.clone()))
        .at(sheet.span, "")
        .note(format!("more than {NESTED} pieces are not nested by `check`"))
        .help(format!("nest them with `make` to see whether they fit, or {help}"))
}

fn pieces(items: &[Item]) -> u32 {
    items.iter().map(|item| item.quantity).fold(0, u32::saturating_add)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::rectangle;
    use proptest::prelude::*;

    fn plates(sizes: &[(f64, f64, u32)]) -> Vec<Item> {
        let plate = |(width, height, quantity): &(f64, f64, u32)| {
            let outline = rectangle(Point::ZERO, *width, *height, 0.0).unwrap();
            Item::new(Region::solid(outline), *quantity)
        };
        sizes.iter().map(plate).collect()
    }

    fn stock(counts: [u32; 2]) -> Vec<Stock> {
        let sizes = [(400.0, 200.0), (200.0, 150.0)];
        let of = |((length, width), count)| Stock {
            count: Some(count),
            ..Stock::whole(length, width).unwrap()
        };
        sizes.into_iter().zip(counts).map(of).collect()
    }

    #[test]
    fn sheets_that_are_missing_are_counted() {
        // Five by three plates with their gaps would fill a sheet except for its margin.
        let rules = Rules { gap: 2.0, margin: 1.0, ..Rules::default() };
        let many = plates(&[(78.0, 64.0, 100)]);
        let missing = missing(&many, &stock([2, 0]), rules);
        // 100 times 80 mm by 66 mm on sheets of 400 mm by 200 mm.
        assert_eq!(missing, Some((0, 5)));
        let uncounted = [Stock::whole(400.0, 200.0).unwrap()];
        assert_eq!(super::missing(&many, &uncounted, rules), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 3, ..ProptestConfig::default() })]
        /// With one sheet fewer than are missing at least, something is left over.
        #[test]
        fn no_nest_does_with_fewer_sheets(
            sizes in prop::collection::vec((30.0..180.0f64, 30.0..140.0f64, 1..12u32), 1..3),
            counts in [0..3u32, 0..3u32],
        ) {
            let rules = Rules { gap: 2.0, margin: 4.0, ..Rules::default() };
            let items = plates(&sizes);
            if let Some((largest, missing)) = missing(&items, &stock(counts), rules) {
                let mut more = counts;
                more[largest] += missing - 1;
                prop_assert!(!left(&items, &stock(more), rules).is_empty());
            }
        }
    }
}
