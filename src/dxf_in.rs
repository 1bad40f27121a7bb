//! A DXF file drawn elsewhere, as the edges it shows.
//!
//! Lines, arcs, circles and polylines are read. Words, dimensions and points are
//! passed over and counted. Anything else could be part of the outline, so it is
//! refused by kind and number and never left out in silence.

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::num;
use crate::num::Angle;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use dxf::entities::Entity;
use dxf::entities::EntityType;
use indexmap::IndexMap;
use thiserror::Error;

/// What was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Every line and arc, in mm, in the order of the file.
    pub edges: Vec<Edge>,
    /// Kinds that mean nothing for an outline, how many, in the order of the file.
    pub passed: IndexMap<String, usize>,
    /// How many entities lie on other layers.
    pub elsewhere: usize,
}

/// Why a file cannot be read.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum DxfError {
    /// Not DXF, or damaged.
    #[error("it cannot be read as DXF: {0}")]
    Unreadable(String),
    /// The form in bytes instead of text.
    #[error("it is a binary DXF file; only the text form is read")]
    Binary,
    /// The end is missing.
    #[error("it ends before its end mark")]
    BrokenOff,
    /// It says no units.
    #[error("it does not say its units")]
    NoUnits,
    /// It says units that no plate is drawn in; the number is that of `$INSUNITS`.
    #[error("its unit code is {0}, which is not mm, cm, m or inch")]
    Units(i16),
    /// Kinds that are not read, how many.
    #[error("it has {}, which {} not read", counted(.0), if .0.values().sum::<usize>() == 1 { "is" } else { "are" })]
    Kinds(IndexMap<String, usize>),
    /// A layer that is not there.
    #[error("there is nothing on layer `{wanted}`")]
    Layer {
        /// As asked for.
        wanted: String,
        /// Those that hold something.
        known: Vec<String>,
    },
    /// A coordinate is no number.
    #[error("a coordinate in it is not a finite number")]
    NotFinite,
}

/// The layer that is read when a file has it and no other is asked for.
pub const CUT: &str = "CUT";

/// Kinds that mean nothing for an outline.
const IDLE: &[&str] =
    &["TEXT", "MTEXT", "ATTDEF", "DIMENSION", "LEADER", "MULTILEADER", "TOLERANCE", "POINT"];

/// Kinds that become edges.
const READ: &[&str] = &["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE"];

/// `3 SPLINE, 1 INSERT`.
pub(crate) fn counted(kinds: &IndexMap<String, usize>) -> String {
    let words: Vec<String> = kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect();
    words.join(", ")
}

/// Reads a DXF text. `units` is for a file that does not say them, or says them wrong;
/// `layer` is the one to read. When it is not given, that is [`CUT`] if the file has it,
/// else all layers.
///
/// # Errors
/// When the file is damaged, its units are unknown, or it holds what is not read.
pub fn read(bytes: &[u8], units: Option<Units>, layer: Option<&str>) -> Result<Drawn, DxfError> {
    // The text form has no zero bytes, the other begins with one after its name.
    if bytes.contains(&0) {
        return Err(DxfError::Binary);
    }
    // The crate takes a missing end, and even an empty file, without a word.
    if !bytes.trim_ascii_end().ends_with(b"EOF") {
        return Err(DxfError::BrokenOff);
    }
    let mut source = bytes;
    let file = dxf::Drawing::load(&mut source).map_err(|e| DxfError::Unreadable(e.to_string()))?;
    let mm = match units {
        Some(units) => units.in_mm(),
        None => unit(file.header.default_drawing_units)?,
    };
    // The crate leaves out kinds it does not know, so the kinds are counted in the text.
    let listed = listed(&String::from_utf8_lossy(bytes));
    let layers: Vec<&str> = listed.iter().map(|e| e.1.as_str()).collect();
    let wanted = layer.or_else(|| layers.contains(&CUT).then_some(CUT));
    if let Some(wanted) = wanted
        && !layers.contains(&wanted)
    {
        let mut known: Vec<String> = layers.iter().map(|l| (*l).to_owned()).collect();
        known.sort();
        known.dedup();
        return Err(DxfError::Layer { wanted: wanted.to_owned(), known });
    }
    let here = |layer: &str| wanted.is_none_or(|w| w == layer);
    let mut drawn = Drawn::default();
    let mut strange: IndexMap<String, usize> = IndexMap::new();
    for (kind, layer) in &listed {
        let count = match kind.as_str() {
            _ if !here(layer) => &mut drawn.elsewhere,
            kind if IDLE.contains(&kind) => drawn.passed.entry(kind.to_owned()).or_default(),
            kind if READ.contains(&kind) => continue,
            kind => strange.entry(kind.to_owned()).or_default(),
        };
        *count += 1;
    }
    for entity in file.entities().filter(|e| !e.common.is_in_paper_space && here(&e.common.layer)) {
        match edges(entity) {
            Ok(edges) => drawn.edges.extend(edges.iter().map(|e| scaled(e, mm))),
            Err(Strange(kind)) => *strange.entry(kind.to_owned()).or_default() += 1,
        }
    }
    let finite = |e: &Edge| e.from.is_finite() && e.to.is_finite() && e.bulge.is_finite();
    if !strange.is_empty() {
        return Err(DxfError::Kinds(strange));
    }
    if drawn.edges.iter().all(finite) { Ok(drawn) } else { Err(DxfError::NotFinite) }
}

/// One unit of the file in mm.
fn unit(units: dxf::enums::Units) -> Result<f64, DxfError> {
    use dxf::enums::Units;
    match units {
        Units::Unitless => Err(DxfError::NoUnits),
        Units::Inches => Ok(MM_PER_INCH),
        Units::Millimeters => Ok(1.0),
        Units::Centimeters => Ok(10.0),
        Units::Meters => Ok(1000.0),
        other => Err(DxfError::Units(other as i16)),
    }
}

/// Kind and layer of every entity of the model, as the text has them; what belongs to
/// an entity before it, such as a vertex, is no entity here.
fn listed(text: &str) -> Vec<(String, String)> {
    let mut lines = text.lines();
    let mut entities: Vec<(String, String)> = Vec::new();
    let mut within = false;
    let mut section = false;
    let mut owned = false;
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        let value = value.trim();
        match (code.trim(), value) {
            ("0", "SECTION") => section = true,
            ("2", name) if section => {
                within = name == "ENTITIES";
                section = false;
            }
            ("0", "ENDSEC") => within = false,
            ("0", kind) if within => {
                owned = matches!(kind, "VERTEX" | "ATTRIB" | "SEQEND");
                if !owned {
                    entities.push((kind.to_owned(), "0".to_owned()));
                }
            }
            ("8", layer) if within && !owned => {
                if let Some(last) = entities.last_mut() {
                    last.1 = layer.to_owned();
                }
            }
            // On paper, not in the model.
            ("67", "1") if within && !owned => {
                entities.pop();
                owned = true;
            }
            _ => {}
        }
    }
    entities
}

/// An entity whose kind is read, but not in this form.
struct Strange(&'static str);

/// The edges of an entity in units of the file; none for a kind that is not read.
fn edges(entity: &Entity) -> Result<Vec<Edge>, Strange> {
    let point = |p: &dxf::Point| Point::new(p.x, p.y);
    match &entity.specific {
        EntityType::Line(line) => match (line.p2.z - line.p1.z).abs() < crate::geom::NEAR {
            true => Ok(vec![Edge::line(point(&line.p1), point(&line.p2))]),
            false => Err(Strange("LINE out of the plane")),
        },
        EntityType::Circle(circle) => {
            let round = around(point(&circle.center), circle.radius, 0.0, 360.0);
            facing(round, &circle.normal)
        }
        EntityType::Arc(arc) => {
            // Anticlockwise from start to end; angles past a full turn are the same angles.
            let sweep = (arc.end_angle - arc.start_angle).rem_euclid(360.0);
            let sweep = if sweep == 0.0 { 360.0 } else { sweep };
            let arcs = around(point(&arc.center), arc.radius, arc.start_angle, sweep);
            facing(arcs, &arc.normal)
        }
        EntityType::LwPolyline(line) => {
            let at =
                |v: &dxf::LwPolylineVertex| Vertex { at: Point::new(v.x, v.y), bulge: v.bulge };
            let chain = chain(line.vertices.iter().map(at).collect(), line.is_closed());
            facing(chain, &line.extrusion_direction)
        }
        EntityType::Polyline(line)
            if line.is_3d_polyline() || line.is_3d_polygon_mesh() || line.is_polyface_mesh() =>
        {
            Err(Strange("POLYLINE in space"))
        }
        EntityType::Polyline(line)
            if line.curve_fit_vertices_added() || line.spline_fit_vertices_added() =>
        {
            Err(Strange("POLYLINE with a fitted curve"))
        }
        EntityType::Polyline(line) => {
            let vertices =
                line.vertices().map(|v| Vertex { at: point(&v.location), bulge: v.bulge });
            facing(chain(vertices.collect(), line.is_closed()), &line.normal)
        }
        _ => Ok(Vec::new()),
    }
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

fn chain(vertices: Vec<Vertex>, closed: bool) -> Vec<Edge> {
    let edge = |pair: &[Vertex]| Edge { from: pair[0].at, to: pair[1].at, bulge: pair[0].bulge };
    let mut edges: Vec<Edge> = vertices.windows(2).map(edge).collect();
    if let (true, Some(first), Some(last)) = (closed, vertices.first(), vertices.last()) {
        edges.push(Edge { from: last.at, to: first.at, bulge: last.bulge });
    }
    edges
}

/// What is drawn on a plane that faces down is seen in the mirror, by the format's
/// rule for the axes of such a plane; other planes are none of a flat plate.
fn facing(edges: Vec<Edge>, normal: &dxf::Vector) -> Result<Vec<Edge>, Strange> {
    let slant = num::hypot(normal.x, normal.y);
    if slant > 1e-9 * normal.z.abs() || normal.z == 0.0 {
        return Err(Strange("entity out of the plane"));
    }
    let place = Place { mirrored: normal.z < 0.0, ..Place::default() };
    Ok(edges.iter().map(|e| e.moved(&place)).collect())
}

fn scaled(edge: &Edge, mm: f64) -> Edge {
    let scaled = |p: Point| Point::new(p.x * mm, p.y * mm);
    Edge { from: scaled(edge.from), to: scaled(edge.to), bulge: edge.bulge }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::JOIN;
    use crate::geom::plate;

    /// A file with these entities, each written as `KIND code value code value …`.
    fn file(units: &str, entities: &[&str]) -> Vec<u8> {
        let mut text = String::from("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n");
        if !units.is_empty() {
            text.push_str(&format!("9\n$INSUNITS\n70\n{units}\n"));
        }
        text.push_str("0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
        for entity in entities {
            text.push_str(&format!("0\n{}\n", entity.replace(' ', "\n")));
        }
        (text + "0\nENDSEC\n0\nEOF\n").into_bytes()
    }

    const D: &str = "LWPOLYLINE 8 0 90 2 70 1 10 0 20 0 42 1 10 4 20 0";

    fn area(bytes: &[u8], units: Option<Units>) -> f64 {
        plate(&read(bytes, units, None).unwrap().edges, JOIN).unwrap().area()
    }

    #[test]
    fn every_kind_that_is_read_encloses_what_it_should() {
        let half = num::PI * 2.0;
        let pi = num::PI;
        let cases: &[(&[&str], f64)] = &[
            (&[D], half),
            (&["ARC 8 0 10 2 20 0 40 2 50 180 51 0", "LINE 8 0 10 0 20 0 11 4 21 0"], half),
            (
                &["ARC 8 0 10 2 20 0 40 2 50 -90 51 180", "ARC 8 0 10 2 20 0 40 2 50 180 51 -90"],
                4.0 * pi,
            ),
            (&["CIRCLE 8 0 10 9 20 9 40 3"], 9.0 * pi),
            (
                &[
                    "POLYLINE 8 0 66 1 70 1",
                    "VERTEX 8 0 10 0 20 0 42 1",
                    "VERTEX 8 0 10 4 20 0",
                    "SEQEND 8 0",
                ],
                half,
            ),
            // On a plane that faces down x is turned over and so is the way round.
            (
                &[
                    "ARC 8 0 10 2 20 0 40 2 50 180 51 0 210 0 220 0 230 -1",
                    "LINE 8 0 10 0 20 0 11 -4 21 0",
                ],
                half,
            ),
        ];
        for (entities, wanted) in cases {
            let got = area(&file("4", entities), None);
            assert!((got - wanted).abs() < 1e-9, "{entities:?}: {got} is not {wanted}");
        }
    }

    #[test]
    fn units_are_those_of_the_file_else_those_that_are_given() {
        let circle = ["CIRCLE 8 0 10 0 20 0 40 1"];
        for (said, mm) in [("1", 25.4), ("4", 1.0), ("5", 10.0), ("6", 1000.0)] {
            let got = area(&file(said, &circle), None);
            assert!((got / (num::PI * mm * mm) - 1.0).abs() < 1e-9, "{said}");
        }
        for said in ["", "0"] {
            let bytes = file(said, &circle);
            assert_eq!(read(&bytes, None, None), Err(DxfError::NoUnits));
            assert!((area(&bytes, Some(Units::Inch)) - num::PI * 645.16).abs() < 1e-9);
        }
        assert_eq!(read(&file("2", &circle), None, None), Err(DxfError::Units(2)));
        assert!((area(&file("1", &circle), Some(Units::Millimetre)) - num::PI).abs() < 1e-9);
    }

    #[test]
    fn what_is_not_read_is_counted_by_kind_even_where_the_reader_skips_it() {
        let spline = "SPLINE 8 0";
        let bytes = file("4", &[D, spline, "HATCH 8 0", spline, "INSERT 8 0 2 x"]);
        let error = read(&bytes, None, None).unwrap_err();
        assert_eq!(error.to_string(), "it has 2 SPLINE, 1 HATCH, 1 INSERT, which are not read");
        let space = file("4", &["LINE 8 0 10 0 20 0 30 0 11 4 21 0 31 1"]);
        let error = read(&space, None, None).unwrap_err();
        assert_eq!(error.to_string(), "it has 1 LINE out of the plane, which is not read");
    }

    #[test]
    fn words_and_points_are_passed_over_and_counted() {
        let text = "TEXT 8 0 10 0 20 0 40 3 1 x";
        let bytes = file("4", &[text, D, text, "POINT 8 0 10 0 20 0", "SPLINE 67 1 8 0"]);
        let drawn = read(&bytes, None, None).unwrap();
        assert_eq!((drawn.edges.len(), counted(&drawn.passed)), (2, "2 TEXT, 1 POINT".to_owned()));
    }

    #[test]
    fn the_layer_asked_for_is_read_else_that_of_the_cuts_else_all() {
        let on = |layer: &str, r: &str| format!("CIRCLE 8 {layer} 10 0 20 0 40 {r}");
        let (cut, rim) = (on("CUT", "1"), on("RIM", "2"));
        let bytes = file("4", &[&cut, &rim, "SPLINE 8 NOTE"]);
        let edges = |layer| read(&bytes, None, layer).map(|d| (d.edges[0].to.x, d.elsewhere));
        assert_eq!(edges(None), Ok((-1.0, 2)));
        assert_eq!(edges(Some("RIM")), Ok((-2.0, 2)));
        let known = ["CUT", "NOTE", "RIM"].map(str::to_owned).to_vec();
        let wanted = "x".to_owned();
        assert_eq!(edges(Some("x")), Err(DxfError::Layer { wanted, known }));
        assert_eq!(read(&file("4", &[&rim, D]), None, None).unwrap().edges.len(), 4);
    }

    #[test]
    fn damage_is_an_error_and_never_a_panic() {
        assert_eq!(read(b"", None, None), Err(DxfError::BrokenOff));
        assert_eq!(read(b"Binary DXF\r\n\x1a\0", None, None), Err(DxfError::Binary));
        assert!(matches!(read(b"plain words\nEOF", None, None), Err(DxfError::Unreadable(_))));
        let nan = file("4", &["CIRCLE 8 0 10 nan 20 0 40 1"]);
        assert!(matches!(
            read(&nan, None, None),
            Err(DxfError::NotFinite | DxfError::Unreadable(_))
        ));
        let whole = file("4", &[D, "CIRCLE 8 0 10 0 20 0 40 1"]);
        for end in 0..whole.len() - 4 {
            assert!(read(&whole[..end], None, None).is_err(), "cut off at {end}");
        }
    }
}
