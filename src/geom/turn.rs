//! Arcs by their angles.

use crate::geom::edge::Edge;
use crate::num::Angle;
use kurbo::Point;

/// An arc in pieces of at most half a circle, by degrees; anticlockwise if the sweep is positive.
pub(crate) fn arc(centre: Point, radius: f64, start: f64, sweep: f64) -> Vec<Edge> {
    let pieces = if sweep.abs() > 180.0 { 2 } else { 1 };
    let step = sweep / f64::from(pieces);
    let at = |i: u32| {
        let angle = Angle::from_degrees(start + step * f64::from(i));
        centre + (radius * angle.cos(), radius * angle.sin())
    };
    let bulge = Angle::from_degrees(step / 4.0).tan();
    let mut edges: Vec<Edge> =
        (0..pieces).map(|i| Edge { from: at(i), to: at(i + 1), bulge }).collect();
    if sweep.abs() == 360.0
        && let Some(last) = edges.last_mut()
    {
        last.to = at(0);
    }
    edges
}
