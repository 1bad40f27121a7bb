//! Tubes in space, and the planes in which faces lie among them.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;

/// A round tube in space: an entry of `[tube]`.
#[derive(Clone, Debug)]
pub struct SpaceTube {
    /// Outside diameter.
    pub outside: Expr,
    /// Where its centre line begins, where it would turn a corner if it were not bent, and where
    /// it ends.
    pub path: Vec<[Expr; 3]>,
    /// Radius of its centre line in the bends.
    pub radius: Option<Expr>,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// The position of its name.
    pub span: Span,
}

/// The plane in which the top side of a face lies, or half its thickness.
#[derive(Clone, Debug)]
pub struct Plane {
    /// Where the origin of its drawing lies.
    pub origin: [Expr; 3],
    /// What else defines it.
    pub by: PlaneBy,
    /// Whether it is at half the thickness of the sheet, and not at its top side.
    pub is_centred: bool,
    /// The whole entry.
    pub span: Span,
}

/// What defines a plane beside its origin.
#[derive(Clone, Debug)]
pub enum PlaneBy {
    /// Two points in space: one on its x, and one on the side to which y points.
    Points(Box<[[Expr; 3]; 2]>),
    /// Square to a tube, of which that is the name: to a straight leg of it, counted from 1, the
    /// first when left out.
    Tube((String, Span), Option<Expr>),
}

/// What a step cuts of a tube out of a face.
#[derive(Clone, Debug)]
pub struct TubeCut {
    /// Name of the tube, and its position.
    pub tube: (String, Span),
    /// Left between tube and metal, all round; none when left out.
    pub clearance: Option<Expr>,
    /// Which straight leg of a bent tube, counted from 1, where that is given.
    pub leg: Option<Expr>,
    /// Name of the edges that are cut.
    pub edge: Option<String>,
}

impl SpaceTube {
    pub(super) fn read(entry: &Entry, findings: &Findings) -> Option<Self> {
        let measures = Measures(Fields::of(&entry.item, findings)?);
        let (outside, when) = (measures.need("outside"), measures.may("when"));
        let is_bent = measures.0.has("through");
        let (path, radius) = match is_bent {
            true => (chain(&measures), measures.need("radius").map(Some)),
            false => {
                let ends = both(three(&measures, "from"), three(&measures, "to"));
                (ends.map(|(from, to)| vec![from, to]), Some(None))
            }
        };
        measures.0.finish();
        let ((outside, path), radius) = both(both(outside, path), radius)?;
        Some(Self { outside, path, radius, when, span: entry.key })
    }
}

impl Plane {
    /// The `on` of a face, if any; `None` when it cannot be read.
    pub(super) fn read(fields: &Fields) -> Option<Option<Self>> {
        let Some(item) = fields.get("on") else { return Some(None) };
        let measures = Measures(Fields::of(item, fields.findings())?);
        let origin = three(&measures, "origin");
        let by = match measures.0.get("across") {
            Some(across) => {
                let name = measures.0.needed_text("across", "\"post\"").map(str::to_owned);
                let leg = measures.may("leg");
                name.map(|name| PlaneBy::Tube((name, across.letters), leg))
            }
            None => both(three(&measures, "x"), three(&measures, "side"))
                .map(|(x, side)| PlaneBy::Points(Box::new([x, side]))),
        };
        let is_centred = measures.0.flag("centred");
        measures.0.finish();
        let (origin, by) = both(origin, by)?;
        Some(Some(Self { origin, by, is_centred, span: item.span }))
    }
}

impl TubeCut {
    /// The keys of a step that cuts a tube.
    pub(super) fn read(measures: &Measures) -> Option<Self> {
        let name = measures.0.needed_text("tube", "\"post\"").map(str::to_owned);
        let span = measures.0.get("tube").map(|item| item.letters);
        let (clearance, leg, edge) =
            (measures.may("clearance"), measures.may("leg"), measures.name("edge"));
        Some(Self { tube: name.zip(span)?, clearance, leg, edge })
    }
}

/// The points of a bent tube: three or more.
fn chain(measures: &Measures) -> Option<Vec<[Expr; 3]>> {
    let item = measures.0.get("through")?;
    let points = match &item.value {
        Value::List(items) if items.len() >= 3 => items,
        _ => {
            let finding =
                Finding::stop("wrong-kind", "a bent tube goes through three points or more");
            measures.0.add(
                finding
                    .at(item.span, "")
                    .help("write `from` and `to` for a straight one, or one more point"),
            );
            return None;
        }
    };
    let read: Vec<_> =
        points.iter().filter_map(|item| place(item, measures.0.findings())).collect();
    (read.len() == points.len()).then_some(read)
}

fn three(measures: &Measures, key: &str) -> Option<[Expr; 3]> {
    place(measures.0.need(key, "[\"0\", \"0\", \"0\"]")?, measures.0.findings())
}

/// A place in space: three formulas, or one that evaluates to a point in space.
pub(super) fn place(item: &Item, findings: &Findings) -> Option<[Expr; 3]> {
    match &item.value {
        Value::Text(_) => {
            let whole = Expr::read(item, findings)?;
            let of = |field| Expr { formula: whole.formula.clone().field(field), span: whole.span };
            Some(["x", "y", "z"].map(of))
        }
        _ => coordinates(item, findings),
    }
}

/// A place in space of three formulas.
pub(super) fn coordinates(item: &Item, findings: &Findings) -> Option<[Expr; 3]> {
    match &item.value {
        Value::List(items) if items.len() == 3 => {
            let all = [&items[0], &items[1], &items[2]].map(|item| Expr::read(item, findings));
            let [x, y, z] = all;
            Some([x?, y?, z?])
        }
        _ => {
            let finding = wrong_kind(item, "a place in space `[\"x\", \"y\", \"z\"]`");
            let flat = matches!(&item.value, Value::List(items) if items.len() == 2);
            findings.add(match flat {
                true => finding.help("add z: `[\"x\", \"y\", \"0 mm\"]`"),
                false => finding,
            });
            None
        }
    }
}
