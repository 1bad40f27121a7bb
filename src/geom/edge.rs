//! One piece of an outline: a line or a true arc.

use crate::geom::bounds::Bounds;
use crate::geom::place::Place;
use crate::geom::ray::heading;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A line (`bulge` 0) or an arc of at most half a circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Where it starts.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Tangent of a quarter of the sweep; positive turns left (anticlockwise).
    pub bulge: f64,
}

/// The circle an arc lies on, and how much of it the arc covers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Middle of the circle.
    pub centre: Point,
    /// In mm, positive.
    pub radius: f64,
    /// Direction from the centre to the start.
    pub start: Angle,
    /// Signed, positive anticlockwise, at most half a turn.
    pub sweep: Angle,
}

/// Arcs flatter than this are lines: over a metre they leave the chord by less than 1 nm.
const FLAT: f64 = 1e-12;

impl Edge {
    /// A straight piece.
    pub fn line(from: Point, to: Point) -> Self {
        Self { from, to, bulge: 0.0 }
    }

    /// Whether it is straight.
    pub fn is_line(&self) -> bool {
        self.bulge.abs() < FLAT
    }

    /// From end to start.
    #[must_use]
    pub(crate) fn reversed(&self) -> Self {
        Self { from: self.to, to: self.from, bulge: -self.bulge }
    }

    /// Moved; mirroring turns the bulge round.
    #[must_use]
    pub fn moved(&self, place: &Place) -> Self {
        let bulge = if place.mirrored { -self.bulge } else { self.bulge };
        Self { from: place.apply(self.from), to: place.apply(self.to), bulge }
    }

    /// The circle it lies on; `None` for a line.
    pub fn arc(&self) -> Option<Arc> {
        if self.is_line() {
            return None;
        }
        let chord = self.to - self.from;
        let b = self.bulge;
        // The centre lies on the chord's perpendicular, (1 − b²)/(4b) of a chord to its left.
        let centre = self.from.midpoint(self.to)
            + Vec2::new(-chord.y, chord.x) * ((1.0 - b * b) / (4.0 * b));
        let radius = chord.hypot() * (1.0 + b * b) / (4.0 * b.abs());
        let out = self.from - centre;
        Some(Arc {
            centre,
            radius,
            start: Angle::of(out.x, out.y),
            sweep: Angle::from_radians(4.0 * num::atan(b).radians()),
        })
    }

    /// In mm.
    pub fn length(&self) -> f64 {
        match self.arc() {
            None => (self.to - self.from).hypot(),
            Some(arc) => arc.radius * arc.sweep.radians().abs(),
        }
    }

    /// What this edge adds to the area of the outline it belongs to, in mm²: the
    /// triangle to the origin and, for an arc, the segment beside its chord.
    pub(crate) fn area_share(&self) -> f64 {
        let triangle = self.from.to_vec2().cross(self.to.to_vec2()) / 2.0;
        let Some(arc) = self.arc() else { return triangle };
        let sweep = arc.sweep;
        triangle + arc.radius * arc.radius * (sweep.radians() - sweep.sin()) / 2.0
    }

    /// The point a share `t` (0 to 1) of the way along.
    pub fn point_at(&self, t: f64) -> Point {
        match self.arc() {
            None => self.from.lerp(self.to, t),
            Some(_) if t <= 0.0 => self.from,
            Some(_) if t >= 1.0 => self.to,
            Some(arc) => {
                arc.point(Angle::from_degrees(arc.start.degrees() + t * arc.sweep.degrees()))
            }
        }
    }

    /// Unit direction of travel at the start.
    pub(crate) fn direction_at_start(&self) -> Vec2 {
        let chord = (self.to - self.from).normalize();
        if self.is_line() {
            return chord;
        }
        // The tangent leaves the chord by half the sweep, against the turn.
        let (b2, d) = (self.bulge * self.bulge, 1.0 + self.bulge * self.bulge);
        let (cos, sin) = ((1.0 - b2) / d, -2.0 * self.bulge / d);
        Vec2::new(chord.x * cos - chord.y * sin, chord.x * sin + chord.y * cos)
    }

    /// What of it lies between two shares of its length.
    #[must_use]
    pub(crate) fn between(&self, from: f64, to: f64) -> Self {
        let bulge = match self.arc() {
            None => 0.0,
            Some(arc) => Angle::from_degrees(arc.sweep.degrees() * (to - from) / 4.0).tan(),
        };
        Self { from: self.point_at(from), to: self.point_at(to), bulge }
    }

    /// The edge as arcs of at most half a circle: itself, or its two halves.
    pub(super) fn halves(&self) -> Vec<Self> {
        if self.bulge.abs() <= 1.0 + 1e-12 {
            return vec![*self];
        }
        let bulge = Angle::from_degrees(num::atan(self.bulge).degrees() / 2.0).tan();
        let middle = self.point_at(0.5);
        vec![Self { to: middle, bulge, ..*self }, Self { from: middle, bulge, ..*self }]
    }

    /// The nearest point of the edge to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        let Some(arc) = self.arc() else {
            let chord = self.to - self.from;
            if chord.hypot2() == 0.0 {
                return self.from;
            }
            let t = (p - self.from).dot(chord) / chord.hypot2();
            return self.from.lerp(self.to, t.clamp(0.0, 1.0));
        };
        let out = p - arc.centre;
        if out.hypot() > 0.0 {
            let angle = Angle::of(out.x, out.y);
            if arc.includes(angle) {
                return arc.centre + out * (arc.radius / out.hypot());
            }
        }
        if (p - self.from).hypot2() <= (p - self.to).hypot2() { self.from } else { self.to }
    }

    /// The rectangle round it.
    pub fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::EMPTY.with(self.from).with(self.to);
        if let Some(arc) = self.arc() {
            for quarter in 0..4 {
                let angle = Angle::from_degrees(90.0 * f64::from(quarter));
                if arc.includes(angle) {
                    bounds = bounds.with(arc.point(angle));
                }
            }
        }
        bounds
    }
}

impl Arc {
    /// The point of the circle in a direction.
    pub fn point(&self, angle: Angle) -> Point {
        self.centre + heading(angle) * self.radius
    }

    /// Whether a direction lies within the sweep, its ends included.
    pub fn includes(&self, angle: Angle) -> bool {
        let sweep = self.sweep.degrees();
        let past = (angle.degrees() - self.start.degrees()) * sweep.signum();
        let past = past.rem_euclid(360.0);
        past <= sweep.abs() || past >= 360.0 - 1e-9
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reference reading of a DXF bulge (ezdxf 1.4.5): (0,0) to (10,10) with
    /// 0.41421356 is a quarter circle round (0, 10) of radius 10, anticlockwise.
    #[test]
    fn a_bulge_means_what_dxf_means() {
        let edge =
            Edge { from: Point::ZERO, to: Point::new(10.0, 10.0), bulge: 0.414_213_562_373_095_1 };
        let arc = edge.arc().unwrap();
        assert!((arc.centre - Point::new(0.0, 10.0)).hypot() < 1e-9);
        assert!((arc.radius - 10.0).abs() < 1e-9);
        assert!((arc.sweep.degrees() - 90.0).abs() < 1e-9);
        assert!((edge.length() - 5.0 * num::PI).abs() < 1e-9);
        assert!((edge.direction_at_start() - Vec2::new(1.0, 0.0)).hypot() < 1e-12);
        assert!((edge.reversed().direction_at_start() - Vec2::new(0.0, -1.0)).hypot() < 1e-12);
    }

    #[test]
    fn a_half_circle_reaches_its_top() {
        let edge = Edge { from: Point::new(5.0, 0.0), to: Point::new(-5.0, 0.0), bulge: 1.0 };
        let bounds = edge.bounds();
        assert!((bounds.max.y - 5.0).abs() < 1e-12 && bounds.min.y.abs() < 1e-12);
        assert!((edge.nearest(Point::new(0.0, 9.0)) - Point::new(0.0, 5.0)).hypot() < 1e-12);
        assert_eq!(edge.nearest(Point::new(9.0, -3.0)), edge.from);
    }

    #[test]
    fn moving_an_edge_keeps_its_length_and_turns_its_bulge_when_mirrored() {
        let edge = Edge { from: Point::ZERO, to: Point::new(4.0, 3.0), bulge: 0.3 };
        let place = Place {
            mirrored: true,
            rotation: Angle::from_degrees(33.0),
            shift: Vec2::new(1.0, 2.0),
        };
        let moved = edge.moved(&place);
        assert!((moved.length() - edge.length()).abs() < 1e-12);
        let middle = place.apply(edge.point_at(0.5));
        assert!((moved.point_at(0.5) - middle).hypot() < 1e-12);
    }
}
