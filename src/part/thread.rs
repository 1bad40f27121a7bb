//! The thread of a tapped hole: from its fastener, else by its size.

use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// Diameters nearer than this are one, mm: an inch size in millimetres, to three digits.
const SAME: f64 = 0.005;

/// A pilot no larger than this beyond the tap drill of a coarse thread is for that thread, mm; the
/// drill of the next finer one is farther off. Our choice.
const DRILL: f64 = 0.1;

/// The field of a row that is a thread.
const TAP_DRILL: &str = "tap_drill";

/// The field of a row that names its bolt.
const BOLT: &str = "bolt";

/// Whether the item in a hole determines its thread: a thread does, and a row that names its bolt,
/// such as a rod end.
pub(super) fn is_named(row: &Row) -> bool {
    row.quantity(TAP_DRILL).is_some() || row.text(BOLT).is_some()
}

/// The thread of the item in the hole.
fn named(row: &Arc<Row>, tables: &Tables) -> Option<Arc<Row>> {
    match row.quantity(TAP_DRILL) {
        Some(_) => Some(Arc::clone(row)),
        None => tables.row(BOLT, row.text(BOLT)?).map(Arc::clone),
    }
}

/// That of the item in the hole, if it has one; else the one row of the table `bolt` whose thread
/// has the finished diameter and whose tap drill is no smaller than the pilot. With a smaller pilot
/// that is a guess: a fine thread may follow.
pub(super) fn of(
    row: Option<&Arc<Row>>,
    (pilot, finished): (Option<f64>, Option<f64>),
    tables: &Tables,
) -> Option<Arc<Row>> {
    if let Some(row) = row.filter(|row| is_named(row)) {
        return named(row, tables);
    }
    let (pilot, finished) = (pilot?, finished?);
    let measure = |row: &Row, field: &str| row.quantity(field).map(|size| size.value);
    let fits = |row: &&Arc<Row>| {
        measure(row, "diameter").is_some_and(|is| (is - finished).abs() < SAME)
            && measure(row, TAP_DRILL).is_some_and(|drill| pilot < drill + DRILL)
    };
    let mut fitting = tables.table(BOLT)?.rows().filter(fits);
    let one = fitting.next()?;
    fitting.next().is_none().then(|| Arc::clone(one))
}
