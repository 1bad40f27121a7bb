//! A side of a skin in flat pieces.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::ring_sides;
use crate::geom::times;
use crate::num::Angle;
use crate::view::course::TURN;
use crate::view::shape::Shape;
use crate::view::skin::Side;

/// Maximum angle of a round side in one flat strip, degrees. Our choice.
const STEP: f64 = 6.0;

/// A flat piece of skin.
pub(super) struct FlatPiece {
    /// Its rings, by the even-odd rule.
    pub(super) rings: Vec<Vec<Space>>,
    /// A point in its plane.
    pub(super) at: Space,
    /// Out of the metal, of length 1.
    pub(super) normal: Space,
}

/// The flat pieces of a side, those of a round one between `stops`.
pub(super) fn pieces(side: &Side, stops: &[f64]) -> Vec<FlatPiece> {
    match &side.shape {
        Shape::Plane(frame) => {
            let space = |ring: &Vec<Point>| ring.iter().map(|p| side.shape.space(*p)).collect();
            let rings = side.rings.iter().map(space).collect();
            vec![FlatPiece { rings, at: frame.origin, normal: times(frame.z, side.sign) }]
        }
        Shape::Round { .. } => stops.windows(2).map(|two| strip(side, two[0], two[1])).collect(),
        Shape::Ruled(pairs) => pairs.windows(2).map(|two| between(side, two)).collect(),
    }
}

/// Where a round side is divided into flat strips, radians in its own coordinates: evenly, and at
/// the angles `also`. Empty for any other side.
pub(super) fn stops(side: &Side, also: &[f64]) -> Vec<f64> {
    if !matches!(side.shape, Shape::Round { .. }) {
        return Vec::new();
    }
    let bounds = side.rings.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let step = Angle::from_degrees(STEP).radians();
    let count = (bounds.width() / step).ceil().max(1.0);
    let mut stops: Vec<f64> =
        (0..=count as usize).map(|i| bounds.min.x + bounds.width() * i as f64 / count).collect();
    for angle in also {
        let angle = angle + ((bounds.min.x - angle) / TURN).ceil() * TURN;
        if angle < bounds.max.x {
            stops.push(angle);
        }
    }
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|next, last| *next - *last < 1e-6);
    stops
}

/// What of a round side lies between two angles.
fn strip(side: &Side, low: f64, high: f64) -> FlatPiece {
    let bounds = side.rings.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let z = bounds.centre().y;
    let [a, b] = [low, high].map(|u| side.shape.space(Point::new(u, z)));
    let middle = side.shape.space(Point::new((low + high) / 2.0, z));
    let normal = times(side.shape.normal(middle), side.sign);
    let within = |ring: &Vec<Point>| -> Vec<Space> {
        let ring = half(&half(ring, |p| p.x - low), |p| high - p.x);
        ring.iter().map(|p| side.shape.space(*p)).collect()
    };
    FlatPiece { rings: side.rings.iter().map(within).collect(), at: times(plus(a, b), 0.5), normal }
}

/// What of a ruled side lies between two of its lines.
fn between(side: &Side, two: &[[Space; 2]]) -> FlatPiece {
    let mut ring = [two[0][0], two[1][0], two[1][1], two[0][1]];
    if side.sign < 0.0 {
        ring.reverse();
    }
    let normal = cross(minus(ring[2], ring[0]), minus(ring[3], ring[1]));
    let normal = times(normal, 1.0 / length(normal).max(1e-12));
    FlatPiece { rings: vec![ring.to_vec()], at: ring[0], normal }
}

/// The part of a ring where a function, linear in the plane, is not less than 0.
pub(super) fn half(ring: &[Point], over: impl Fn(&Point) -> f64) -> Vec<Point> {
    let mut kept = Vec::with_capacity(ring.len() + 2);
    for (a, b) in ring_sides(ring) {
        let (from, to) = (over(&a), over(&b));
        if from >= 0.0 {
            kept.push(a);
        }
        if (from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0) {
            kept.push(a.lerp(b, from / (from - to)));
        }
    }
    kept
}
