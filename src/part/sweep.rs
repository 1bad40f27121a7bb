//! How far it is from one direction to another.

use crate::diag::Finding;
use crate::num;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe::Expr;

/// From the direction in which something begins to that in which it ends, anticlockwise,
/// degrees; a finding of this code when it would run clockwise.
pub(super) fn sweep(ends: &[Expr; 2], code: &'static str, values: &Values) -> Option<f64> {
    let [from, to] = ends.each_ref().map(|end| values.number(end, Dimension::ANGLE));
    let (from, to) = (from?, to?);
    if to > from {
        return Some(to - from);
    }
    let [shown, end] = [from, to].map(|degrees| num::text(degrees, 3));
    let (headline, help) = match to == from {
        true => (
            format!("from {shown}° to {end}° nothing is swept"),
            "make `to` more than `from`".to_owned(),
        ),
        false => (
            format!("`to` ({end}°) must be more than `from` ({shown}°)"),
            format!("swap the two, or write `to = \"{} deg\"`", num::text(to + 360.0, 3)),
        ),
    };
    values.findings.add(Finding::stop(code, headline).at(ends[1].span, "").help(help));
    None
}
