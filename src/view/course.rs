//! How the edge of a solid runs, by a share of its way.

use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::plus;
use crate::geom::times;
use crate::num;
use crate::num::Angle;
use crate::solid::Curve;
use crate::solid::Solid;
use crate::solid::SolidEdge;

/// Degrees of a circle between two points at which it is tested. Our choice.
const STEP: f64 = 5.0;

/// A whole turn, radians.
pub(super) const TURN: f64 = 2.0 * num::PI;

/// An edge as it runs from its start (0) to its end (1).
pub(super) enum Course {
    Line([Space; 2]),
    Circle {
        frame: Frame,
        radius: f64,
        start: f64,
        sweep: f64,
    },
    /// The control points of each cubic.
    Cubics(Vec<[Space; 4]>),
}

impl Course {
    pub(super) fn of(solid: &Solid, edge: &SolidEdge) -> Self {
        let ends = [edge.from, edge.to].map(|i| solid.points[i]);
        match &edge.curve {
            Curve::Line => Self::Line(ends),
            Curve::Circle { frame, radius } => {
                let [start, end] = ends.map(|p| {
                    let [x, y, _] = frame.seen(p);
                    Angle::of(x, y).radians()
                });
                let sweep = (end - start).rem_euclid(TURN);
                Self::Circle { frame: *frame, radius: *radius, start, sweep }
            }
            Curve::Cubics(points) => Self::Cubics(cubics(points)),
        }
    }

    /// The number of pieces into which it is divided for the test.
    pub(super) fn pieces(&self) -> usize {
        match self {
            Self::Line(_) => 1,
            Self::Circle { sweep, .. } => {
                (Angle::from_radians(*sweep).degrees() / STEP).ceil().max(1.0) as usize
            }
            Self::Cubics(cubics) => cubics.len(),
        }
    }

    /// The point at a parameter.
    pub(super) fn at(&self, share: f64) -> Space {
        match self {
            Self::Line([a, b]) => plus(times(*a, 1.0 - share), times(*b, share)),
            Self::Circle { frame, radius, start, sweep } => {
                let angle = Angle::from_radians(start + sweep * share);
                frame.point(Point::new(angle.cos() * radius, angle.sin() * radius), 0.0)
            }
            Self::Cubics(cubics) => {
                let whole = share * cubics.len() as f64;
                let i = (whole.floor().max(0.0) as usize).min(cubics.len() - 1);
                cubic(&cubics[i], whole - i as f64)
            }
        }
    }

    /// Whether it is straight.
    pub(super) fn is_line(&self) -> bool {
        matches!(self, Self::Line(_))
    }
}

/// Points along a chain of cubics, a number from each.
pub(super) fn points(curve: &Curve, each: usize) -> Vec<Space> {
    let Curve::Cubics(control) = curve else { return Vec::new() };
    let cubics = cubics(control);
    let mut points: Vec<Space> = cubics
        .iter()
        .flat_map(|c| (0..each).map(move |i| cubic(c, i as f64 / each as f64)))
        .collect();
    points.extend(cubics.last().map(|c| c[3]));
    points
}

/// The cubics of a chain whose joints are left out, as they lie midway.
fn cubics(points: &[Space]) -> Vec<[Space; 4]> {
    let count = (points.len() - 2) / 2;
    let joint = |i: usize| match i {
        0 => points[0],
        i if i == count => points[points.len() - 1],
        i => times(plus(points[2 * i], points[2 * i + 1]), 0.5),
    };
    (0..count).map(|i| [joint(i), points[2 * i + 1], points[2 * i + 2], joint(i + 1)]).collect()
}

fn cubic([a, b, c, d]: &[Space; 4], t: f64) -> Space {
    let s = 1.0 - t;
    let ends = plus(times(*a, s * s * s), times(*d, t * t * t));
    plus(ends, plus(times(*b, 3.0 * s * s * t), times(*c, 3.0 * s * t * t)))
}
