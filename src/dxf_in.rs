//! A DXF file drawn elsewhere, as the edges it shows.
//!
//! Lines, arcs, circles, polylines, ellipses, splines and filled areas are read, from both forms
//! of the format, also those of blocks where these are inserted. Words, dimensions, points and
//! the frames of texts are passed over and counted; so are entities that would not be plotted:
//! layers that are off, frozen or not plotted, and invisible entities. Anything else could be part
//! of the outline, so it is refused by kind and number and never left out in silence.

mod binary;
mod curved;
mod dos;
mod drawn;
mod edges;
mod error;
mod hatch;
mod layer;
mod letters;
mod records;
mod shown;
mod words;

use crate::geom::Edge;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::sketch;
use crate::sketch::FURTHEST;
use crate::sketch::Item;
use crate::sketch::What;
pub use error::DxfError;
pub(crate) use error::counted;
use indexmap::IndexMap;

/// The contents read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Every line and arc, in mm, in the order of the file.
    pub edges: Vec<Edge>,
    /// Kinds that mean nothing for an outline, how many, in the order of the file.
    pub passed: IndexMap<String, usize>,
    /// Entities that would not be plotted, why, and how many.
    pub hidden: IndexMap<String, usize>,
    /// How many entities are on other layers.
    pub elsewhere: usize,
    /// The units it was read in, from its header; `None` if they were given.
    pub header_units: Option<&'static str>,
}

/// The layer that is read if a file has it and no other is given.
pub const CUT: &str = "CUT";

/// Everything a file shows, and what its header says.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// All that is in its model.
    pub items: Vec<Item>,
    /// One unit of it in mm, and how the header calls it; why not, where it does not say.
    pub units: Result<(f64, &'static str), DxfError>,
    /// Whether its header specifies metric units; `None` if it does not say.
    pub metric: Option<bool>,
    /// The code page that its header names, where that is not known and its texts need it.
    pub unknown_page: Option<String>,
}

/// Reads a DXF file.
///
/// # Errors
/// When the file is damaged.
pub fn whole(bytes: &[u8]) -> Result<Whole, DxfError> {
    let sections = records::sections(bytes)?;
    let units = header(sections.header("$INSUNITS", 70));
    let metric = sections.header("$MEASUREMENT", 70).map(|text| text.trim() == "1");
    let items = shown::shown(&sections)?;
    Ok(Whole { items, units, metric, unknown_page: sections.unknown_page })
}

/// Reads the edges of a DXF file. `units` is for a file that does not say them, or says them
/// wrong; `layer` is the one to read. When it is not given, that is [`CUT`] if the file has it,
/// else all layers. Names of layers are compared without regard to case, as the format has it.
///
/// # Errors
/// When the file is damaged, its units are unknown, or it contains entities that cannot be read.
pub fn read(bytes: &[u8], units: Option<Units>, layer: Option<&str>) -> Result<Drawn, DxfError> {
    let whole = whole(bytes)?;
    let (mm, header_units) = match units {
        Some(units) => (units.in_mm(), None),
        None => whole.units.map(|(mm, name)| (mm, Some(name)))?,
    };
    let shown = whole.items;
    let seen = || shown.iter().filter(|shown| !matches!(shown.what, What::Hidden(_)));
    let is = |shown: &Item, name: &str| same_layer(&shown.layer, name);
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
        let count = match (&shown.what, &shown.dashes) {
            _ if wanted.is_some_and(|wanted| !is(shown, wanted)) => &mut drawn.elsewhere,
            (What::Drawn(_) | What::Fill(_), Some(dashes)) => {
                strange.entry(format!("{} in line type {dashes}", shown.kind)).or_default()
            }
            (What::Drawn(courses) | What::Fill(courses), None) => {
                drawn.edges.extend(sketch::edges(courses, mm).0);
                continue;
            }
            (What::Idle(_), _) => drawn.passed.entry(shown.kind.clone()).or_default(),
            (What::Hidden(what), _) => drawn.hidden.entry(what.clone()).or_default(),
            (What::Strange(kind), _) => strange.entry(kind.clone()).or_default(),
        };
        *count += 1;
    }
    if !strange.is_empty() {
        return Err(DxfError::Kinds(strange));
    }
    if drawn.edges.is_empty() && !drawn.hidden.is_empty() {
        return Err(DxfError::Hidden(drawn.hidden));
    }
    within_reach(&drawn.edges)?;
    Ok(drawn)
}

/// Whether two names are those of one layer.
pub fn same_layer(one: &str, other: &str) -> bool {
    layer::key(one) == layer::key(other)
}

/// Refuses edges that are nowhere, or too far away to be exact.
///
/// # Errors
/// When one is no number, or further from the origin than [`FURTHEST`].
pub(crate) fn within_reach(edges: &[Edge]) -> Result<(), DxfError> {
    let reach = edges.iter().map(reach).fold(0.0, f64::max);
    match reach {
        _ if !reach.is_finite() => Err(DxfError::NotFinite),
        _ if reach > FURTHEST => Err(DxfError::TooFar),
        _ => Ok(()),
    }
}

/// How far from the origin along an axis an edge comes.
fn reach(edge: &Edge) -> f64 {
    let bounds = edge.bounds();
    let sides = [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y];
    sides.iter().map(|side| side.abs()).fold(0.0, f64::max)
}

/// One unit of the file in mm, and how its header calls it.
fn header(code: Option<&str>) -> Result<(f64, &'static str), DxfError> {
    let code = code.map_or(Some(0), |text| text.trim().parse().ok());
    match code {
        None | Some(0) => Err(DxfError::NoUnits),
        Some(code) => {
            let length = LENGTHS.iter().find(|(of, ..)| *of == code);
            let other = OTHERS.iter().find(|(of, _)| *of == code).map(|(_, name)| *name);
            let error = DxfError::Units(code, other.unwrap_or("unknown units"));
            length.map(|(_, mm, name)| (*mm, *name)).ok_or(error)
        }
    }
}

/// Codes of `$INSUNITS` by the published reference of DXF in which a plate may be drawn: one unit
/// in mm, and its name. The US survey foot is 1200/3937 m.
const LENGTHS: [(i64, f64, &str); 12] = [
    (1, MM_PER_INCH, "inches"),
    (2, 12.0 * MM_PER_INCH, "feet"),
    (4, 1.0, "millimetres"),
    (5, 10.0, "centimetres"),
    (6, 1000.0, "metres"),
    (8, MM_PER_INCH / 1e6, "microinches"),
    (9, MM_PER_INCH / 1000.0, "mils"),
    (10, 36.0 * MM_PER_INCH, "yards"),
    (13, 0.001, "microns"),
    (14, 100.0, "decimetres"),
    (21, 1_200_000.0 / 3937.0, "US survey feet"),
    (22, 100_000.0 / 3937.0, "US survey inches"),
];

/// The other codes, in whose units no plate is drawn.
const OTHERS: [(i64, &str); 12] = [
    (3, "miles"),
    (7, "kilometres"),
    (11, "angstroms"),
    (12, "nanometres"),
    (15, "decametres"),
    (16, "hectometres"),
    (17, "gigametres"),
    (18, "astronomical units"),
    (19, "light years"),
    (20, "parsecs"),
    (23, "US survey yards"),
    (24, "US survey miles"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::JOIN;
    use crate::geom::Point;
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
        for (said, mm) in [
            ("1", 25.4),
            ("2", 304.8),
            ("4", 1.0),
            ("5", 10.0),
            ("6", 1000.0),
            ("9", 0.0254),
            ("10", 914.4),
            ("13", 0.001),
            ("14", 100.0),
        ] {
            let got = area(&file(said, &circle), None);
            assert!((got / (num::PI * mm * mm) - 1.0).abs() < 1e-9, "{said}");
        }
        for said in ["", "0"] {
            let bytes = file(said, &circle);
            assert_eq!(read(&bytes, None, None), Err(DxfError::NoUnits));
            assert!((area(&bytes, Some(Units::Inch)) - num::PI * 645.16).abs() < 1e-9);
        }
        assert_eq!(read(&file("3", &circle), None, None), Err(DxfError::Units(3, "miles")));
        assert!((area(&file("1", &circle), Some(Units::Millimetre)) - num::PI).abs() < 1e-9);
    }

    #[test]
    fn entities_not_read_are_counted_by_kind_even_if_the_reader_skips_them() {
        let face = "3DFACE 8 0";
        let bytes = file("4", &[D, face, "REGION 8 0", face, "INSERT 8 0 2 x"]);
        let error = read(&bytes, None, None).unwrap_err();
        assert_eq!(
            error.to_string(),
            "it has 2 3DFACE, 1 REGION, 1 INSERT of the missing block `x`, which are not read"
        );
        let inside_out = file("4", &["CIRCLE 8 0 10 0 20 0 40 -5", D]);
        let error = read(&inside_out, None, None).unwrap_err();
        assert_eq!(error.to_string(), "it has 1 CIRCLE of radius -5, which is not read");
        let space = file("4", &["LINE 8 0 10 0 20 0 30 0 11 4 21 0 31 1"]);
        let error = read(&space, None, None).unwrap_err();
        assert_eq!(error.to_string(), "it has 1 LINE out of the plane, which is not read");
    }

    #[test]
    fn words_and_points_are_passed_over_and_counted() {
        let text = "TEXT 8 0 10 0 20 0 40 3 1 x";
        let bytes = file("4", &[text, D, text, "POINT 8 0 10 0 20 0", "REGION 67 1 8 0"]);
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

    /// A file with tables and blocks before its entities.
    fn whole(tables: &[&str], blocks: &[&str], entities: &[&str]) -> Vec<u8> {
        let section = |name: &str, records: &[&str]| {
            let records: String =
                records.iter().map(|r| format!("0\n{}\n", r.replace(' ', "\n"))).collect();
            format!("0\nSECTION\n2\n{name}\n{records}0\nENDSEC\n")
        };
        let header = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n";
        let (tables, blocks) = (section("TABLES", tables), section("BLOCKS", blocks));
        let text = format!("{header}{tables}{blocks}{}0\nEOF\n", section("ENTITIES", entities));
        text.into_bytes()
    }

    #[test]
    fn entities_that_no_print_shows_are_left_out_and_reported() {
        let layers = [
            "LAYER 2 FRZ 70 1 62 7",
            "LAYER 2 OFF 70 0 62 -7",
            "LAYER 2 AID 70 0 62 7 290 0",
            "LAYER 2 0 70 0 62 7",
        ];
        let hole = |layer: &str| format!("CIRCLE 8 {layer} 10 2 20 1 40 0.5");
        let holes = ["frz", "OFF", "AID", "Defpoints"].map(hole);
        let mut entities: Vec<&str> = holes.iter().map(String::as_str).collect();
        entities.extend([D, "CIRCLE 8 0 60 1 10 2 20 1 40 0.5"]);
        let drawn = read(&whole(&layers, &[], &entities), None, None).unwrap();
        assert_eq!(drawn.edges.len(), 2);
        assert_eq!(
            counted(&drawn.hidden),
            "1 CIRCLE on layer `frz` (frozen), 1 CIRCLE on layer `OFF` (off), \
             1 CIRCLE on layer `AID` (not plotted), 1 CIRCLE on layer `Defpoints` (not plotted), \
             1 CIRCLE made invisible"
        );
        let alone = whole(&layers, &[], &[&holes[0]]);
        assert!(matches!(read(&alone, None, None), Err(DxfError::Hidden(_))));
    }

    #[test]
    fn the_frame_of_a_text_is_no_outline() {
        let text = "MTEXT 8 0 10 0 20 0 1 x 1001 ACAD 1000 ACAD_MTEXT_TEXT_BORDERS_BEGIN 1005 9F";
        let frame = format!("LWPOLYLINE 5 9F {}", D.trim_start_matches("LWPOLYLINE "));
        let drawn = read(&whole(&[], &[], &[text, &frame, D]), None, None).unwrap();
        assert_eq!(
            (drawn.edges.len(), counted(&drawn.passed)),
            (2, "1 MTEXT, 1 text frame".into())
        );
    }

    /// Twice as large, rotated by 90°, with its base (1, 0) at (10, 20): the circle about (2, 0)
    /// moves to (10, 22), radius 1. As an array of 2 by 3 there are six, and mirrored an arc keeps
    /// its metal.
    #[test]
    fn a_block_is_read_where_it_is_inserted() {
        let block = [
            "BLOCK 2 EAR 70 0 10 1 20 0",
            "CIRCLE 8 0 10 2 20 0 40 0.5",
            "ENDBLK",
            "BLOCK 2 PAIR 70 0 10 0 20 0",
            "INSERT 8 0 2 ear 10 3 20 0",
            "ENDBLK",
        ];
        let round = |insert: &str| {
            let drawn = read(&whole(&[], &block, &[insert]), None, None).unwrap();
            let centre = |pair: &[Edge]| pair[0].from.midpoint(pair[1].from);
            let centres: Vec<Point> = drawn.edges.chunks(2).map(centre).collect();
            let radius = (drawn.edges[0].from - centres[0]).hypot();
            (centres, radius)
        };
        let near = |a: Point, x: f64, y: f64| (a - Point::new(x, y)).hypot() < 1e-9;
        let (at, radius) = round("INSERT 8 0 2 EAR 10 10 20 20 41 2 42 2 50 90");
        assert!(near(at[0], 10.0, 22.0) && (radius - 1.0).abs() < 1e-9, "{at:?}");
        let (at, _) = round("INSERT 8 0 2 EAR 10 0 20 0 70 2 71 3 44 5 45 7");
        assert!(at.len() == 6 && near(at[0], 1.0, 0.0) && near(at[5], 6.0, 14.0), "{at:?}");
        let (at, _) = round("INSERT 8 0 2 PAIR 10 1 20 1 41 -1");
        assert!(near(at[0], -3.0, 1.0), "{at:?}");
        let (at, _) = round("INSERT 8 0 2 EAR 10 10 20 0 230 -1");
        assert!(near(at[0], -11.0, 0.0), "{at:?}");
    }

    #[test]
    fn blocks_that_cannot_be_read_are_refused_by_name() {
        let block = ["BLOCK 2 EAR 70 0 10 0 20 0", "REGION 8 0", "INSERT 8 0 2 EAR", "ENDBLK"];
        let other = ["BLOCK 2 FAR 70 4 10 0 20 0", "ENDBLK"];
        let said = |blocks: &[&str], insert: &str| {
            read(&whole(&[], blocks, &[D, insert]), None, None).unwrap_err().to_string()
        };
        assert!(said(&block, "INSERT 8 0 2 EAR").contains("REGION in a block"));
        assert!(said(&block, "INSERT 8 0 2 EAR").contains("block `EAR` more than 16 blocks deep"));
        assert!(said(&block, "INSERT 8 0 2 EAR 230 0").contains("`EAR` out of the plane"));
        assert!(said(&other, "INSERT 8 0 2 FAR").contains("block `FAR` from another file"));
        assert!(said(&[], "INSERT 8 0 2 GONE").contains("the missing block `GONE`"));
    }

    /// Content on layer 0 gets the layer of its block; other content keeps its own.
    #[test]
    fn content_of_a_block_is_on_the_layer_it_is_seen_on() {
        let block = [
            "BLOCK 2 B 70 0",
            "CIRCLE 8 CUT 10 1 20 1 40 1",
            "CIRCLE 8 0 10 9 20 9 40 1",
            "ENDBLK",
        ];
        let drawn = read(&whole(&[], &block, &["INSERT 8 NOTE 2 B"]), None, None).unwrap();
        assert_eq!((drawn.edges.len(), drawn.elsewhere), (2, 1));
        let taken = block.map(|line| line.replace("8 CUT", "8 NOTE"));
        let taken: Vec<&str> = taken.iter().map(String::as_str).collect();
        let drawn = read(&whole(&[], &taken, &["INSERT 8 CUT 2 B"]), None, None).unwrap();
        assert_eq!((drawn.edges.len(), drawn.elsewhere), (2, 1));
        assert!((drawn.edges[0].from - Point::new(9.0, 9.0)).hypot() < 1.1, "{drawn:?}");
        let layers = ["LAYER 2 OFF 70 0 62 -7", "LAYER 2 FRZ 70 1 62 7"];
        let off = read(&whole(&layers, &block, &["INSERT 8 OFF 2 B"]), None, None).unwrap();
        assert_eq!(off.edges.len(), 2);
        let frozen = read(&whole(&layers, &block, &["INSERT 8 FRZ 2 B"]), None, Some("CUT"));
        assert!(matches!(frozen, Err(DxfError::Hidden(_))));
    }

    #[test]
    fn dashed_lines_are_refused_whatever_the_pattern_is_called() {
        let types =
            ["LTYPE 2 RAND 70 0 73 2", "LTYPE 2 PLAIN 70 0 73 0", "LAYER 2 L 70 0 62 7 6 RAND"];
        let circle = |words: &str| format!("CIRCLE {words} 10 2 20 1 40 0.5");
        let said = |words: &str| read(&whole(&types, &[], &[D, &circle(words)]), None, None);
        assert!(said("8 0 6 PLAIN").is_ok() && said("8 0 6 Continuous").is_ok());
        for words in ["8 0 6 CENTER", "8 0 6 RAND", "8 L"] {
            assert!(matches!(said(words), Err(DxfError::Kinds(_))), "{words}");
        }
    }

    #[test]
    fn absurd_coordinates_and_bulges_are_refused_at_once() {
        let far = file("4", &["LWPOLYLINE 8 0 70 1 10 0 20 0 42 0.1 10 60 20 1e154 10 0 20 60"]);
        assert_eq!(read(&far, None, None), Err(DxfError::TooFar));
        let round = file("4", &["LWPOLYLINE 8 0 70 1 10 0 20 0 42 1e9 10 60 20 0 10 0 20 60"]);
        assert_eq!(read(&round, None, None), Err(DxfError::Bulge(1e9)));
        let metres = file("6", &["CIRCLE 8 0 10 0 20 0 40 1001"]);
        assert_eq!(read(&metres, None, None), Err(DxfError::TooFar));
        let many = ["BLOCK 2 B 70 0", D, "ENDBLK"];
        let many = whole(&[], &many, &["INSERT 8 0 2 B 70 30000 71 30000"]);
        assert!(matches!(read(&many, None, None), Err(DxfError::TooMany(_))));
    }

    #[test]
    fn old_marks_and_old_letters_are_read() {
        let mut bytes = file("4", &["CIRCLE 8 Kontur-au\u{df}en 10 0 20 0 40 1"]);
        bytes = String::from_utf8(bytes).unwrap().chars().map(|c| c as u8).collect();
        bytes.push(0x1a);
        assert_eq!(read(&bytes, None, Some("KONTUR-AU\u{df}EN")).unwrap().edges.len(), 2);
    }
}
