//! Arcs as short chords, where polygons are needed.

use crate::geom::outline::Outline;
use crate::geom::ray::heading;
use crate::num::Angle;
use kurbo::Point;

/// On which side of the true outline the chords may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The polygon contains the whole outline.
    Outside,
    /// The outline contains the whole polygon.
    Inside,
    /// Corners lie on the outline.
    On,
}

/// The outline as a polygon that leaves the arcs by at most `tolerance` mm.
pub fn flatten(outline: &Outline, tolerance: f64, side: Side) -> Vec<Point> {
    let mut points = Vec::new();
    for edge in outline.edges() {
        points.push(edge.from);
        let Some(arc) = edge.arc() else { continue };
        let beyond = match side {
            Side::Outside => edge.bulge > 0.0,
            Side::Inside => edge.bulge < 0.0,
            Side::On => false,
        };
        // A chord of angle a leaves the circle by r(1 − cos(a/2)); tangents by r(1/cos(a/2) − 1).
        let ratio = (tolerance / arc.radius).min(0.5);
        let cos = if beyond { 1.0 / (1.0 + ratio) } else { 1.0 - ratio };
        let largest = 2.0 * crate::num::acos(cos).degrees();
        let steps = (arc.sweep.degrees().abs() / largest).ceil().max(1.0);
        let step = arc.sweep.degrees() / steps;
        let at = |i: f64| Angle::from_degrees(arc.start.degrees() + step * i);
        if beyond {
            // Corners where neighbouring tangents meet.
            let reach = arc.radius / Angle::from_degrees(step.abs() / 2.0).cos();
            for i in 0..steps as usize {
                let angle = at(i as f64 + 0.5);
                points.push(arc.centre + heading(angle) * reach);
            }
        } else {
            for i in 1..steps as usize {
                points.push(arc.point(at(i as f64)));
            }
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;
    use crate::geom::disc;

    fn area(points: &[Point]) -> f64 {
        let next = points.iter().cycle().skip(1);
        points.iter().zip(next).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum::<f64>() / 2.0
    }

    #[test]
    fn the_polygon_stays_on_its_side_and_near() {
        let circle = disc(Point::new(3.0, 4.0), 25.0).unwrap();
        let (on, out) = (flatten(&circle, 0.05, Side::On), flatten(&circle, 0.05, Side::Outside));
        assert!(area(&on) < circle.area() && circle.area() < area(&out));
        let max = out.iter().map(|p| (*p - Point::new(3.0, 4.0)).hypot()).fold(0.0, f64::max);
        assert!(max <= 25.05 + 1e-9);
        assert!(on.len() < 70);
        // With a bay in it: seen from within, the bay must be kept clear.
        let corner = |x: f64, y: f64, bulge: f64| Vertex { at: Point::new(x, y), bulge };
        let bay = [(0.0, 0.0, 0.0), (40.0, 0.0, -1.0), (40.0, 30.0, 0.0), (0.0, 30.0, 0.0)];
        let bay = Outline::new(bay.map(|(x, y, bulge)| corner(x, y, bulge))).unwrap();
        let inner = flatten(&bay, 0.05, Side::Inside);
        assert!(inner.iter().all(|p| (*p - Point::new(40.0, 15.0)).hypot() > 15.0 - 1e-9));
        assert!(
            area(&inner) < bay.area() && area(&flatten(&bay, 0.05, Side::Outside)) > bay.area()
        );
    }
}
