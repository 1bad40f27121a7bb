//! Layouts during the search: sheets as they would be if the layout were the last.

use crate::geom::Place;
use crate::job::Job;
use crate::nest;
use crate::nest::Limits;
use crate::nest::Sheet;
use crate::place::budget::Search;
use crate::place::kits;
use crate::place::nesting::Question;
use crate::place::nesting::nested_sheet;
use crate::place::nesting::placed;
use crate::place::nesting::routed;
use crate::place::sheet::NestedSheet;
use crate::place::sheet::sheet_name;
use crate::solve::Solved;

/// Sheets made already: one of a kind and a stock on which parts are at the same places.
pub(crate) type SheetLookup<'a> =
    dyn Fn(usize, usize, &[(usize, Place)]) -> Option<NestedSheet> + 'a;

/// Passes to `each` the sheets of one kind in such a layout, measured and with their routes, until
/// it returns `false`, or it may not `go_on`. Sheets that are `known` are not measured and routed
/// again; an invalid one is left out.
pub(crate) fn interim_sheets(
    (job, solved): (&Job, &[Solved]),
    (kind, best): (usize, &[Sheet]),
    (known, go_on): (&SheetLookup, &dyn Fn() -> bool),
    each: &mut dyn FnMut(NestedSheet) -> bool,
) {
    // Pieces are joined with locked ones at the end.
    if job.sheets[kind].stock.iter().any(|stock| stock.locked.is_some()) {
        return;
    }
    let question = Question::new(job, kind, solved, &Search::none()).with_kits(job, solved);
    let Question { parts, items, stock, rules } = question;
    let limits = Limits::new(&items, &stock, rules);
    for (i, sheet) in best.iter().enumerate() {
        let placed = placed(job, solved, &parts, sheet);
        let found = match known(kind, sheet.stock, &placed) {
            Some(known) => Some(NestedSheet { name: sheet_name(job, kind, i), ..known }),
            None => nest::measured_alone(&items, &stock, &rules, sheet)
                .map(|sheet| nested_sheet(job, (kind, i), placed, &sheet, &limits)),
        };
        let found = found.map(|of| NestedSheet { kits: kits::on(job, &items, sheet), ..of });
        if !go_on() {
            return;
        }
        let routed = |sheet| NestedSheet { route: routed(job, solved, &sheet), ..sheet };
        if !found.map(routed).is_none_or(&mut *each) {
            return;
        }
    }
}
