//! The positions of the holes of a set: its pattern.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::zero;
use crate::recipe::spacing;
use crate::recipe::spacing::Amount;
use crate::recipe::spacing::Spacing;
use crate::recipe::tongue::TongueSlot;

/// The positions of the holes of a set.
#[derive(Clone, Debug)]
pub enum Pattern {
    /// One.
    Single,
    /// Count, from the centre of the first to that of the last; in a line along x before rotation.
    Span(Expr, Expr),
    /// Spacing, whether slots lie across the row; in a line along x before rotation.
    Row(Spacing, bool),
    /// Spacing along x and y.
    Grid(Box<[Spacing; 2]>),
    /// On a circle.
    Circle(Circle),
    /// Along each of some named edges: their names, how many, distance from it, distance of the
    /// outer ones from its ends.
    Along(Vec<String>, Amount, Expr, Expr),
    /// One at each corner of the blank's bounds: distance from both sides.
    Corners(Expr),
    /// Where the holes it is like are.
    Like,
}

/// Holes on a circle.
#[derive(Clone, Debug)]
pub struct Circle {
    /// How many.
    pub count: Expr,
    /// Of the circle.
    pub diameter: Expr,
    /// Direction of the first.
    pub start: Option<Expr>,
    /// Angle from each to the next, anticlockwise; evenly all round when it is left out.
    pub pitch: Option<Expr>,
    /// Whether slots lie along the circle, and not across it.
    pub tangential: bool,
}

/// The positions of the holes of an entry.
pub(super) fn read(measures: &Measures) -> Option<Pattern> {
    let kinds = ["row", "grid", "circle", "along", "corners"];
    let present: Vec<&str> = kinds.into_iter().filter(|k| measures.0.has(k)).collect();
    let Some(kind) = present.first() else { return Some(Pattern::Single) };
    if present.len() > 1 {
        measures.0.add(
            Finding::stop("wrong-kind", "holes follow one pattern")
                .at(measures.0.here, "")
                .help(format!("remove `{}`", present[1])),
        );
        return None;
    }
    let item = measures.0.get(kind)?;
    let inner = Measures(Fields::of(item, measures.0.findings())?);
    let pattern = match *kind {
        "row" => {
            let across = inner.0.flag("across");
            spacing::row(&inner).map(|spacing| Pattern::Row(spacing, across))
        }
        "grid" => spacing::grid(&inner).map(|both| Pattern::Grid(Box::new(both))),
        "circle" => {
            let (start, pitch) = (inner.may("start"), inner.may("pitch"));
            let tangential = inner.0.flag("tangential");
            both(inner.need_count("count"), inner.need("diameter")).map(|(count, diameter)| {
                Pattern::Circle(Circle { count, diameter, start, pitch, tangential })
            })
        }
        "along" => {
            let edge = edges(&inner);
            let measured = both(inner.need("inset"), inner.need("ends"));
            both(both(edge, spacing::amount(&inner)), measured)
                .map(|((edge, amount), (inset, ends))| Pattern::Along(edge, amount, inset, ends))
        }
        _ => inner.need("inset").map(Pattern::Corners),
    };
    inner.0.finish();
    pattern
}

/// The edge with the holes along it, or all edges.
fn edges(measures: &Measures) -> Option<Vec<String>> {
    let item = measures.0.need("edge", "\"foot\"")?;
    let Some(items) = item.list() else {
        return measures.0.text("edge").map(|name| vec![name.to_owned()]);
    };
    let other = items.iter().find(|item| item.text().is_none());
    let finding = match other {
        Some(item) => wrong_kind(item, "the name of an edge"),
        None if items.is_empty() => {
            Finding::stop("wrong-kind", "`edge` names no edge").at(item.letters, "")
        }
        None => return Some(items.iter().filter_map(Item::text).map(str::to_owned).collect()),
    };
    measures.0.add(finding.help("write `edge = [\"left\", \"right\"]`"));
    None
}

/// The shape and the pattern of a hole's `tongue_slot`.
pub(super) fn tongue_slot(measures: &Measures) -> Option<(TongueSlot, Pattern)> {
    let item = measures.0.get("tongue_slot")?;
    let inner = Measures(Fields::of(item, measures.0.findings())?);
    let count = inner.may("count");
    let is_one = |item: &Item| match &item.value {
        Value::Number(n) => *n == 1.0,
        _ => item.text().is_some_and(|text| text.trim() == "1"),
    };
    let one = inner.0.get("count").is_some_and(is_one);
    let span = match &count {
        // One is where it is, whatever the span.
        Some(count) if one => Some(inner.may("span").unwrap_or_else(|| zero(count.span))),
        Some(_) => inner.need("span"),
        None => inner.may("span"),
    };
    let (plate, relief) = (inner.may("plate"), inner.may("relief"));
    let sized = both(inner.need("width"), inner.need("fit"));
    let counted = count.is_some();
    inner.0.finish();
    let (width, fit) = sized?;
    let pattern = if counted { Pattern::Span(count?, span?) } else { Pattern::Single };
    Some((TongueSlot { width, fit, plate, relief }, pattern))
}
