//! The boundary of a hatch.

use crate::dxf_in::curved::by_points;
use crate::dxf_in::curved::points;
use crate::dxf_in::curved::whole;
use crate::dxf_in::drawn::Drawn;
use crate::dxf_in::edges::chain;
use crate::dxf_in::edges::facing;
use crate::dxf_in::error::DxfError;
use crate::dxf_in::records::Record;
use crate::geom::Course;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::arc;
use crate::geom::spline;
use crate::num::Angle;

/// Bits of a path: it is a polyline; it surrounds a text.
const POLYLINE: i64 = 2;
const TEXT_BOX: i64 = 8;

/// Everything between the number of paths and the style of the hatch.
const CODES: &[i32] =
    &[10, 11, 12, 13, 20, 21, 22, 23, 40, 42, 50, 51, 72, 73, 74, 75, 91, 92, 93, 94, 95, 96, 97];

type Pairs<'a> = &'a [(i32, f64)];

/// The boundary of a `HATCH`.
pub(super) fn boundary(entity: &Record) -> Result<Drawn, DxfError> {
    let pairs = entity.numbers(CODES)?;
    let from = pairs.iter().position(|p| p.0 == 91).map_or(pairs.len(), |i| i + 1);
    let pairs = &pairs[from..];
    let pairs = &pairs[..pairs.iter().position(|p| p.0 == 75).unwrap_or(pairs.len())];
    let mut courses = Vec::new();
    for path in groups(pairs, 92) {
        let flags = first(path, 92, 0.0) as i64;
        if flags & TEXT_BOX != 0 {
            continue;
        }
        if flags & POLYLINE != 0 {
            let closed = first(path, 73, 1.0) != 0.0;
            courses.extend(chain(&vertices(path), closed)?.into_iter().map(Course::Edge));
            continue;
        }
        for edge in groups(path, 72) {
            match one(edge)? {
                Drawn::Courses(more) => courses.extend(more),
                strange @ Drawn::Strange(_) => return Ok(strange),
            }
        }
    }
    if courses.is_empty() {
        return Drawn::strange("HATCH without a boundary");
    }
    facing(entity, courses)
}

/// Pairs from each of a code to the next.
fn groups(pairs: Pairs, code: i32) -> impl Iterator<Item = Pairs> {
    let starts: Vec<usize> =
        pairs.iter().enumerate().filter(|(_, p)| p.0 == code).map(|(i, _)| i).collect();
    let ends: Vec<usize> = starts.iter().skip(1).copied().chain([pairs.len()]).collect();
    starts.into_iter().zip(ends).map(move |(from, to)| &pairs[from..to])
}

fn first(pairs: Pairs, code: i32, usual: f64) -> f64 {
    pairs.iter().find(|p| p.0 == code).map_or(usual, |p| p.1)
}

fn vertices(path: Pairs) -> Vec<Vertex> {
    let mut all: Vec<Vertex> = Vec::new();
    for (code, number) in path {
        match (code, all.last_mut()) {
            (10, _) => all.push(Vertex::sharp(*number, 0.0)),
            (20, Some(last)) => last.at.y = *number,
            (42, Some(last)) => last.bulge = *number,
            _ => {}
        }
    }
    all
}

/// One edge of a path: line, arc, ellipse, spline.
fn one(edge: Pairs) -> Result<Drawn, DxfError> {
    let number = |code| first(edge, code, 0.0);
    let at = |x: i32| Point::new(number(x), number(x + 10));
    let ccw = first(edge, 73, 1.0) != 0.0;
    // Clockwise, its angles are those of the mirror.
    let turn = || {
        let (start, end) = (number(50), number(51));
        let (start, end) = if ccw { (start, end) } else { (-end, -start) };
        (start, whole(end - start))
    };
    let courses = match number(72) as i64 {
        1 => vec![Course::Edge(Edge::line(at(10), at(11)))],
        2 => {
            let (start, sweep) = turn();
            let edges = arc(at(10), number(40), start, sweep.degrees());
            edges.into_iter().map(Course::Edge).collect()
        }
        3 => {
            let (major, ratio) = (at(11).to_vec2(), first(edge, 40, 1.0));
            if major.hypot() == 0.0 || ratio == 0.0 {
                return Drawn::strange("HATCH with an ellipse of no size");
            }
            let (start, sweep) = turn();
            // These are angles as seen; those of an ellipse are of its circle.
            let own = |degrees: f64| {
                let seen = Angle::from_degrees(degrees);
                Angle::of(seen.cos(), seen.sin() / ratio).degrees()
            };
            let from = own(start);
            let sweep = match sweep.degrees() {
                360.0 => sweep,
                degrees => whole(own(start + degrees) - from),
            };
            let minor = Vec2::new(-major.y, major.x) * ratio;
            Course::ellipse(at(10), [major, minor], Angle::from_degrees(from), sweep)
        }
        4 => return curve(edge),
        _ => return Drawn::strange("HATCH with an unknown edge"),
    };
    Ok(Drawn::Courses(courses))
}

fn curve(edge: Pairs) -> Result<Drawn, DxfError> {
    let values = |code| edge.iter().filter(|p| p.0 == code).map(|p| p.1).collect::<Vec<f64>>();
    let controls = points(edge, 10);
    if controls.is_empty() {
        let tangent = |x: i32| {
            let v = Vec2::new(first(edge, x, 0.0), first(edge, x + 10, 0.0));
            (v.hypot() > 0.0).then_some(v)
        };
        return by_points(&points(edge, 11), [tangent(12), tangent(13)], false);
    }
    let degree = first(edge, 94, 3.0) as i64;
    Ok(match spline(degree, &values(40), &controls, &values(42)) {
        Ok(pieces) => Drawn::Courses(vec![Course::Curve(pieces)]),
        Err(error) => Drawn::Strange(format!("HATCH with a spline of {error}")),
    })
}
