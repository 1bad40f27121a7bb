//! The circle that points are on.

use kurbo::Point;
use kurbo::Vec2;

/// The centre of the circle that fits points best: least squares of their powers.
pub(super) fn centre(points: &[Point]) -> Option<Point> {
    let n = points.len() as f64;
    let mean = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n;
    let [mut xx, mut xy, mut yy, mut x3, mut y3] = [0.0; 5];
    for p in points {
        let v = p.to_vec2() - mean;
        let square = v.hypot2();
        xx += v.x * v.x;
        xy += v.x * v.y;
        yy += v.y * v.y;
        x3 += v.x * square / 2.0;
        y3 += v.y * square / 2.0;
    }
    let det = xx * yy - xy * xy;
    let off = Vec2::new(x3 * yy - y3 * xy, y3 * xx - x3 * xy) / det;
    (det > 0.0).then(|| (mean + off).to_point())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::Angle;

    #[test]
    fn the_centre_is_that_of_the_points_and_a_line_has_none() {
        let on = |degrees: f64| {
            let angle = Angle::from_degrees(degrees);
            Point::new(30.0 + 8.0 * angle.cos(), -4.0 + 8.0 * angle.sin())
        };
        let found = centre(&[10.0, 70.0, 95.0, 160.0].map(on)).unwrap();
        assert!((found - Point::new(30.0, -4.0)).hypot() < 1e-9, "{found}");
        assert_eq!(centre(&[Point::ZERO, Point::new(1.0, 0.0), Point::new(2.0, 0.0)]), None);
    }
}
