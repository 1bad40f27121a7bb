//! Tubes that are cut out of the formed part.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::space::coordinates;

/// A round tube, endless both ways, that is cut out of the formed part.
#[derive(Clone, Debug)]
pub struct CutFolded {
    /// Outside diameter.
    pub tube: Expr,
    /// Clearance between tube and metal, all round; 0 when left out.
    pub clearance: Option<Expr>,
    /// Where its axis is, in the drawing of the face, with the height above the top side.
    pub axis: Axis,
    /// The face with this drawing, and the position of its name; the first when left out.
    pub face: Option<(String, Span)>,
    /// Name of the edges that are cut.
    pub edge: Option<String>,
    /// Leg of a fillet on each of them, where they are welded.
    pub leg: Option<Expr>,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// The whole entry.
    pub span: Span,
}

/// The axis of a tube in space.
#[derive(Clone, Debug)]
pub enum Axis {
    /// Through two points.
    Points([Expr; 3], [Expr; 3]),
    /// Through a point, in a direction of three numbers.
    Direction([Expr; 3], [Expr; 3]),
}

/// Reads an entry of `cut_folded`.
pub(super) fn read(item: &Item, findings: &Findings) -> Option<CutFolded> {
    let measures = Measures(Fields::of(item, findings)?);
    let (tube, clearance) = (measures.need("tube"), measures.may("clearance"));
    let keys = if measures.0.has("direction") { ["at", "direction"] } else { ["from", "to"] };
    let [first, second] = keys.map(|key| {
        let item = measures.0.need(key, "[\"0\", \"0\", \"0\"]")?;
        coordinates(item, findings)
    });
    let face = measures.0.get("face");
    let face = face.and_then(|item| Some((item.text()?.to_owned(), item.letters)));
    let (edge, leg, when) = (measures.name("edge"), measures.may("leg"), measures.may("when"));
    if edge.is_none() && leg.is_some() {
        let headline = "a weld needs the name of its edge";
        let help = "add `edge = \"tube\"`, a name for the edges cut by the tube";
        findings.add(Finding::stop("weld", headline).at(item.span, "").help(help));
    }
    let is_direction = keys[0] == "at";
    measures.0.finish();
    let (tube, (first, second)) = both(tube, both(first, second))?;
    let axis = match is_direction {
        true => Axis::Direction(first, second),
        false => Axis::Points(first, second),
    };
    Some(CutFolded { tube, clearance, axis, face, edge, leg, when, span: item.span })
}
