//! Rectangles, whose corners may be rounded.

use crate::diag::Finding;
use crate::geom;
use crate::geom::Corner;
use crate::geom::CornerKind;
use crate::geom::CornerSide;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::part::face::NamedEdge;
use crate::part::values::Values;
use crate::recipe::Expr;
use crate::recipe::Rounded;

/// A rectangle about the origin, with its four edges before they are rounded; `None` when something
/// was reported.
pub(super) fn rectangle(
    width: f64,
    height: f64,
    rounded: Option<&Rounded>,
    values: &Values,
) -> Option<Result<(Outline, Vec<NamedEdge>), String>> {
    let (x, y) = (width / 2.0, height / 2.0);
    let corners = [Point::new(-x, -y), Point::new(x, -y), Point::new(x, y), Point::new(-x, y)];
    let (radius, which) = match rounded {
        Some(of) => (radius(&of.radius, x.min(y), values)?, of.corners),
        None => (0.0, [true; 4]),
    };
    let made = match which == [true; 4] {
        true => geom::rectangle(Point::ZERO, width, height, radius).map_err(|e| e.to_string()),
        false => partly(corners, radius, which),
    };
    let sides = ["bottom", "right", "top", "left"];
    let edge = |i: usize| {
        let edge = Edge::line(corners[i], corners[(i + 1) % 4]);
        NamedEdge { name: sides[i].to_owned(), edge, centre: edge.point_at(0.5) }
    };
    Some(made.map(|outline| (outline, (0..4).map(edge).collect())))
}

/// The outline of one of which some corners are rounded.
fn partly(corners: [Point; 4], radius: f64, which: [bool; 4]) -> Result<Outline, String> {
    let corner = |(at, round): (Point, bool)| Corner {
        at,
        kind: if round && radius > 0.0 { CornerKind::Round(radius) } else { CornerKind::Sharp },
        side: CornerSide::Straight,
    };
    let corners: Vec<Corner> = corners.into_iter().zip(which).map(corner).collect();
    geom::polygon(&corners).map_err(|error| error.to_string())
}

/// The radius of the corners, at most `max`, mm.
fn radius(corner: &Expr, max: f64, values: &Values) -> Option<f64> {
    let radius = values.length(corner)?;
    if (0.0..=max).contains(&radius) {
        return Some(radius);
    }
    let [is, max] = [radius, max].map(|mm| values.params.units().length(mm));
    let headline = format!("a corner radius is 0 to {max} (half the shorter side), not {is}");
    let help = format!("write `corner = \"{max}\"` or less");
    values.findings.add(Finding::stop("blank", headline).at(corner.span, "").help(help));
    None
}
