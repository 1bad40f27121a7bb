//! The clevis of a part: its dimensions as numbers.

use crate::diag::Finding;
use crate::diag::HoleId;
use crate::formula::Value;
use crate::geom;
use crate::geom::Outline;
use crate::part::depends;
use crate::part::space::in_face;
use crate::part::values::Values;
use crate::part::whole::Clevis;
use crate::part::whole::Part;
use crate::quantity::Dimension;
use crate::recipe;
use crate::recipe::Expr;
use crate::recipe::Inaccuracy;
use crate::recipe::Recipe;
use crate::table::Row;
use std::sync::Arc;

/// Gives the part that has the ear its clevis; what cannot be is reported.
pub(super) fn add(recipe: &Recipe, parts: &mut [Part], values: &Values) {
    let Some(clevis) = recipe.clevis.as_ref().filter(|c| recipe.makes(&c.eye.0)) else { return };
    let (face, eye) = (&clevis.eye.0, &clevis.eye.1);
    for part in parts.iter_mut() {
        let Some(i) = part.faces.iter().position(|f| f.name == *face) else { continue };
        let Some(hole) = part.faces[i].holes.iter().position(|h| h.name == *eye) else { continue };
        let eye = HoleId { face: i, hole };
        let Some(face) = recipe.faces.get(face) else { return };
        part.clevis = in_face(face, values, |values| build(clevis, eye, values));
        return;
    }
    values.findings.add(
        Finding::stop("bad-name", format!("there is no hole `{eye}` in a face `{face}`"))
            .at(clevis.span, "the eye of this clevis")
            .help("name a face and one of its holes: `eye = \"ear.eye\"`"),
    );
}

fn build(clevis: &recipe::Clevis, eye: HoleId, values: &Values) -> Option<Clevis> {
    let length = |expr: &Option<Expr>| values.length_or_zero(expr.as_ref());
    let number =
        |(each, times): &(Inaccuracy, Expr)| Some((*each, values.number(times, Dimension::NONE)?));
    let (rod_end, gap) = (rod_end(&clevis.rod_end, values), values.length(&clevis.gap));
    let (spacer, weld) = (length(&clevis.spacer), length(&clevis.weld));
    let (floor, tube) = (values.length(&clevis.floor), length(&clevis.tube));
    let angle = |expr: &Option<Expr>| values.angle(expr.as_ref());
    let (direction, swing, rotation) =
        (angle(&clevis.direction), angle(&clevis.swing), angle(&clevis.rotation));
    let bridge = match &clevis.bridge {
        Some(bridge) => Some(self::bridge(bridge, values)?),
        None => None,
    };
    let varies: Vec<_> = clevis.varies.iter().filter_map(number).collect();
    let names = |exprs: &[Option<&Expr>]| depends::names(exprs.iter().copied().flatten());
    let (end, gap_expr) = (Some(&clevis.rod_end), Some(&clevis.gap));
    Some(Clevis {
        rod_end: rod_end?,
        gap: gap?,
        spacer: spacer?,
        eye,
        ears: clevis.ears,
        floor: floor?,
        weld: weld?,
        direction: direction?,
        swing: swing?,
        rotation: rotation?,
        tube: tube?,
        bridge,
        varies,
        span: clevis.span,
        depends: names(&[gap_expr, clevis.spacer.as_ref(), end]),
        swing_depends: names(&[clevis.swing.as_ref(), clevis.spacer.as_ref(), gap_expr, end]),
        rotation_depends: names(&[
            clevis.rotation.as_ref(),
            clevis.direction.as_ref(),
            Some(&clevis.floor),
        ]),
    })
}

fn bridge(bridge: &recipe::Bridge, values: &Values) -> Option<Outline> {
    let at = values.point(&bridge.at);
    let (width, height) = (values.length(&bridge.width), values.length(&bridge.height));
    let outline = geom::rectangle(at?, width?, height?, 0.0).ok();
    if outline.is_none() {
        let finding = Finding::stop("out-of-range", "this bridge has no size").at(bridge.span, "");
        values.findings.add(finding.help("give it a `width` and a `height` above 0 mm"));
    }
    outline
}

fn rod_end(expr: &Expr, values: &Values) -> Option<Arc<Row>> {
    match values.value(expr)? {
        Value::Row(row) if row.table() == "rod-end" => Some(row),
        other => {
            let headline = format!("a rod end is needed here, but this is {}", other.kind());
            values.findings.add(
                Finding::stop("formula", headline)
                    .at(expr.span, "")
                    .help("name an input of kind `rod-end`"),
            );
            None
        }
    }
}
