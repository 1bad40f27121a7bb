//! The captured nut of a part: its dimensions as numbers.

use crate::diag::Finding;
use crate::diag::HoleId;
use crate::formula::Value;
use crate::part::depends;
use crate::part::face::Hole;
use crate::part::values::Values;
use crate::part::whole::Captured;
use crate::part::whole::Part;
use crate::recipe;
use crate::recipe::Expr;
use crate::recipe::Recipe;
use crate::table::Row;
use std::sync::Arc;

/// Gives the part that has the seat its nut. A seat that the inputs leave out has none.
pub(super) fn add(recipe: &Recipe, parts: &mut [Part], values: &Values) {
    let Some(captured) = &recipe.captured else { return };
    let (face, seat) = (&captured.seat.0, &captured.seat.1);
    for part in parts.iter_mut() {
        let is_seat =
            |(id, hole): &(HoleId, &Hole)| part.faces[id.face].name == *face && hole.name == *seat;
        let Some((seat, hole)) = part.holes().find(is_seat) else { continue };
        let aside = (hole.at - part.faces[seat.face].blank.bounds().centre()).hypot();
        part.captured = build(captured, seat, aside, values);
        return;
    }
}

fn build(
    captured: &recipe::Captured,
    seat: HoleId,
    aside: f64,
    values: &Values,
) -> Option<Captured> {
    let length = |expr: &Option<Expr>| values.length_or_zero(expr.as_ref());
    let nut = nut(&captured.nut, values);
    let (bore, wall) = (values.length(&captured.bore), values.length(&captured.wall));
    let (root, weld) = (length(&captured.root), length(&captured.weld));
    let shift = length(&captured.shift);
    let exprs = [&captured.nut, &captured.bore, &captured.wall].into_iter();
    let more = captured.root.iter().chain(&captured.weld).chain(&captured.shift);
    Some(Captured {
        nut: nut?,
        seat,
        bore: bore?,
        wall: wall?,
        root: root?,
        weld: weld?,
        shift: shift?,
        aside,
        span: captured.span,
        depends: depends::names(exprs.chain(more)),
    })
}

fn nut(expr: &Expr, values: &Values) -> Option<Arc<Row>> {
    match values.value(expr)? {
        Value::Row(row) if row.table() == "nut" => Some(row),
        other => {
            let headline = format!("a nut is needed here, but this is {}", other.kind());
            let finding = Finding::stop("formula", headline).at(expr.span, "");
            values.findings.add(finding.help("name an input of kind `nut`"));
            None
        }
    }
}
