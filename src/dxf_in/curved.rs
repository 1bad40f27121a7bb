//! Ellipses and splines of a DXF file.

use crate::dxf_in::drawn::Drawn;
use crate::dxf_in::drawn::faces_up;
use crate::dxf_in::error::DxfError;
use crate::dxf_in::records::Record;
use crate::geom::Course;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::spline;
use crate::geom::through;
use crate::num::Angle;

/// Angles in files are rounded; a sweep within this of none or of a full turn is a full turn,
/// degrees. Our choice: 0.2 µm in a radius of 100 mm.
const TURN: f64 = 1e-4;

/// An `ELLIPSE`.
pub(super) fn ellipse_of(entity: &Record) -> Result<Drawn, DxfError> {
    let number = |code| entity.number(code, 0.0);
    let Some(up) = faces_up(entity)? else { return Drawn::strange("entity out of the plane") };
    let major = Vec2::new(number(11)?, number(21)?);
    if number(31)?.abs() > NEAR * major.hypot() {
        return Drawn::strange("ELLIPSE out of the plane");
    }
    let ratio = entity.number(40, 1.0)?;
    if major.hypot() == 0.0 || ratio == 0.0 {
        return Drawn::strange("ELLIPSE of no size");
    }
    let side = if up { ratio } else { -ratio };
    let minor = Vec2::new(-major.y, major.x) * side;
    let centre = Point::new(number(10)?, number(20)?);
    let start = number(41)?;
    let sweep = entity.number(42, 2.0 * crate::num::PI)? - start;
    let [start, sweep] = [start, sweep].map(|radians| Angle::from_radians(radians).degrees());
    Ok(Drawn::Courses(Course::ellipse(
        centre,
        [major, minor],
        Angle::from_degrees(start),
        whole(sweep),
    )))
}

/// A sweep of more than nothing, up to a full turn.
pub(super) fn whole(degrees: f64) -> Angle {
    let sweep = degrees.rem_euclid(360.0);
    Angle::from_degrees(if !(TURN..=360.0 - TURN).contains(&sweep) { 360.0 } else { sweep })
}

/// A `SPLINE`: by its control points, where it has some, else through its points.
pub(super) fn spline_of(entity: &Record) -> Result<Drawn, DxfError> {
    let heights = entity.numbers(&[30, 31])?;
    if heights
        .iter()
        .any(|(code, z)| heights.iter().any(|(c, y)| c == code && (y - z).abs() > NEAR))
    {
        return Drawn::strange("SPLINE out of the plane");
    }
    let controls = points(&entity.numbers(&[10, 20])?, 10);
    let values = |code| Ok::<_, DxfError>(entity.numbers(&[code])?.iter().map(|n| n.1).collect());
    let (knots, weights): (Vec<f64>, Vec<f64>) = (values(40)?, values(41)?);
    let closed = entity.whole(70)? & 1 == 1;
    let fit = points(&entity.numbers(&[11, 21])?, 11);
    let tangent = |code: i32| -> Result<Option<Vec2>, DxfError> {
        let v = Vec2::new(entity.number(code, 0.0)?, entity.number(code + 10, 0.0)?);
        Ok((v.hypot() > 0.0).then_some(v))
    };
    if controls.is_empty() {
        return by_points(&fit, [tangent(12)?, tangent(13)?], closed);
    }
    let degree = if entity.text(71).is_some() { entity.whole(71)? } else { 3 };
    Ok(match spline(degree, &knots, &controls, &weights) {
        Ok(pieces) => Drawn::Courses(vec![Course::Curve(pieces)]),
        Err(error) => Drawn::Strange(format!("SPLINE with {error}")),
    })
}

/// A spline through points.
pub(super) fn by_points(
    fit: &[Point],
    ends: [Option<Vec2>; 2],
    closed: bool,
) -> Result<Drawn, DxfError> {
    let (Some(first), Some(last)) = (fit.first(), fit.last()) else {
        return Drawn::strange("SPLINE without points");
    };
    if closed && (*last - *first).hypot() > NEAR {
        return Drawn::strange("closed SPLINE by points alone");
    }
    match through(fit, ends) {
        pieces if pieces.is_empty() => Drawn::strange("SPLINE of one point"),
        pieces => Ok(Drawn::Courses(vec![Course::Curve(pieces)])),
    }
}

/// Points whose x has this code and whose y one ten higher.
pub(super) fn points(numbers: &[(i32, f64)], x: i32) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for (code, number) in numbers {
        match points.last_mut() {
            _ if *code == x => points.push(Point::new(*number, 0.0)),
            Some(last) if *code == x + 10 => last.y = *number,
            _ => {}
        }
    }
    points
}
