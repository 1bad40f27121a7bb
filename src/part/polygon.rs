//! Polygons of a recipe: their corners and discs as numbers.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom;
use crate::geom::Corner;
use crate::geom::CornerError;
use crate::geom::CornerKind;
use crate::geom::CornerSide;
use crate::geom::Outline;
use crate::geom::Stop;
use crate::part::face::NamedEdge;
use crate::part::values::Values;
use crate::recipe::ArcSide;
use crate::recipe::CornerStep;
use crate::recipe::Treatment;

/// Maximum number of corners of a polygon, or of pieces in a belt: each is compared with each. Our
/// choice.
pub(super) const MAX: usize = 500;

/// The help where no corner and no key is to blame.
pub(super) const CHANGE: &str = "change the dimensions of this shape";

/// A polygon and its named edges; `None` when something was reported, at the corner it is about
/// or at the whole step.
pub(super) fn polygon(
    steps: &[CornerStep],
    values: &Values,
    span: Span,
) -> Option<(Outline, Vec<NamedEdge>)> {
    let (mut stops, mut spans) = (Vec::with_capacity(steps.len()), Vec::new());
    let mut names = Vec::new();
    for step in steps {
        values.each(step.each.as_ref(), |values| {
            if let Some(name) = &step.edge {
                names.push((stops.len(), values.edge_name(name)));
            }
            stops.push(stop(step, values)?);
            spans.push(step.span);
            Some(())
        })?;
        if stops.len() > MAX {
            let words = format!("a polygon has at most {MAX} corners, this has more");
            report(values, span, &words, "leave out corners, or draw an outline file");
            return None;
        }
    }
    let (outline, sides) = match geom::wrapped(&stops) {
        Ok(made) => made,
        Err(error) => {
            let at = error.corner().map_or(span, |corner| spans[corner]);
            report(values, at, &error.to_string(), &remedy(&error));
            return None;
        }
    };
    let edge = |(stop, name): (usize, String)| {
        let edge = sides[stop];
        NamedEdge { name, edge, centre: edge.point_at(0.5) }
    };
    Some((outline, names.into_iter().map(edge).collect()))
}

fn report(values: &Values, span: Span, words: &str, help: &str) {
    values.findings.add(Finding::stop("blank", words).at(span, "").help(help));
}

/// What to type where corners make no polygon.
fn remedy(error: &CornerError) -> String {
    let at = error.corner().map_or(0, |corner| corner + 1);
    match error {
        CornerError::Few(_) => "add corners: a polygon has at least 3".into(),
        CornerError::Repeated(..) => format!("remove corner {at}, or move it"),
        CornerError::Large { .. } => format!(
            "make the rounding, chamfer or clip of corner {at} or the next one smaller, or the \
             edge longer"
        ),
        CornerError::Straight(_) | CornerError::TangentCorner(_) => {
            format!("remove `round`, `chamfer` or `clip` at corner {at}")
        }
        CornerError::Negative(_) => "make the size 0 or more".into(),
        CornerError::Unfit(_) => {
            format!("make `round`, `chamfer` or `clip` at corner {at} smaller")
        }
        CornerError::SmallRadius { .. } => {
            "make the radius larger, or give the arc a `height`".into()
        }
        CornerError::InLine(_) => "move the point off the line of the ends".into(),
        CornerError::Centre { .. } => {
            "move the centre to where both ends are equally far from it".into()
        }
        CornerError::NoTangentArc(_) => {
            format!("give the arc at corner {at} a `height`, or make the edge before it straight")
        }
        CornerError::NoTangent(..) => "make a disc smaller, or move them apart".into(),
        CornerError::NotReached { off, .. } => {
            let out = (off * 1000.0).ceil() / 1000.0;
            format!(
                "move corner {at} {out} mm out, make its disc that much larger, or leave it out"
            )
        }
        CornerError::ArcAtDisc(_) => {
            format!("remove `arc` at corner {at}, or write `arc = {{ radius = \"60 mm\" }}`")
        }
        CornerError::NoArc { least: Some(least), .. } => {
            format!("make the radius {} mm or more", (least * 1000.0).ceil() / 1000.0)
        }
        CornerError::NoArc { .. } => "make the disc smaller, or move them apart".into(),
        CornerError::NoDisc(_) => "give the disc a radius".into(),
        CornerError::InsideOut => "make the radius positive".into(),
        CornerError::Outline(_) => CHANGE.into(),
    }
}

/// A corner of a polygon, or a disc that it runs round.
fn stop(step: &CornerStep, values: &Values) -> Option<Stop> {
    let at = values.point(&step.at)?;
    let kind = match &step.treatment {
        None => CornerKind::Sharp,
        Some((treatment, measure)) => match (treatment, values.length(measure)?) {
            (_, 0.0) => CornerKind::Sharp,
            (Treatment::Round, r) => CornerKind::Round(r),
            (Treatment::Chamfer, d) => CornerKind::Chamfer(d),
            (Treatment::Clip, r) => CornerKind::Clip(r),
        },
    };
    let side = match &step.arc {
        None => CornerSide::Straight,
        Some(ArcSide::Height(height)) => CornerSide::Height(values.length(height)?),
        Some(ArcSide::Radius(radius)) => CornerSide::Radius(values.length(radius)?),
        Some(ArcSide::Through(point)) => CornerSide::Through(values.point(point)?),
        Some(ArcSide::Centre(point)) => CornerSide::About(values.point(point)?),
        Some(ArcSide::Tangent) => CornerSide::Tangent,
    };
    Some(match &step.disc {
        Some(radius) => Stop::Disc(at, values.length(radius)?, side),
        None => Stop::Corner(Corner { at, kind, side }),
    })
}
