//! One entity as its lines, arcs and curves, in units of the file.

use crate::dxf_in::curved;
use crate::dxf_in::drawn::Drawn;
use crate::dxf_in::drawn::faces_up;
use crate::dxf_in::error::DxfError;
use crate::dxf_in::records::Record;
use crate::geom::Course;
use crate::geom::Edge;
use crate::geom::Motion;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::geom::arc;
use crate::geom::spline;
use crate::num;

/// Largest bulge of a polyline. Our choice: its arc is a thousandth of a degree short of the
/// full circle, a slit of 1 µm in a ring of 100 mm.
const MAX_BULGE: f64 = 2e5;

/// The curves of an entity; a polyline has its vertices behind it.
pub(super) fn courses(entity: &Record, vertices: &[Record]) -> Result<Drawn, DxfError> {
    let number = |code| entity.number(code, 0.0);
    let point = || Ok(Point::new(number(10)?, number(20)?));
    let edges = match entity.kind.as_str() {
        "LINE" => {
            if (number(31)? - number(30)?).abs() > NEAR {
                return Drawn::strange("LINE out of the plane");
            }
            // The ends of a line are in the plane of the drawing, whatever its direction.
            let to = Point::new(number(11)?, number(21)?);
            return Ok(Drawn::Courses(vec![Course::Edge(Edge::line(point()?, to))]));
        }
        "SPLINE" => return curved::spline_of(entity),
        "ELLIPSE" => return curved::ellipse_of(entity),
        "CIRCLE" | "ARC" if number(40)? <= 0.0 => {
            let radius = num::text(number(40)?, 3);
            return Drawn::strange(format!("{} of radius {radius}", entity.kind));
        }
        "CIRCLE" => arc(point()?, number(40)?, 0.0, 360.0),
        "ARC" => {
            // Anticlockwise from start to end; angles past a full turn are the same angles.
            let (start, end) = (number(50)?, number(51)?);
            let sweep = (end - start).rem_euclid(360.0);
            let sweep = if sweep == 0.0 { 360.0 } else { sweep };
            arc(point()?, number(40)?, start, sweep)
        }
        "SOLID" | "TRACE" => corners(entity)?,
        "LWPOLYLINE" => chain(&light(entity)?, entity.whole(70)? & 1 == 1)?,
        _ => {
            let flags = entity.whole(70)?;
            if flags & (8 | 16 | 64) != 0 {
                return Drawn::strange("3D POLYLINE");
            }
            if flags & 4 != 0 {
                return match frame(entity, vertices)? {
                    Some(curve) => facing(entity, vec![curve]),
                    None => Drawn::strange("POLYLINE with a fitted curve"),
                };
            }
            let vertices: Result<Vec<Vertex>, DxfError> = vertices.iter().map(vertex).collect();
            chain(&vertices?, flags & 1 == 1)?
        }
    };
    facing(entity, edges.into_iter().map(Course::Edge).collect())
}

/// The same in the plane of the entity. One that faces down is mirrored, by the format's rule for
/// the axes of such a plane; other planes do not belong to a flat plate.
pub(super) fn facing(entity: &Record, courses: Vec<Course>) -> Result<Drawn, DxfError> {
    Ok(match faces_up(entity)? {
        Some(true) => Drawn::Courses(courses),
        Some(false) => {
            let over = Motion::scaled(-1.0, 1.0);
            Drawn::Courses(courses.iter().flat_map(|course| course.mapped(&over)).collect())
        }
        None => Drawn::Strange("entity out of the plane".into()),
    })
}

fn vertex(record: &Record) -> Result<Vertex, DxfError> {
    let at = Point::new(record.number(10, 0.0)?, record.number(20, 0.0)?);
    Ok(Vertex { at, bulge: record.number(42, 0.0)? })
}

/// The spline that a polyline was smoothed to, by the frame in its vertices: between them only
/// short lines are drawn. `None` for other kinds of smoothing.
fn frame(entity: &Record, vertices: &[Record]) -> Result<Option<Course>, DxfError> {
    let degree = match entity.whole(75)? {
        5 => 2,
        6 => 3,
        _ => return Ok(None),
    };
    let mut points = Vec::new();
    for record in vertices {
        if record.whole(70)? & 16 != 0 {
            points.push(vertex(record)?.at);
        }
    }
    let p = degree as usize;
    if points.len() <= p {
        return Ok(None);
    }
    let mut knots = Vec::new();
    if entity.whole(70)? & 1 == 1 {
        points.extend_from_within(..p);
        knots = (0..=points.len() + p).map(|i| i as f64).collect();
    }
    Ok(spline(degree, &knots, &points, &[]).ok().map(Course::Curve))
}

/// The outline of a filled triangle or quadrangle, whose last two corners change places.
fn corners(entity: &Record) -> Result<Vec<Edge>, DxfError> {
    let mut at: Vec<Point> = Vec::new();
    for code in [10, 11, 13, 12] {
        let (Some(_), Some(_)) = (entity.text(code), entity.text(code + 10)) else { continue };
        let next = Point::new(entity.number(code, 0.0)?, entity.number(code + 10, 0.0)?);
        if !at.contains(&next) {
            at.push(next);
        }
    }
    let sharp: Vec<Vertex> = at.iter().map(|p| Vertex::sharp(p.x, p.y)).collect();
    chain(&sharp, true)
}

/// The vertices of a polyline in one record: each begins with its x.
fn light(entity: &Record) -> Result<Vec<Vertex>, DxfError> {
    let mut vertices: Vec<Vertex> = Vec::new();
    for (code, number) in entity.numbers(&[10, 20, 42])? {
        match (code, vertices.last_mut()) {
            (10, _) => vertices.push(Vertex::sharp(number, 0.0)),
            (20, Some(last)) => last.at.y = number,
            (_, Some(last)) => last.bulge = number,
            (_, None) => {}
        }
    }
    Ok(vertices)
}

/// The edges from vertex to vertex.
pub(super) fn chain(vertices: &[Vertex], closed: bool) -> Result<Vec<Edge>, DxfError> {
    if let Some(vertex) = vertices.iter().find(|vertex| vertex.bulge.abs() > MAX_BULGE) {
        return Err(DxfError::Bulge(vertex.bulge));
    }
    let edge = |pair: &[Vertex]| Edge { from: pair[0].at, to: pair[1].at, bulge: pair[0].bulge };
    let mut edges: Vec<Edge> = vertices.windows(2).map(edge).collect();
    if let (true, Some(first), Some(last)) = (closed, vertices.first(), vertices.last()) {
        edges.push(Edge { from: last.at, to: first.at, bulge: last.bulge });
    }
    Ok(edges)
}
