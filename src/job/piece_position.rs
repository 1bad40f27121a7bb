//! `on` of a part: where a piece of it is in the machine.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::unit;
use crate::job::points::Points;

/// The position of a piece of a part.
#[derive(Clone, Debug)]
pub(crate) struct PiecePosition {
    /// How that is given.
    pub(crate) by: By,
    /// The face of the plate it is, where the part has several.
    pub(crate) face: Option<(String, Span)>,
    /// Its entry.
    pub(crate) span: Span,
}

/// How the place of a part is given.
#[derive(Clone, Debug)]
pub(crate) enum By {
    /// By the frame of its drawing.
    Frame(Frame),
    /// By its holes: the name of each, its position in the text, and its centre.
    Holes(Vec<(String, Span, Space)>),
}

const EXAMPLE: &str = "on = { origin = \"A\", x = \"B\", side = \"C\" }";

/// The positions of the pieces of a part.
pub(super) fn read(fields: &Fields, points: &Points) -> Vec<PiecePosition> {
    let Some(item) = fields.get("on") else { return Vec::new() };
    let items = match &item.value {
        Value::List(items) => items.as_slice(),
        _ => std::slice::from_ref(item),
    };
    items.iter().filter_map(|item| one(item, points, fields.findings())).collect()
}

fn one(item: &Item, points: &Points, findings: &Findings) -> Option<PiecePosition> {
    let fields = Fields::of(item, findings)?;
    let face = fields.text("face").map(str::to_owned);
    let face = face.zip(fields.get("face").map(|item| item.letters));
    let by = match fields.has("holes") {
        true => holes(&fields, points).map(By::Holes),
        false => axes(&fields, points).map(By::Frame),
    };
    fields.finish();
    Some(PiecePosition { by: by?, face, span: item.span })
}

fn holes(fields: &Fields, points: &Points) -> Option<Vec<(String, Span, Space)>> {
    let entries = fields.entries("holes");
    let at = fields.get("holes").map_or(fields.here, |item| item.span);
    let place = |(name, entry): &(&str, &Entry)| {
        Some(((*name).to_owned(), entry.key, points.named(&entry.item, fields.findings())?))
    };
    let all: Vec<_> = entries.iter().filter_map(place).collect();
    if entries.len() >= 3 {
        return (all.len() == entries.len()).then_some(all);
    }
    let finding = Finding::stop("missing-key", "three holes place a part").at(at, "");
    fields.add(finding.help(
        "write `holes = { \"foot 1\" = \"A\", \"foot 2\" = \"B\", eye = \"C\" }`, or give `origin`, \
         `x` and `side`",
    ));
    None
}

/// The frame of an item `{ origin, x, side }`.
pub(super) fn frame(item: &Item, points: &Points, findings: &Findings) -> Option<Frame> {
    let fields = Fields::of(item, findings)?;
    let frame = axes(&fields, points);
    fields.finish();
    frame
}

fn axes(fields: &Fields, points: &Points) -> Option<Frame> {
    let point = |key: &str| {
        let item = fields.need_or(key, &format!("write `{EXAMPLE}`"))?;
        points.named(item, fields.findings())
    };
    let (origin, x, side) = (point("origin"), point("x"), point("side"));
    let frame = through([origin?, x?, side?]);
    if frame.is_none() {
        let finding = Finding::stop("points", "the three points lie on one line");
        fields.add(finding.at(fields.here, "").help("choose a point off that line for `side`"));
    }
    frame
}

/// The frame with its origin at a place, its x to a second and its y to the side of a third;
/// `None` if they are on one line.
pub(crate) fn through([origin, x, side]: [Space; 3]) -> Option<Frame> {
    let along = minus(x, origin);
    let up = cross(along, minus(side, origin));
    if length(along) <= NEAR || length(up) <= NEAR * length(along).max(1.0) {
        return None;
    }
    let (x, z) = (unit(along), unit(up));
    Some(Frame { origin, x, y: cross(z, x), z })
}
