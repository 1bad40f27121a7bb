//! Points of curves that no radius defines, such as copes at an angle to the sheet, so that a part
//! can be laid out by hand.

use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::job::Job;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Plan;
use crate::paper::Table;
use crate::paper::figure_text;

/// Maximum distance of points along a curve, mm, and the minimum and maximum number of steps. Our
/// choice.
const STEP: f64 = 4.0;
const STEPS: [usize; 2] = [4, 16];
/// Too many points for a layout table: the file governs. Our choice.
const MAX: usize = 48;
/// More points than this are printed in two columns where there is room. Our choice.
const ONE_COLUMN: usize = 10;

/// The points of all curves of a flat; `None` if it has none, or too many.
pub(super) fn table(job: &Job, plan: &Plan) -> Option<Block> {
    let curves = plan.free_curves();
    let name = |k: usize| if curves.len() == 1 { String::new() } else { format!("{}.", k + 1) };
    let all = curves.iter().enumerate().flat_map(|(k, curve)| {
        let points = points(curve).into_iter().enumerate();
        points.map(move |(i, at)| (format!("{}{}", name(k), i + 1), at))
    });
    let all: Vec<(String, Point)> = all.collect();
    if all.is_empty() || all.len() > MAX {
        return None;
    }
    let text = |mm: f64| figure_text(job.units, mm);
    let cells = |(name, at): &(String, Point)| {
        [name.clone(), text(at.x), text(at.y)].map(Cell::Words).to_vec()
    };
    Some(Block::Table(Table {
        heading: "Points of the curve, X, Y from datum".into(),
        heads: ["point", "X", "Y"].map(String::from).to_vec(),
        rows: all.iter().map(cells).collect(),
        beside: if all.len() > ONE_COLUMN { 2 } else { 1 },
    }))
}

/// Points of a curve at equal steps along it, with both ends.
fn points(curve: &[Edge]) -> Vec<Point> {
    let long: f64 = curve.iter().map(Edge::length).sum();
    let steps = ((long / STEP).ceil() as usize).clamp(STEPS[0], STEPS[1]);
    let at = |i: usize| {
        let mut left = long * i as f64 / steps as f64;
        for edge in curve {
            if left <= edge.length() {
                return Some(edge.point_at(left / edge.length()));
            }
            left -= edge.length();
        }
        curve.last().map(|edge| edge.to)
    };
    let mut points: Vec<Point> = (0..=steps).filter_map(at).collect();
    // One that ends where it begins has no second end.
    let ends = points.first().zip(points.last());
    if ends.is_some_and(|(first, last)| (*last - *first).hypot() < NEAR) {
        points.pop();
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_lie_on_the_curve_in_equal_steps_from_end_to_end() {
        // Two quarters of a circle of radius 10 round (10, 0), the second in two pieces.
        let arc = |from: f64, to: f64| {
            let at = |degrees: f64| {
                let angle = crate::num::Angle::from_degrees(degrees);
                Point::new(10.0 + 10.0 * angle.cos(), 10.0 * angle.sin())
            };
            let bulge = crate::num::Angle::from_degrees((to - from) / 4.0).tan();
            Edge { from: at(from), to: at(to), bulge }
        };
        let points = points(&[arc(180.0, 90.0), arc(90.0, 30.0), arc(30.0, 0.0)]);
        assert_eq!(points.len(), 9, "31.4 long in steps of no more than 4");
        let chord = 20.0 * crate::num::Angle::from_degrees(180.0 / 8.0 / 2.0).sin();
        for pair in points.windows(2) {
            assert!(((pair[1] - pair[0]).hypot() - chord).abs() < 1e-9, "{pair:?}");
        }
        let ends = [points[0], points[8]];
        assert!(ends[0].to_vec2().hypot() < 1e-9 && (ends[1].x - 20.0).abs() < 1e-9, "{ends:?}");
    }
}
