//! The tubes that are cut out of formed parts, as numbers.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead_of;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::unit;
use crate::part::space::in_face;
use crate::part::tube::Tube;
use crate::part::values::Values;
use crate::part::welds;
use crate::part::whole::Part;
use crate::quantity::Dimension;
use crate::recipe::Axis;
use crate::recipe::CutFolded;
use crate::recipe::Recipe;

/// Adds to the parts the tubes that are to be cut out of them.
pub(super) fn add(recipe: &Recipe, parts: &mut [Part], values: &Values) {
    for asked in &recipe.cut_folded {
        if values.holds(asked.when.as_ref()) == Some(true) {
            one(recipe, asked, parts, values);
        }
    }
}

fn one(recipe: &Recipe, asked: &CutFolded, parts: &mut [Part], values: &Values) -> Option<()> {
    let first = || recipe.faces.keys().next().map(|name| (name.clone(), asked.span));
    let (name, span) = asked.face.clone().or_else(first)?;
    let refuse = |headline: String, span: Span, help: String| {
        values.findings.add(Finding::stop("cut-folded", headline).at(span, "").help(help));
    };
    let Some(drawn) = recipe.faces.get(&name) else {
        let names: Vec<&str> = recipe.faces.keys().map(String::as_str).collect();
        let headline = format!("there is no drawn face `{name}`");
        refuse(headline, span, instead_of(&name, &names, "the drawn face"));
        return None;
    };
    let radius = values.length(&asked.tube)? / 2.0;
    let clearance = values.length_or_zero(asked.clearance.as_ref())?;
    let slip = match &asked.clearance {
        Some(given) if clearance < 0.0 => Some((given.span, "clearance = \"0.5 mm\"")),
        _ => (radius <= 0.0).then_some((asked.tube.span, "tube = \"38 mm\"")),
    };
    if let Some((span, example)) = slip {
        let headline =
            "the tube needs a diameter of more than 0 and a `clearance` of 0 or more".into();
        refuse(headline, span, format!("write `{example}`"));
        return None;
    }
    let leg = asked.leg.as_ref().map_or(Some(None), |leg| welds::leg(leg, values).map(Some))?;
    let (at, way) = in_face(drawn, values, |values| axis(&asked.axis, values))?;
    if length(way) < NEAR {
        let help = "give two points that are apart, or a direction such as `[\"0\", \"0\", \"1\"]`";
        refuse("the axis of the tube has no direction".into(), asked.span, help.into());
        return None;
    }
    let along = unit(way);
    let edge = asked.edge.clone();
    let of = |part: &&mut Part| part.faces.iter().any(|face| face.name == name);
    // A face that `when` leaves out has no tube.
    let part = parts.iter_mut().find(of)?;
    let face = part.faces.iter().position(|face| face.name == name)?;
    let (outside, radius, span) = (2.0 * radius, radius + clearance, asked.span);
    let tube = Tube { at, along, radius, outside, face, edge, leg, cut: false, met: false, span };
    part.tubes.push(if drawn.mirrored { tube.mirrored() } else { tube });
    Some(())
}

/// A point of the axis of a tube, and where that runs from there.
fn axis(axis: &Axis, values: &Values) -> Option<(Space, Space)> {
    match axis {
        Axis::Points(from, to) => {
            let (from, to) = (values.space(from), values.space(to));
            let (from, to) = (from?, to?);
            Some((from, minus(to, from)))
        }
        Axis::Direction(at, way) => {
            let [x, y, z] = way.each_ref().map(|e| values.number(e, Dimension::NONE));
            Some((values.space(at)?, [x?, y?, z?]))
        }
    }
}
