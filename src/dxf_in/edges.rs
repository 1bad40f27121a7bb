//! One entity as its lines and arcs, in units of the file.

use crate::dxf_in::error::DxfError;
use crate::dxf_in::records::Record;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::num;
use crate::num::Angle;

/// Largest bulge of a polyline. Our choice: its arc is a thousandth of a degree short of the
/// full circle, a slit of 1 µm in a ring of 100 mm.
const MOST_BULGE: f64 = 2e5;

/// What an entity comes to.
pub(super) enum Drawn {
    /// Its edges.
    Edges(Vec<Edge>),
    /// It is of a kind that is read, but not in this form: what it is.
    Strange(&'static str),
}

/// The edges of an entity; a polyline has the vertices behind it.
pub(super) fn edges(entity: &Record, vertices: &[Record]) -> Result<Drawn, DxfError> {
    let number = |code| entity.number(code, 0.0);
    let point = || Ok(Point::new(number(10)?, number(20)?));
    let edges = match entity.kind.as_str() {
        "LINE" => {
            if (number(31)? - number(30)?).abs() > NEAR {
                return Ok(Drawn::Strange("LINE out of the plane"));
            }
            // The ends of a line are in the plane of the drawing, whatever its direction.
            let to = Point::new(number(11)?, number(21)?);
            return Ok(Drawn::Edges(vec![Edge::line(point()?, to)]));
        }
        "CIRCLE" => around(point()?, number(40)?, 0.0, 360.0),
        "ARC" => {
            // Anticlockwise from start to end; angles past a full turn are the same angles.
            let (start, end) = (number(50)?, number(51)?);
            let sweep = (end - start).rem_euclid(360.0);
            let sweep = if sweep == 0.0 { 360.0 } else { sweep };
            around(point()?, number(40)?, start, sweep)
        }
        "LWPOLYLINE" => chain(&light(entity)?, entity.whole(70)? & 1 == 1)?,
        _ => {
            let flags = entity.whole(70)?;
            if flags & (8 | 16 | 64) != 0 {
                return Ok(Drawn::Strange("3D POLYLINE"));
            }
            if flags & (2 | 4) != 0 {
                return Ok(Drawn::Strange("POLYLINE with a fitted curve"));
            }
            let vertex = |record: &Record| {
                let at = Point::new(record.number(10, 0.0)?, record.number(20, 0.0)?);
                Ok(Vertex { at, bulge: record.number(42, 0.0)? })
            };
            let vertices: Result<Vec<Vertex>, DxfError> = vertices.iter().map(vertex).collect();
            chain(&vertices?, flags & 1 == 1)?
        }
    };
    // A plane that faces down is seen in the mirror, by the format's rule for the axes of such
    // a plane; other planes are none of a flat plate.
    let normal = [number(210)?, number(220)?, entity.number(230, 1.0)?];
    if num::hypot(normal[0], normal[1]) > 1e-9 * normal[2].abs() || normal[2] == 0.0 {
        return Ok(Drawn::Strange("entity out of the plane"));
    }
    Ok(Drawn::Edges(match normal[2] < 0.0 {
        true => edges.iter().map(mirrored).collect(),
        false => edges,
    }))
}

fn mirrored(edge: &Edge) -> Edge {
    let over = |p: Point| Point::new(-p.x, p.y);
    Edge { from: over(edge.from), to: over(edge.to), bulge: -edge.bulge }
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

/// An arc in pieces of at most half a circle.
fn around(centre: Point, radius: f64, start: f64, sweep: f64) -> Vec<Edge> {
    let pieces = if sweep > 180.0 { 2 } else { 1 };
    let step = sweep / f64::from(pieces);
    let at = |i: u32| {
        let angle = Angle::from_degrees(start + step * f64::from(i));
        centre + (radius * angle.cos(), radius * angle.sin())
    };
    let bulge = Angle::from_degrees(step / 4.0).tan();
    let mut edges: Vec<Edge> =
        (0..pieces).map(|i| Edge { from: at(i), to: at(i + 1), bulge }).collect();
    if sweep == 360.0
        && let Some(last) = edges.last_mut()
    {
        last.to = at(0);
    }
    edges
}

fn chain(vertices: &[Vertex], closed: bool) -> Result<Vec<Edge>, DxfError> {
    if let Some(vertex) = vertices.iter().find(|vertex| vertex.bulge.abs() > MOST_BULGE) {
        return Err(DxfError::Bulge(vertex.bulge));
    }
    let edge = |pair: &[Vertex]| Edge { from: pair[0].at, to: pair[1].at, bulge: pair[0].bulge };
    let mut edges: Vec<Edge> = vertices.windows(2).map(edge).collect();
    if let (true, Some(first), Some(last)) = (closed, vertices.first(), vertices.last()) {
        edges.push(Edge { from: last.at, to: first.at, bulge: last.bulge });
    }
    Ok(edges)
}
