//! The thread of a tapped hole of which the recipe says only the size.

use crate::part::face::HoleSize;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// Diameters nearer than this are one, mm: an inch size in millimetres, to three digits.
const SAME: f64 = 0.005;

/// A pilot no larger than this beyond the tap drill of a coarse thread is for that thread, mm; the
/// drill of the next finer one is farther off. Our choice.
const DRILL: f64 = 0.1;

/// What goes through, where it is a bolt; else the one row of the table `bolt` whose thread has the
/// finished diameter and whose tap drill is no smaller than the pilot.
pub(super) fn of(
    row: Option<&Arc<Row>>,
    (size, finished): (HoleSize, Option<f64>),
    tables: &Tables,
) -> Option<Arc<Row>> {
    if let Some(row) = row {
        return Some(Arc::clone(row));
    }
    let HoleSize::Round { diameter: pilot } = size else { return None };
    let finished = finished?;
    let measure = |row: &Row, field: &str| row.quantity(field).map(|size| size.value);
    let fits = |row: &&Arc<Row>| {
        measure(row, "diameter").is_some_and(|is| (is - finished).abs() < SAME)
            && measure(row, "tap_drill").is_some_and(|drill| pilot < drill + DRILL)
    };
    let mut fitting = tables.table("bolt")?.rows().filter(fits);
    let one = fitting.next()?;
    fitting.next().is_none().then(|| Arc::clone(one))
}
