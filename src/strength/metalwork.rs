//! The metal round a hole, as far as it reaches in a direction.

use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Face;
use crate::part::Hole;
use crate::strength::place;

/// Nearer than this to an edge a ray ends in it, mm.
const IN_IT: f64 = 1e-4;

/// The metal of a face round a point.
pub(super) struct Metalwork {
    edges: Vec<Edge>,
}

impl Metalwork {
    /// The outline and the openings of a face, without one of its holes.
    pub(super) fn round(face: &Face, hole: Option<&Hole>) -> Self {
        let others = face.holes.iter().filter(|h| hole.is_none_or(|hole| h.name != hole.name));
        let mut metal = Self::solid(face);
        metal.edges.extend(others.flat_map(place::finished));
        metal
    }

    /// The outline and the openings of a face, its holes taken for metal.
    pub(super) fn solid(face: &Face) -> Self {
        Self { edges: face.blank.outlines().flat_map(Outline::edges).collect() }
    }

    fn edges(&self) -> impl Iterator<Item = Edge> + '_ {
        self.edges.iter().copied()
    }

    /// From a point in a direction of length 1 to the next edge or opening, mm; 0 when there
    /// is none.
    pub(super) fn free(&self, from: Point, towards: Vec2) -> f64 {
        let met = self.edges().filter_map(|edge| met(&edge, from, towards, 0.0));
        let met = met.fold(f64::INFINITY, f64::min);
        if met.is_finite() { met } else { 0.0 }
    }

    /// How far a round hole may be moved in a direction until it meets an edge or an opening,
    /// mm: the clear distance over its whole breadth.
    pub(super) fn clear(&self, centre: Point, diameter: f64, towards: Vec2) -> f64 {
        let met = self.edges().filter_map(|edge| met(&edge, centre, towards, diameter / 2.0));
        let met = met.fold(f64::INFINITY, f64::min);
        if met.is_finite() { met } else { 0.0 }
    }

    /// Whether the ray from a point ends in one of these edges.
    pub(super) fn ends_in(&self, from: Point, towards: Vec2, edges: &[Edge]) -> bool {
        let end = from + towards * self.free(from, towards);
        edges.iter().any(|edge| (edge.nearest(end) - end).hypot() < IN_IT)
    }
}

/// How far a disc may be moved in a direction of length 1 until it meets an edge, mm.
fn met(edge: &Edge, from: Point, towards: Vec2, radius: f64) -> Option<f64> {
    let corner = |p: Point| touch(p - from, towards, radius);
    let corners = [corner(edge.from), corner(edge.to)].into_iter().flatten();
    let inside = match edge.arc() {
        None => on_line(edge, from, towards, radius),
        Some(_) => on_arc(edge, from, towards, radius),
    };
    // A disc touches nothing behind it; a ray does not end where it begins.
    let begins = if radius > 0.0 { -radius } else { NEAR };
    corners.chain(inside).filter(|t| *t > begins).reduce(f64::min)
}

/// Until a disc touches a point, seen from its centre.
fn touch(point: Vec2, towards: Vec2, radius: f64) -> Option<f64> {
    let (ahead, aside) = (point.dot(towards), point.cross(towards));
    let half = radius * radius - aside * aside;
    let near = 10.0 * NEAR;
    (half >= -near * near && ahead > 0.0).then(|| ahead - half.max(0.0).sqrt())
}

fn on_line(edge: &Edge, from: Point, towards: Vec2, radius: f64) -> Option<f64> {
    let along = (edge.to - edge.from).normalize();
    let mut out = Vec2::new(-along.y, along.x);
    let mut away = (edge.from - from).dot(out);
    if away < 0.0 {
        (out, away) = (-out, -away);
    }
    let speed = towards.dot(out);
    if speed < NEAR {
        return None;
    }
    let t = (away - radius) / speed;
    let at = from + towards * t + out * radius;
    let share = (at - edge.from).dot(along);
    (0.0..=(edge.to - edge.from).hypot()).contains(&share).then_some(t)
}

fn on_arc(edge: &Edge, from: Point, towards: Vec2, radius: f64) -> Option<f64> {
    let arc = edge.arc()?;
    let to_centre = arc.centre - from;
    let (ahead, aside) = (to_centre.dot(towards), to_centre.cross(towards));
    // From without the centre of the disc comes as near as both radii, from within as their
    // difference.
    let mut found: Option<f64> = None;
    for (reach, side) in [(arc.radius + radius, -1.0), (arc.radius - radius, 1.0)] {
        let half = reach * reach - aside * aside;
        if reach <= 0.0 || half < 0.0 {
            continue;
        }
        let t = ahead + side * half.sqrt();
        let out = from + towards * t - arc.centre;
        let begins = if radius > 0.0 { -radius } else { NEAR };
        if t > begins && arc.includes(Angle::of(out.x, out.y)) {
            found = Some(found.map_or(t, |known: f64| known.min(t)));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Region;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn face(outer: Outline) -> Face {
        Face {
            obstacles: Vec::new(),
            bend_lines: vec![],
            name: "plate".into(),
            blank: Region::solid(outer),
            edges: vec![],
            arcs: vec![],
            holes: vec![],
            lighten: vec![],
            lightened: vec![],
            marks: vec![],
            welds: vec![],
            bevels: vec![],
            beads: vec![],
            files: vec![],
            idle: vec![],
            copes: vec![],
            tongues: vec![],
        }
    }

    #[test]
    fn rays_end_at_lines_and_arcs() {
        let plate = face(rectangle(Point::new(0.0, 0.0), 40.0, 20.0, 0.0).unwrap());
        let metal = Metalwork::round(&plate, None);
        assert!((metal.free(Point::new(5.0, 1.0), Vec2::new(1.0, 0.0)) - 15.0).abs() < 1e-9);
        assert!((metal.free(Point::new(5.0, 1.0), Vec2::new(0.0, -1.0)) - 11.0).abs() < 1e-9);
        let round = face(disc(Point::new(3.0, 0.0), 10.0).unwrap());
        let metal = Metalwork::round(&round, None);
        for angle in [0.0, 30.0, 90.0, 200.0] {
            let angle = Angle::from_degrees(angle);
            let free = metal.free(Point::new(3.0, 0.0), Vec2::new(angle.cos(), angle.sin()));
            assert!((free - 10.0).abs() < 1e-9, "{angle}: {free}");
        }
        // In an eye with its hole in the centre the metal is narrowest straight ahead.
        let min = metal.clear(Point::new(3.0, 0.0), 8.0, Vec2::new(0.0, 1.0));
        assert!((min - 6.0).abs() < 1e-9);
        let side = metal.clear(Point::new(7.0, 0.0), 8.0, Vec2::new(0.0, 1.0));
        // |(4, t)| = 10 − 4.
        assert!((side - 20.0_f64.sqrt()).abs() < 1e-9, "{side}");
    }

    /// The edge leans by 45°: a disc of radius 4 in the centre of 20 × 20 moves 10√2 − 4
    /// towards its corner until both sides are met, (10 − 4) · √2.
    #[test]
    fn a_hole_moves_until_its_side_meets_a_slanted_edge() {
        let plate = face(rectangle(Point::ZERO, 20.0, 20.0, 0.0).unwrap());
        let metal = Metalwork::round(&plate, None);
        let towards = Vec2::new(1.0, 1.0).normalize();
        let clear = metal.clear(Point::ZERO, 8.0, towards);
        assert!((clear - 6.0 * 2.0_f64.sqrt()).abs() < 1e-9, "{clear}");
        // An edge whose line runs through the disc, but which is behind it, is not met.
        let notched = [(-30.0, 0.0), (30.0, 0.0), (30.0, 30.0), (24.0, 45.0), (30.0, 75.0)]
            .into_iter()
            .chain([(30.0, 130.0), (-30.0, 130.0)])
            .map(|(x, y)| crate::geom::Vertex::sharp(x, y));
        let notched = face(Outline::new(notched).unwrap());
        let way = Angle::from_degrees(72.0);
        let way = Vec2::new(way.cos(), way.sin());
        let clear = Metalwork::round(&notched, None).clear(Point::new(0.0, 100.0), 12.5, way);
        assert!((clear - (30.0 - 6.25) / way.y).abs() < 1e-9, "{clear}");
        let right = [Edge::line(Point::new(10.0, -10.0), Point::new(10.0, 10.0))];
        assert!(metal.ends_in(Point::ZERO, Vec2::new(1.0, 0.0), &right));
        assert!(!metal.ends_in(Point::ZERO, Vec2::new(0.0, 1.0), &right));
    }
}
