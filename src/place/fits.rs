//! Whether the pieces of a job fit on its sheets, as soon as that is known.
//!
//! Rows of boxes can prove that they do, their total area that they do not. Between the two, the
//! finding gives the number of pieces left over by a first layout, or by the rows if there are very
//! many pieces. There is no search here.

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

/// Maximum number of pieces on one kind of sheet that are packed once to test whether they fit. Our
/// choice.
const PACKED: u32 = 500;

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

/// What keeps parts from any layout, which no search changes: orders of the job that contradict each
/// other, and parts that fit on no sheet of theirs, however many there are.
pub(crate) fn without_a_place(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let conflicts = conflicts(job, solved);
    if !conflicts.is_empty() {
        return conflicts;
    }
    let of_kind = |kind: usize| {
        let question = Question::new(job, kind, solved, &Search::none());
        let Question { parts, items, stock, rules } = question;
        let over = alone(&items, &stock, rules).into_iter();
        let finding = |over: Unplaced| {
            let rotation = nest::fitting_rotation(&items[over.item], &stock, &rules);
            left_over(job, kind, &solved[parts[over.item]], &over, rotation)
        };
        over.map(finding).collect::<Vec<_>>()
    };
    (0..job.sheets.len()).into_par_iter().flat_map_iter(of_kind).collect()
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
    if let Some(missing) = missing(&others, &stock, rules) {
        findings.push(too_few(job, kind, pieces, missing));
        return findings;
    }
    if stock.iter().all(|s| s.count == Some(0)) {
        findings.extend(packed(&others, &stock, rules).iter().map(finding));
        return findings;
    }
    let (how, over) = match pieces > PACKED {
        true => ("laid out in plain rows", over_rows),
        false => ("in a first layout", packed(&others, &stock, rules)),
    };
    let over: Vec<Unplaced> =
        over.into_iter().filter(|over| others[over.item].quantity > 0).collect();
    if !over.is_empty() {
        let named = over.iter().map(|over| solved[parts[over.item]].name.as_str()).collect();
        let over = over.iter().map(|over| over.quantity).fold(0, u32::saturating_add);
        findings.push(may_run_out(job, kind, Short { pieces, over, how, named }));
    }
    findings
}

/// All pieces of the parts of which not even one fits on any of the sheets, however many there are.
fn alone(items: &[Item], stock: &[Stock], rules: Rules) -> Vec<Unplaced> {
    let one_of = |item: &Item| Item { quantity: item.quantity.min(1), fill: 0, ..item.clone() };
    let ones: Vec<Item> = items.iter().map(one_of).collect();
    let uncounted = |stock: &Stock| Stock { count: None, ..stock.clone() };
    let all: Vec<Stock> = stock.iter().map(uncounted).collect();
    if all.is_empty() {
        return Vec::new();
    }
    // What finds room in rows of boxes finds room, and that is soon known.
    let in_rows = nest::nest(&ones, &all, rules, &|_| ControlFlow::Break(())).unplaced;
    let open: Vec<usize> = in_rows.iter().map(|over| over.item).collect();
    let rest = ones.into_iter().enumerate().map(|(i, one)| match open.contains(&i) {
        true => one,
        false => Item { quantity: 0, ..one },
    });
    if open.is_empty() {
        return Vec::new();
    }
    let found = nest::nest(&rest.collect::<Vec<_>>(), &all, rules, &nest::unwatched).unplaced;
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
    let over = limits.min_total_area(&counts) - held;
    let sheets = (over / room(&largest)).ceil();
    (over > 0.0 && sheets.is_finite()).then_some((largest, sheets.min(f64::from(u32::MAX)) as u32))
}

/// The pieces a first layout leaves over, without any search.
fn packed(items: &[Item], stock: &[Stock], rules: Rules) -> Vec<Unplaced> {
    nest::nest(items, stock, Rules { stop_at: Some(1), ..rules }, &nest::unwatched).unplaced
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

/// Pieces for which a layout finds no sheet, though their area would be enough.
struct Short<'a> {
    /// All pieces on the kind of sheet.
    pieces: u32,
    /// Those left over.
    over: u32,
    /// How they were laid out.
    how: &'static str,
    /// The parts left over.
    named: Vec<&'a str>,
}

/// Fewer sheets than a plain layout takes, and enough for the metal.
fn may_run_out(job: &Job, kind: usize, short: Short) -> Finding {
    let Short { pieces, over, how, named } = short;
    let sheet = &job.sheets[kind];
    let it = if over == 1 { "it" } else { "they" };
    let headline = format!(
        "{over} of {pieces} pieces on `{}` may not fit: {how} {it} could not be placed, though the \
         area would be enough",
        sheet.name
    );
    let help = Ended::of(job, kind).help;
    let about = Finding::caution("sheets-may-run-out", headline)
        .about(About::Sheet(sheet.name.clone()))
        .at(sheet.span, "")
        .note("`check` searches for no better layout")
        .help(format!("nest them with `make` to see whether they fit, or {help}"));
    named.into_iter().fold(about, |finding, name| finding.about(About::part(name)))
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
                let nested = nest::nest(&items, &stock(more), rules, &nest::unwatched);
                prop_assert!(!nested.unplaced.is_empty());
            }
        }
    }
}
