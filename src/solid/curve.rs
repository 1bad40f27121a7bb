//! Edges, walls and sides of one patch in space.

use crate::fold::FoldedBend;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::plus;
use crate::geom::times;
use crate::num::Angle;
use crate::solid::Curve;
use crate::solid::Surface;
use crate::solid::patch::Lay;
use crate::solid::same::SAME;

/// Degrees of an arc or of a bend in one cubic, at most. A cubic that shares ends and
/// tangents with 3° of a circle leaves it by 2e-8 of the radius.
const STEP: f64 = 3.0;

pub(super) fn flipped(frame: Frame) -> Frame {
    Frame { y: times(frame.y, -1.0), z: times(frame.z, -1.0), ..frame }
}

impl Lay {
    /// A point of the drawing, `height` mm above the top side.
    pub(super) fn point(&self, at: Point, height: f64) -> Space {
        match self {
            Self::Flat(frame) => frame.point(at, height),
            Self::Rolled(bend) => bend.point(at.x, at.y / bend.allowance, height),
        }
    }

    /// How an edge of the drawing runs, `height` mm above the top side.
    pub(super) fn curve(&self, edge: &Edge, height: f64) -> Curve {
        match self {
            Self::Flat(frame) => match edge.arc() {
                None => Curve::Line,
                Some(arc) => {
                    let frame = Frame { origin: frame.point(arc.centre, height), ..*frame };
                    let frame = if edge.bulge < 0.0 { flipped(frame) } else { frame };
                    Curve::Circle { frame, radius: arc.radius }
                }
            },
            Self::Rolled(bend) => match run(edge) {
                Run::Along => Curve::Line,
                Run::Across => {
                    let frame = axis(bend, edge.from.x);
                    let frame = if edge.to.y < edge.from.y { flipped(frame) } else { frame };
                    Curve::Circle { frame, radius: radius(bend, height) }
                }
                Run::Over => Curve::Cubics(cubics(bend, edge, height)),
            },
        }
    }

    /// What the wall under an edge lies on, metal to the edge's left, and whether the
    /// normal of that points out of the metal.
    pub(super) fn wall(&self, edge: &Edge, thickness: f64) -> (Surface, bool) {
        let chord = (edge.to - edge.from).normalize();
        let upright = |frame: &Frame, origin: Space| {
            let along = frame.direction(chord);
            let z = cross(along, frame.z);
            Surface::Plane(Frame { origin, x: along, y: frame.z, z })
        };
        let foot = self.point(edge.from, -thickness);
        match self {
            Self::Flat(frame) => match edge.arc() {
                None => (upright(frame, foot), true),
                Some(arc) => {
                    let frame = Frame { origin: frame.point(arc.centre, -thickness), ..*frame };
                    (Surface::Cylinder { frame, radius: arc.radius }, edge.bulge > 0.0)
                }
            },
            Self::Rolled(bend) => match run(edge) {
                Run::Along => (upright(&bend.frame_at(edge.from.y / bend.allowance), foot), true),
                Run::Across => {
                    let start = bend.start;
                    let z = times(start.x, if edge.to.y > edge.from.y { 1.0 } else { -1.0 });
                    let frame = Frame { origin: foot, x: start.z, y: cross(z, start.z), z };
                    (Surface::Plane(frame), true)
                }
                Run::Over => {
                    let rails = [-thickness, 0.0].map(|height| cubics(bend, edge, height));
                    (Surface::Ruled(rails), true)
                }
            },
        }
    }

    /// What the upper or the lower side lies on, and whether its normal points out.
    pub(super) fn side(&self, upper: bool, height: f64) -> (Surface, bool) {
        match self {
            Self::Flat(frame) => {
                let origin = frame.point(Point::ZERO, height);
                (Surface::Plane(Frame { origin, ..*frame }), upper)
            }
            Self::Rolled(bend) => {
                let surface =
                    Surface::Cylinder { frame: axis(bend, 0.0), radius: radius(bend, height) };
                // The top side is the concave one of a bend to the top.
                (surface, bend.up != upper)
            }
        }
    }
}

/// How an edge runs over the strip of a bend.
enum Run {
    Along,
    Across,
    Over,
}

fn run(edge: &Edge) -> Run {
    let way = edge.to - edge.from;
    match (edge.is_line(), way.x.abs() < SAME, way.y.abs() < SAME) {
        (true, _, true) => Run::Along,
        (true, true, _) => Run::Across,
        _ => Run::Over,
    }
}

/// Of the top side or what lies `height` above it, mm.
fn radius(bend: &FoldedBend, height: f64) -> f64 {
    if bend.up { bend.radius - height } else { bend.radius + bend.thickness + height }
}

/// A frame on the axis: z along it so that the bend turns anticlockwise, x to where it begins.
fn axis(bend: &FoldedBend, along: f64) -> Frame {
    let start = bend.start;
    let rise = if bend.up { 1.0 } else { -1.0 };
    let at = start.point(Point::new(along, 0.0), 0.0);
    Frame {
        origin: plus(at, times(start.z, rise * radius(bend, 0.0))),
        x: times(start.z, -rise),
        y: start.y,
        z: times(start.x, rise),
    }
}

/// An edge over a bend as cubics with the ends and tangents of the true curve.
fn cubics(bend: &FoldedBend, edge: &Edge, height: f64) -> Vec<Space> {
    let arc = edge.arc();
    let sweep = arc.map_or(0.0, |a| a.sweep.degrees().abs());
    let bounds = edge.bounds();
    let turned = bend.angle.degrees() * bounds.height() / bend.allowance;
    let pieces = ((sweep + turned) / STEP).ceil().max(1.0) as usize;
    let share = 1.0 / pieces as f64;
    let speed = |t: f64| match arc {
        None => edge.to - edge.from,
        Some(arc) => {
            let at = Angle::from_degrees(arc.start.degrees() + t * arc.sweep.degrees());
            Vec2::new(-at.sin(), at.cos()) * (arc.radius * arc.sweep.radians())
        }
    };
    let rolled = bend.angle.radians() * radius(bend, height) / bend.allowance;
    let third = |t: f64| {
        let frame = bend.frame_at(edge.point_at(t).y / bend.allowance);
        let v = speed(t);
        times(plus(times(frame.x, v.x), times(frame.y, v.y * rolled)), share / 3.0)
    };
    let lay = Lay::Rolled(*bend);
    let mut points = vec![lay.point(edge.from, height)];
    for i in 0..=pieces {
        let t = i as f64 * share;
        let at = lay.point(edge.point_at(t), height);
        if i > 0 {
            points.push(plus(at, times(third(t), -1.0)));
        }
        if i < pieces {
            points.push(plus(at, third(t)));
        }
    }
    points.push(lay.point(edge.to, height));
    points
}
