//! Angles between points, of a drawing or in space.

use crate::formula::fault::Fault;
use crate::formula::number::Failure;
use crate::formula::number::Outcome;
use crate::formula::number::degrees;
use crate::formula::value::Value;
use crate::geom::NEAR;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::times;
use crate::geom::unit;
use crate::num;
use crate::num::Angle;

/// The coordinates of points: of one in a drawing with z = 0.
pub(super) fn places(values: &[Value]) -> Result<Vec<[f64; 3]>, Failure> {
    let place = |(i, value): (usize, &Value)| match value {
        Value::Space(point) if point.seen.is_none() => Ok(point.at),
        value => value.place().map(|[x, y]| [x, y, 0.0]).map_err(|fault| (Some(i), fault)),
    };
    values.iter().enumerate().map(place).collect()
}

/// The angle at the second of three places, between the ways to the others: 0° to 180°.
pub(super) fn angle(at: &[[f64; 3]]) -> Outcome {
    let (u, v) = (vector(at[1], at[0])?, vector(at[1], at[2])?);
    Ok(degrees(Angle::of(dot(u, v), length(cross(u, v)))))
}

/// How far the way from one place to another leans off z: 0° to 180°.
pub(super) fn lean(at: &[[f64; 3]]) -> Outcome {
    let [x, y, z] = vector(at[0], at[1])?;
    Ok(degrees(Angle::of(z, num::hypot(x, y))))
}

/// From the side of the first of four places to that of the last about the line between the other
/// two, clockwise seen along it: −180° to 180°.
pub(super) fn twist(at: &[[f64; 3]]) -> Outcome {
    let axis = unit(vector(at[1], at[2])?);
    let beside = |from: [f64; 3], to: [f64; 3]| {
        let way = minus(to, from);
        let side = minus(way, times(axis, dot(way, axis)));
        let on_it = length(side) <= NEAR;
        let words = "a point is on the axis of rotation";
        if on_it { Err((None, Fault::Undefined(words))) } else { Ok(side) }
    };
    let (u, v) = (beside(at[1], at[0])?, beside(at[2], at[3])?);
    Ok(degrees(Angle::of(dot(u, v), dot(axis, cross(u, v)))))
}

/// The way from one place to another, which must be two.
fn vector(from: [f64; 3], to: [f64; 3]) -> Result<[f64; 3], Failure> {
    let way = minus(to, from);
    let is_one = length(way) <= NEAR;
    if is_one {
        return Err((None, Fault::Undefined("the two points coincide")));
    }
    Ok(way)
}
