//! An open value between two limits, in steps: `{ from = "20 mm", to = "60 mm", step = "1 mm" }`.

use crate::diag::Finding;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::num;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;
use crate::quantity::Units;

/// Less than this share of a step is rounding.
const ROUNDING: f64 = 1e-6;

/// The values of a range, smallest first, as they could be typed: lengths or angles.
pub(crate) fn values(entry: &Entry, units: Units, max: usize) -> Result<Vec<Item>, Vec<Finding>> {
    let findings = Findings::default();
    let values = read(entry, units, max, &findings);
    match values {
        Some(values) if findings.is_empty() => Ok(values),
        _ => Err(findings.take()),
    }
}

fn read(entry: &Entry, units: Units, max: usize, findings: &Findings) -> Option<Vec<Item>> {
    let fields = Fields::of(&entry.item, findings)?;
    let first = fields.need("from", "\"20 mm\"");
    let is_angle = first.and_then(Item::text).is_some_and(|text| {
        matches!(quantity::read(text), Ok(Reading::Quantity(q)) if q.dimension == Dimension::ANGLE)
    });
    let (dimension, what, unit) = match is_angle {
        true => (Dimension::ANGLE, "an angle", "deg"),
        false => (Dimension::LENGTH, "a length", "mm"),
    };
    let measure =
        |item: Option<&Item>| item.and_then(|i| entry::measure(i, dimension, what, unit, findings));
    let from = measure(first);
    let to = measure(fields.need("to", "\"60 mm\""));
    let step = measure(fields.need("step", "\"1 mm\""));
    fields.finish();
    let (from, to, step) = (from?, to?, step?);
    let refuse = |headline: &str, help: &str| {
        findings.add(
            Finding::stop("out-of-range", headline).at(entry.item.span, "").help(help.to_owned()),
        );
        None
    };
    if step <= 0.0 {
        return refuse("the step of a range must be more than 0", "write `step = \"1 mm\"`");
    }
    if to < from {
        return refuse("this range ends before it starts", "swap `from` and `to`");
    }
    let steps = ((to - from) / step + ROUNDING).floor();
    if steps >= max as f64 {
        return refuse("this range has too many steps", "make `step` larger, or the range shorter");
    }
    let item = |i: usize| {
        let value = from + step * i as f64;
        let text = match is_angle {
            true => format!("{} deg", num::text(value, 4)),
            false => typed(units, value),
        };
        Item { value: Value::Text(text), ..entry.item.clone() }
    };
    Some((0..=steps as usize).map(item).collect())
}

/// A length as it could be typed, to a ten thousandth: the value shown is the one used.
fn typed(units: Units, mm: f64) -> String {
    match units {
        Units::Millimetre => format!("{} mm", num::text(mm, 4)),
        Units::Inch => format!("{} in", num::text(mm / units.in_mm(), 4)),
    }
}
