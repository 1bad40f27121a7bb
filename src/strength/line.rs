//! A line across a face, and where edges cross it.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;

/// A line across the load path, in the drawing of a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Line {
    /// A point of it.
    pub(super) at: Point,
    /// Square to it, towards the load, of length 1.
    pub(super) toward: Vec2,
}

impl Line {
    /// Along it: a quarter turn anticlockwise from `toward`.
    pub(super) fn along(&self) -> Vec2 {
        Vec2::new(-self.toward.y, self.toward.x)
    }

    /// How far a point is on the load's side, mm.
    pub(super) fn ahead(&self, p: Point) -> f64 {
        (p - self.at).dot(self.toward)
    }

    /// Where a point is along the line, mm.
    pub(super) fn place(&self, p: Point) -> f64 {
        (p - self.at).dot(self.along())
    }

    pub(super) fn point(&self, s: f64) -> Point {
        self.at + self.along() * s
    }
}

/// The mean of some points.
pub(super) fn mean(points: &[Point]) -> Point {
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    (sum / points.len().max(1) as f64).to_point()
}

/// The shares of an arc at which it is outermost in a direction, or against it, and the
/// points there.
pub(super) fn tops(edge: &Edge, toward: Vec2) -> (Vec<f64>, Vec<Point>) {
    let Some(arc) = edge.arc() else { return (Vec::new(), Vec::new()) };
    let sweep = arc.sweep.degrees();
    let share = |way: Vec2| {
        let angle = Angle::of(way.x, way.y).degrees();
        ((angle - arc.start.degrees()) * sweep.signum()).rem_euclid(360.0) / sweep.abs()
    };
    let mut found: Vec<(f64, Point)> = [toward, -toward]
        .into_iter()
        .map(|way| (share(way), arc.centre + way * arc.radius))
        .filter(|(share, _)| *share > 0.0 && *share < 1.0)
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().unzip()
}

/// Where an edge crosses a line: along the line, the share of the edge, and whether it rises
/// to the load's side. A point of the line itself counts as on that side.
pub(super) fn crossed(edge: &Edge, line: &Line) -> Vec<(f64, f64, bool)> {
    let is_ahead = |p: Point| line.ahead(p) >= 0.0;
    let Some(arc) = edge.arc() else {
        let (a, b) = (line.ahead(edge.from), line.ahead(edge.to));
        if (a >= 0.0) == (b >= 0.0) {
            return Vec::new();
        }
        let share = a / (a - b);
        return vec![(line.place(edge.from.lerp(edge.to, share)), share, b >= 0.0)];
    };
    let (shares, points) = tops(edge, line.toward);
    let mut stops = vec![(0.0, edge.from)];
    stops.extend(shares.into_iter().zip(points));
    stops.push((1.0, edge.to));
    let depth = line.ahead(arc.centre);
    let half = (arc.radius * arc.radius - depth * depth).max(0.0).sqrt();
    let mut found = Vec::new();
    for pair in stops.windows(2) {
        let [(low, from), (high, to)] = [pair[0], pair[1]];
        if is_ahead(from) == is_ahead(to) {
            continue;
        }
        let inside = edge.point_at((low + high) / 2.0);
        let side = (inside - arc.centre).dot(line.along()).signum();
        let s = line.place(arc.centre) + side * half;
        let out = line.point(s) - arc.centre;
        let sweep = arc.sweep.degrees();
        let angle = Angle::of(out.x, out.y).degrees() - arc.start.degrees();
        let share = (angle * sweep.signum()).rem_euclid(360.0) / sweep.abs();
        // A little before its start is by rounding almost a whole turn after it.
        let before = share - 360.0 / sweep.abs();
        let share = if low - before < share - high { before } else { share };
        found.push((s, share.clamp(low, high), is_ahead(to)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;

    /// A line through the centre of a circle crosses it where its arcs begin, or by rounding a
    /// little before: the share of the arc is that of the crossing, whatever the angle.
    #[test]
    fn a_crossing_where_an_arc_begins_is_at_its_beginning() {
        for i in 0..400 {
            let centre = Point::new(82.159_135_744 - f64::from(i), 0.1 * f64::from(i) - 38.940_666);
            for radius in [4.5, 6.75, 11.0 / 3.0] {
                let circle = disc(centre, radius).unwrap();
                for edge in circle.edges() {
                    let out = (edge.from - centre).normalize();
                    let line = Line { at: centre, toward: Vec2::new(out.y, -out.x) };
                    for (s, share, _) in crossed(&edge, &line) {
                        let off = (edge.point_at(share) - line.point(s)).hypot();
                        assert!(off < 1e-6, "{centre:?} {radius}: {share}, {off} mm off");
                    }
                }
            }
        }
    }
}
