//! A bend of a recipe as made: its form, its dimensions, and how it unfolds.

use crate::bend;
use crate::bend::BendError;
use crate::bend::Development;
use crate::bend::Form;
use crate::bend::Method;
use crate::bend::Rule;
use crate::bend::Trust;
use crate::bend::Unfolding;
use crate::diag::Finding;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::heading;
use crate::num;
use crate::num::Angle;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe;
use crate::recipe::Expr;
use crate::recipe::FoldLine;
use crate::recipe::LinePlace;

/// The bend itself, with its own radius, that of its unfolding, or the usual one.
pub(super) fn made(
    bend: &recipe::Bend,
    unfolding: &Unfolding,
    values: &Values,
) -> Option<bend::Bend> {
    let thickness = values.known("thickness")?;
    let meets = bend.line.as_ref().and_then(|line| line.meets.as_ref().map(|to| (line, to)));
    let angle = match (&bend.angle, meets) {
        (Some(angle), _) => Some(Angle::from_degrees(values.number(angle, Dimension::ANGLE)?)),
        (None, Some((line, to))) => Some(meeting(bend, line, to, values)?),
        (None, None) => None,
    };
    let radius = match (&bend.radius, unfolding.radius) {
        (Some(expr), _) => values.length(expr)?,
        (None, Some(radius)) => radius,
        (None, None) => values.known("bend_radius")?,
    };
    let made = match (bend.form, &bend.opening, angle) {
        (Form::Bent, _, Some(angle)) => bend::Bend::new(thickness, radius, angle, unfolding.method),
        (Form::Rolled, _, Some(angle)) => {
            bend::Bend::rolled(thickness, radius, angle, unfolding.method)
        }
        (_, Some(opening), _) => {
            bend::Bend::open_hem(thickness, values.length(opening)?, unfolding.method)
        }
        _ => bend::Bend::closed_hem(thickness, own_k(bend, unfolding, values)?),
    };
    if let Err(error) = &made {
        let span = match error {
            BendError::Angle(_) | BendError::Rolled(_) => bend.angle.as_ref(),
            BendError::Radius { .. } => bend.radius.as_ref().or(bend.opening.as_ref()),
            BendError::Thickness(_) | BendError::K(_) => None,
        };
        let span = span.map(|expr| expr.span).or(meets.map(|(_, to)| to[0].span));
        let span = span.unwrap_or(bend.span);
        let finding = Finding::stop("bend", error.to_string()).at(span, "");
        values.findings.add(finding.help(instead(bend, error)));
    }
    made.ok()
}

/// The angle of a fold line by which what moves reaches a point in space, z above the top side of
/// the face, the sheet creased sharp along the line.
fn meeting(bend: &recipe::Bend, line: &FoldLine, to: &[Expr; 3], values: &Values) -> Option<Angle> {
    let [x, y, z] = values.space(to)?;
    let (from, along) = match &line.place {
        LinePlace::Points(from, to) => {
            let (from, to) = (values.point(from)?, values.point(to)?);
            (from, to - from)
        }
        LinePlace::Direction(at, direction) => {
            (values.point(at)?, heading(values.angle(Some(direction))?))
        }
        // Refused when it was read.
        LinePlace::Edge { .. } | LinePlace::Drawn(_) => return None,
    };
    let left = |p: Point| along.cross(p - from) / along.hypot().max(NEAR);
    let moves = line.moves.as_ref().map_or(Some(1.0), |at| values.point(at).map(left))?;
    let out = left(Point::new(x, y)) * moves.signum();
    let refuse = |headline: String, help: &str| {
        let finding = Finding::stop("bend", headline).at(to[0].span, "");
        values.findings.add(finding.help(help));
        None
    };
    if num::hypot(out, z) < NEAR {
        let headline = "the point that this bend meets is on its line".into();
        return refuse(headline, "name a point off the line");
    }
    if z != 0.0 && (z > 0.0) != bend.up {
        let (lies, side) = if bend.up { ("below", "down") } else { ("above", "up") };
        let shown = values.params.units().length(z.abs());
        let headline = format!("the point that this bend meets is {shown} {lies} the face");
        return refuse(headline, &format!("write `side = \"{side}\"`"));
    }
    Some(Angle::of(out, z.abs()))
}

/// What to do about a bend that cannot be unfolded.
fn instead(bend: &recipe::Bend, error: &BendError) -> String {
    match error {
        BendError::Angle(angle) | BendError::Rolled(angle) if angle.degrees() < 0.0 => {
            let side = if bend.up { "down" } else { "up" };
            let degrees = num::text(-angle.degrees(), 3);
            format!("write `angle = \"{degrees} deg\"` and `side = \"{side}\"`")
        }
        BendError::Angle(_) if bend.angle.is_none() => {
            "move the point that it meets, or the line".into()
        }
        BendError::Angle(_) => {
            "change the angle; a fold that lies flat on its own sheet is a hem".into()
        }
        BendError::Rolled(_) => "change the angle".into(),
        _ => "change the angle, the radius or the sheet".into(),
    }
}

/// How a bend unfolds: by its own entry, by its recipe, or by the general rule.
pub(super) fn unfolding(
    name: &str,
    bend: &recipe::Bend,
    development: &Development,
    values: &Values,
) -> Option<Unfolding> {
    let of_set = || bend.member_of.as_ref().and_then(|set| development.own.get(set));
    let own = development.own.get(name).or_else(of_set);
    // A rolled bend or a hem uses no data of a V, unless its own entry says so.
    let said = |own: &&Unfolding| matches!(own.by, Trust::Part | Trust::Recipe);
    let own = own.filter(|own| bend.form == Form::Bent || said(own));
    match (own, bend.method) {
        (Some(own), _) => Some(*own),
        (None, None) if bend.form != Form::Bent => {
            Some(Unfolding { method: Method::Din6935, radius: None, by: Trust::Form })
        }
        (None, None) => Some(development.usual),
        (None, Some(Rule::By(method))) => {
            Some(Unfolding { method, radius: None, by: Trust::Recipe })
        }
        (None, Some(Rule::Measured)) => {
            let headline = format!(
                "bend `{name}` is computed from a measured bend, but none of this sheet was measured"
            );
            values.findings.add(
                Finding::stop("measured-bend", headline)
                    .at(bend.span, "")
                    .help("measure a strip (`platewright calibrate`), or write another `method`"),
            );
            None
        }
    }
}

/// The K-factor given for a closed hem itself; the formulas need an inside radius.
fn own_k(bend: &recipe::Bend, unfolding: &Unfolding, values: &Values) -> Option<Option<f64>> {
    if !matches!(unfolding.by, Trust::Part | Trust::Recipe) {
        return Some(None);
    }
    if let Method::K(k) = unfolding.method {
        return Some(Some(k));
    }
    let headline = format!("a closed hem has no inside radius, which `{}` needs", unfolding.method);
    let finding = Finding::stop("bend", headline).at(bend.span, "");
    values.findings.add(finding.help("leave its method out, or write a K-factor"));
    None
}
