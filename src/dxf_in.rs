//! A DXF file drawn elsewhere, as the edges it shows.
//!
//! Lines, arcs, circles and polylines are read, also those of blocks where these are
//! inserted. Words, dimensions, points and the frames of texts are passed over and counted;
//! so is what nobody would see on a print: layers that are off, frozen or not plotted, and
//! what was made invisible. Anything else could be part of the outline, so it is refused by
//! kind and number and never left out in silence.

mod edges;
mod error;
mod layer;
mod motion;
mod records;
mod shown;

use crate::dxf_in::shown::Shown;
use crate::dxf_in::shown::What;
use crate::geom::Edge;
use crate::geom::Point;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
pub use error::DxfError;
pub(crate) use error::counted;
use indexmap::IndexMap;

/// What was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Every line and arc, in mm, in the order of the file.
    pub edges: Vec<Edge>,
    /// Kinds that mean nothing for an outline, how many, in the order of the file.
    pub passed: IndexMap<String, usize>,
    /// What nobody would see on a print, why, and how many.
    pub hidden: IndexMap<String, usize>,
    /// How many entities are on other layers.
    pub elsewhere: usize,
    /// The units by which it was read, as its header says them; none where they were given.
    pub header_units: Option<&'static str>,
}

/// The layer that is read when a file has it and no other is asked for.
pub const CUT: &str = "CUT";

/// Nothing of a plate is further from the origin of its drawing, mm. Our choice: beyond a
/// kilometre, as in the grid of a map, sums of coordinates lose the micrometre.
pub const FURTHEST: f64 = 1e6;

/// Reads a DXF text. `units` is for a file that does not say them, or says them wrong;
/// `layer` is the one to read. When it is not given, that is [`CUT`] if the file has it,
/// else all layers. Names of layers are compared without regard to case, as the format has it.
///
/// # Errors
/// When the file is damaged, its units are unknown, or it holds what is not read.
pub fn read(bytes: &[u8], units: Option<Units>, layer: Option<&str>) -> Result<Drawn, DxfError> {
    let sections = records::sections(bytes)?;
    let (mm, header_units) = match units {
        Some(units) => (units.in_mm(), None),
        None => header(sections.header("$INSUNITS", 70))?,
    };
    let shown = shown::shown(&sections)?;
    let seen = || shown.iter().filter(|shown| !matches!(shown.what, What::Hidden(_)));
    let is = |shown: &Shown, name: &str| layer::key(&shown.layer) == layer::key(name);
    let wanted = layer.or_else(|| seen().any(|shown| is(shown, CUT)).then_some(CUT));
    if let Some(wanted) = wanted
        && !shown.iter().any(|shown| is(shown, wanted))
    {
        let mut known: Vec<String> = seen().map(|shown| shown.layer.clone()).collect();
        known.sort();
        known.dedup();
        return Err(DxfError::Layer { wanted: wanted.to_owned(), known });
    }
    let mut drawn = Drawn { header_units, ..Drawn::default() };
    let mut strange: IndexMap<String, usize> = IndexMap::new();
    for shown in &shown {
        let count = match &shown.what {
            _ if wanted.is_some_and(|wanted| !is(shown, wanted)) => &mut drawn.elsewhere,
            What::Edges(edges) => {
                drawn.edges.extend(edges.iter().map(|edge| scaled(edge, mm)));
                continue;
            }
            What::Idle(kind) => drawn.passed.entry(kind.clone()).or_default(),
            What::Hidden(what) => drawn.hidden.entry(what.clone()).or_default(),
            What::Strange(kind) => strange.entry(kind.clone()).or_default(),
        };
        *count += 1;
    }
    if !strange.is_empty() {
        return Err(DxfError::Kinds(strange));
    }
    if drawn.edges.is_empty() && !drawn.hidden.is_empty() {
        return Err(DxfError::Hidden(drawn.hidden));
    }
    let reach = drawn.edges.iter().map(reach).fold(0.0, f64::max);
    match reach {
        _ if !reach.is_finite() => Err(DxfError::NotFinite),
        _ if reach > FURTHEST => Err(DxfError::TooFar),
        _ => Ok(drawn),
    }
}

/// How far from the origin along an axis an edge comes.
fn reach(edge: &Edge) -> f64 {
    let bounds = edge.bounds();
    let sides = [bounds.least.x, bounds.least.y, bounds.most.x, bounds.most.y];
    sides.iter().map(|side| side.abs()).fold(0.0, f64::max)
}

/// One unit of the file in mm, and how its header calls it.
fn header(code: Option<&str>) -> Result<(f64, Option<&'static str>), DxfError> {
    let code = code.map_or(Some(0), |text| text.trim().parse().ok());
    match code {
        None | Some(0) => Err(DxfError::NoUnits),
        Some(1) => Ok((MM_PER_INCH, Some("inches"))),
        Some(4) => Ok((1.0, Some("millimetres"))),
        Some(5) => Ok((10.0, Some("centimetres"))),
        Some(6) => Ok((1000.0, Some("metres"))),
        Some(other) => Err(DxfError::Units(other)),
    }
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
    use crate::num;

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
        assert_eq!(error.to_string(), "it has 2 SPLINE, 1 HATCH, 1 INSERT of the missing block `x`, which are not read");
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
