//! The keyway of a shaft: its key is that of the shaft, by the table `key`.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom;
use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Point;
use crate::part::values::Values;
use crate::recipe::Expr;
use crate::table::Row;

/// Less is rounding, mm.
const SAME: f64 = 1e-6;

/// A hole for a shaft of a diameter, mm, with the keyway of its key: as wide and as deep as is asked
/// for, else by the table. A key wider than that of the shaft is refused: it would leave the shaft
/// too little metal. `None` when something was reported.
pub(super) fn outline(
    diameter: f64,
    [key, depth]: [Option<&Expr>; 2],
    values: &Values,
    span: Span,
) -> Option<Result<Outline, OutlineError>> {
    let asked = |of: Option<&Expr>| match of {
        Some(expr) => values.length(expr).map(Some),
        None => Some(None),
    };
    let (key, depth) = (asked(key)?, asked(depth)?);
    let rows = || values.tables.table("key").into_iter().flat_map(|table| table.rows());
    let of_shaft = rows().find(|row| {
        diameter > row.measure("over") + SAME && diameter <= row.measure("up_to") + SAME
    });
    let show = |mm: f64| values.params.units().length(mm);
    let widest = of_shaft.map(|row| row.measure("width"));
    if let (Some(key), Some(widest)) = (key, widest)
        && key > widest + SAME
    {
        let [shaft, widest, key] = [diameter, widest, key].map(show);
        let words =
            format!("a shaft of {shaft} takes a key of {widest} (DIN 6885-1), not of {key}");
        refuse(values, span, &words, &format!("write `key = \"{widest}\"`, or leave `key` out"));
        return None;
    }
    let wide = key.or(widest);
    let is_as_wide =
        |row: &&std::sync::Arc<Row>| wide.is_some_and(|w| same(w, row.measure("width")));
    let beyond = rows().find(is_as_wide).map(|row| row.measure("hub"));
    let (Some(wide), Some(depth)) = (wide, depth.or(beyond.map(|mm| diameter + mm))) else {
        let words = match key {
            None => format!("the `key` table has no key for a shaft of {}", show(diameter)),
            Some(key) => format!("the `key` table has no key as wide as {}", show(key)),
        };
        refuse(values, span, &words, "give the keyway a `key` width and an overall `depth`");
        return None;
    };
    Some(geom::keyway(Point::ZERO, diameter, wide, depth))
}

fn refuse(values: &Values, span: Span, words: &str, help: &str) {
    values.findings.add(Finding::stop("blank", words).at(span, "").help(help));
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME
}
