//! The surface of a piece of skin, and its intersection with a line of sight.

use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::num;
use crate::num::Angle;
use crate::solid::Curve;
use crate::solid::Surface;
use crate::view::course;
use crate::view::course::TURN;

/// The surface of a piece of skin, with its coordinates.
pub(super) enum Shape {
    /// x and y of a frame.
    Plane(Frame),
    /// Round the z axis of a frame: the angle in radians, and z. `slope` is how much the radius
    /// grows along z.
    Round { frame: Frame, radius: f64, slope: f64 },
    /// Straight lines between the like points of two rails: which one, and how far along it.
    Ruled(Vec<[Space; 2]>),
}

impl Shape {
    /// The surface of a side, one point of each of its edges given, and whether the shape's own
    /// normal points the other way than the surface's.
    pub(super) fn of(surface: &Surface, points: impl Iterator<Item = Space>) -> (Self, bool) {
        let shape = match surface {
            Surface::Torus { frame, radii } => return Self::foot(frame, radii[0], points),
            Surface::Plane(frame) => Self::Plane(*frame),
            Surface::Cylinder { frame, radius } => {
                Self::Round { frame: *frame, radius: *radius, slope: 0.0 }
            }
            Surface::Cone { frame, radius, half } => {
                Self::Round { frame: *frame, radius: *radius, slope: half.tan() }
            }
            Surface::Ruled(rails) => {
                let [low, high] =
                    rails.each_ref().map(|rail| course::points(&Curve::Cubics(rail.clone()), 2));
                Self::Ruled(low.into_iter().zip(high).map(|(a, b)| [a, b]).collect())
            }
        };
        (shape, false)
    }

    /// The radius at the foot of a flare, small in every picture, as the cone between its edges.
    fn foot(frame: &Frame, major: f64, points: impl Iterator<Item = Space>) -> (Self, bool) {
        let seen = points.map(|p| frame.seen(p)).map(|[x, y, z]| [num::hypot(x, y), z]);
        let mut ends: Vec<[f64; 2]> = seen.collect();
        ends.sort_by(|a, b| a[1].total_cmp(&b[1]));
        let (low, high) = match (ends.first(), ends.last()) {
            (Some(low), Some(high)) => (*low, *high),
            _ => ([major, 0.0], [major, 0.0]),
        };
        let rise = high[1] - low[1];
        let slope = if rise > 1e-9 { (high[0] - low[0]) / rise } else { 0.0 };
        let middle = (low[0] + high[0]) / 2.0;
        let shape = Self::Round { frame: *frame, radius: low[0] - slope * low[1], slope };
        (shape, middle < major)
    }

    /// The own normal at a point of the surface, of length 1.
    pub(super) fn normal(&self, p: Space) -> Space {
        match self {
            Self::Plane(frame) => frame.z,
            Self::Round { frame, slope, .. } => {
                let [x, y, _] = frame.seen(p);
                let r = num::hypot(x, y).max(1e-12);
                let n = plus(
                    plus(times(frame.x, x / r), times(frame.y, y / r)),
                    times(frame.z, -slope),
                );
                times(n, 1.0 / length(n))
            }
            Self::Ruled(pairs) => {
                let off = |[a, b]: &[Space; 2]| {
                    let along = minus(*b, *a);
                    let from = minus(p, *a);
                    let t = (dot(from, along) / dot(along, along)).clamp(0.0, 1.0);
                    length(minus(from, times(along, t)))
                };
                let nearest = pairs.iter().enumerate().min_by(|a, b| off(a.1).total_cmp(&off(b.1)));
                nearest.map_or([0.0; 3], |(i, _)| Self::ruled_normal(pairs, i))
            }
        }
    }

    /// The normal of a ruled surface at one of its lines: along the rails, then from the first
    /// to the second, is right-handed about it.
    pub(super) fn ruled_normal(pairs: &[[Space; 2]], i: usize) -> Space {
        let (before, after) = (i.saturating_sub(1), (i + 1).min(pairs.len() - 1));
        let middle = |[a, b]: [Space; 2]| times(plus(a, b), 0.5);
        let along = minus(middle(pairs[after]), middle(pairs[before]));
        let n = cross(along, minus(pairs[i][1], pairs[i][0]));
        times(n, 1.0 / length(n).max(1e-12))
    }

    /// A point of space in its own coordinates; the angle on a round one is the nearest to `round`.
    pub(super) fn own(&self, p: Space, round: f64) -> Point {
        match self {
            Self::Plane(frame) => {
                let [x, y, _] = frame.seen(p);
                Point::new(x, y)
            }
            Self::Round { frame, .. } => {
                let [x, y, z] = frame.seen(p);
                let angle = Angle::of(x, y).radians();
                Point::new(angle + TURN * ((round - angle) / TURN).round(), z)
            }
            Self::Ruled(_) => Point::ZERO,
        }
    }

    /// A point in its own coordinates in space; `None` for a ruled one.
    pub(super) fn space(&self, p: Point) -> Space {
        match self {
            Self::Plane(frame) => frame.point(p, 0.0),
            Self::Round { frame, radius, slope } => {
                let angle = Angle::from_radians(p.x);
                let r = radius + slope * p.y;
                frame.point(Point::new(angle.cos() * r, angle.sin() * r), p.y)
            }
            Self::Ruled(_) => [0.0; 3],
        }
    }

    /// Where a line of sight meets the whole of a plane or a round: how far along it.
    pub(super) fn met(&self, from: Space, way: Space) -> [Option<f64>; 2] {
        match self {
            Self::Plane(frame) => {
                let speed = dot(frame.z, way);
                let t = dot(minus(frame.origin, from), frame.z) / speed;
                [(speed.abs() > 1e-9).then_some(t), None]
            }
            Self::Round { frame, radius, slope } => {
                let [x, y, z] = frame.seen(from);
                let [dx, dy, dz] = [frame.x, frame.y, frame.z].map(|axis| dot(axis, way));
                let r = radius + slope * z;
                let a = dx * dx + dy * dy - slope * slope * dz * dz;
                let b = x * dx + y * dy - slope * dz * r;
                let c = x * x + y * y - r * r;
                let on = |t: f64| (radius + slope * (z + t * dz) > 0.0).then_some(t);
                if a.abs() < 1e-12 {
                    return [if b.abs() > 1e-12 { on(-c / (2.0 * b)) } else { None }, None];
                }
                let root = b * b - a * c;
                if root < 0.0 {
                    return [None, None];
                }
                let root = root.sqrt();
                [on((-b - root) / a), on((-b + root) / a)]
            }
            Self::Ruled(_) => [None, None],
        }
    }

    /// Angles, in radians, at which a round is seen edge-on from a direction.
    pub(super) fn edge_on(&self, near: Space) -> Vec<f64> {
        let Self::Round { frame, slope, .. } = self else { return Vec::new() };
        let [a, b, c] = [frame.x, frame.y, frame.z].map(|axis| dot(axis, near));
        let r = num::hypot(a, b);
        let share = slope * c / r.max(1e-12);
        if r < 1e-6 || share.abs() >= 1.0 {
            return Vec::new();
        }
        let (middle, half) = (Angle::of(a, b).radians(), num::acos(share).radians());
        vec![middle - half, middle + half]
    }
}
