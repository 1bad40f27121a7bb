//! A written DXF file read back by independent code, and compared with the drawing.
//!
//! The `dxf` crate reads; the writer shares no code with it. Everything found is in
//! the units of the file, so that a file in the wrong units is found by its sizes too.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::quantity::Units;
use crate::write::drawing::Drawing;
use crate::write::drawing::Layer;
use crate::write::dxf::Version;
use dxf::entities::Entity;
use dxf::entities::EntityType;
use dxf::enums::AcadVersion;
use thiserror::Error;

/// How far, in mm, a corner may lie from where it was meant. The grid of the files is
/// a millionth of a millimetre, in inch files 2.5 times that. Our choice.
const CLOSE: f64 = 1e-5;

/// One closed outline on the layer that is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Closed {
    /// Whether it is a circle.
    pub round: bool,
    /// Enclosed, in square file units, positive.
    pub area: f64,
    /// All round, in file units.
    pub length: f64,
    /// The rectangle round it, in file units.
    pub bounds: Bounds,
}

/// The contents of a file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Contents {
    /// Its dialect.
    pub version: Version,
    /// What it says of its units; R12 says nothing.
    pub units: Option<Units>,
    /// The outlines to be cut, in order.
    pub outlines: Vec<Closed>,
    /// Lengths of the open chains to be cut, in order, in file units.
    pub open: Vec<f64>,
    /// Common cuts, from end to end in units of the file.
    pub common: Vec<[Point; 2]>,
    /// Lines on the layer of bends, from end to end in units of the file.
    pub bends: Vec<[Point; 2]>,
    /// Entities on all layers.
    pub entities: usize,
}

impl Contents {
    /// How many of the outlines are circles.
    pub(crate) fn circles(&self) -> usize {
        self.outlines.iter().filter(|o| o.round).count()
    }
}

/// Why a file cannot be cut from.
#[derive(Clone, Debug, PartialEq, Error)]
pub(crate) enum ReadError {
    /// Not DXF, or damaged.
    #[error("the file cannot be read as DXF: {0}")]
    Unreadable(String),
    /// The end is missing.
    #[error("the file ends before its end-of-file marker")]
    BrokenOff,
    /// A release of the format that is not written here.
    #[error("the file is neither R2000 nor R12 but {0}")]
    Version(String),
    /// Units other than mm and inch.
    #[error("the file is in units of kind {0}, not in mm or inches")]
    Units(i16),
    /// Something on the layer that is cut which is no chain of lines and arcs.
    #[error("entity {0} is on a cutting layer and is not a chain of lines and arcs")]
    Open(usize),
    /// Something on the layer of common cuts which is no line.
    #[error("entity {0} is on the layer of common cuts and is not a line")]
    Common(usize),
    /// A layer that is none of ours.
    #[error("entity {index} is on layer `{layer}`")]
    Layer {
        /// Which entity, counting from 1.
        index: usize,
        /// Its layer.
        layer: String,
    },
}

/// How a file differs from the drawing it was written from.
#[derive(Clone, Debug, PartialEq, Error)]
pub(crate) enum Mismatch {
    /// It does not even read.
    #[error(transparent)]
    Unread(#[from] ReadError),
    /// Other units, or none.
    #[error("the file says its units are {}, but it was drawn in {}", named(*.found), named(Some(*.wanted)))]
    Units {
        /// Of the drawing.
        wanted: Units,
        /// In the file.
        found: Option<Units>,
    },
    /// Something was lost or added.
    #[error("the file has {found} {what}, the drawing {wanted}")]
    Count {
        /// What was counted.
        what: &'static str,
        /// In the drawing.
        wanted: usize,
        /// In the file.
        found: usize,
    },
    /// A common cut elsewhere; counted from 1.
    #[error("common cut {0} is not in the file where it was drawn")]
    Common(usize),
    /// A bend line elsewhere; counted from 1.
    #[error("bend line {0} is not in the file where it was drawn")]
    Bend(usize),
    /// An open cut of another length.
    #[error("open cut {index} is {found} mm long in the file, {wanted} mm in the drawing")]
    Chain {
        /// Which one, counting from 1.
        index: usize,
        /// In the drawing, mm.
        wanted: f64,
        /// In the file, mm.
        found: f64,
    },
    /// An outline of another size or elsewhere.
    #[error("outline {index}: its {what} is {found} in the file, {wanted} in the drawing")]
    Outline {
        /// Which one, counting from 1.
        index: usize,
        /// Area in mm², length or bounds in mm.
        what: &'static str,
        /// In the drawing.
        wanted: f64,
        /// In the file.
        found: f64,
    },
}

fn named(units: Option<Units>) -> &'static str {
    match units {
        None => "unknown",
        Some(Units::Millimetre) => "mm",
        Some(Units::Inch) => "inches",
    }
}

/// Reads a file that this room wrote.
///
/// # Errors
/// When it is no DXF, or contains something a machine could not cut from.
pub(crate) fn read_back(bytes: &[u8]) -> Result<Contents, ReadError> {
    // The crate takes a missing end, and even an empty file, without a word.
    if !bytes.trim_ascii_end().ends_with(b"\nEOF") {
        return Err(ReadError::BrokenOff);
    }
    let mut source = bytes;
    let file = dxf::Drawing::load(&mut source).map_err(|e| ReadError::Unreadable(e.to_string()))?;
    let version = match file.header.version {
        AcadVersion::R2000 => Version::R2000,
        AcadVersion::R12 => Version::R12,
        other => return Err(ReadError::Version(other.to_string())),
    };
    let units = match file.header.default_drawing_units {
        dxf::enums::Units::Unitless => None,
        dxf::enums::Units::Millimeters => Some(Units::Millimetre),
        dxf::enums::Units::Inches => Some(Units::Inch),
        other => return Err(ReadError::Units(other as i16)),
    };
    let mut contents = Contents {
        version,
        units,
        outlines: Vec::new(),
        open: Vec::new(),
        common: Vec::new(),
        bends: Vec::new(),
        entities: 0,
    };
    for entity in file.entities() {
        contents.entities += 1;
        let index = contents.entities;
        let name = &entity.common.layer;
        match Layer::ALL.into_iter().find(|l| l.name() == name) {
            None => return Err(ReadError::Layer { index, layer: name.clone() }),
            Some(Layer::Cut) => match (closed(entity), open(entity)) {
                (Some(closed), _) => contents.outlines.push(closed),
                (None, Some(length)) => contents.open.push(length),
                (None, None) => return Err(ReadError::Open(index)),
            },
            Some(Layer::CutCommon) => match line(entity) {
                Some(ends) => contents.common.push(ends),
                None => return Err(ReadError::Common(index)),
            },
            Some(Layer::Bend) => contents.bends.extend(line(entity)),
            Some(Layer::Mark | Layer::Note) => {}
        }
    }
    Ok(contents)
}

/// The ends of a single line.
fn line(entity: &Entity) -> Option<[Point; 2]> {
    match &entity.specific {
        EntityType::Line(line) => Some([&line.p1, &line.p2].map(|p| Point::new(p.x, p.y))),
        _ => None,
    }
}

fn closed(entity: &Entity) -> Option<Closed> {
    match &entity.specific {
        EntityType::Circle(circle) => {
            let (r, centre) = (circle.radius, Point::new(circle.center.x, circle.center.y));
            let bounds = Bounds::EMPTY.with(centre).grown(r);
            Some(Closed { round: true, area: num::PI * r * r, length: 2.0 * num::PI * r, bounds })
        }
        EntityType::LwPolyline(line) if line.is_closed() => {
            measured(line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect())
        }
        EntityType::Polyline(line) if line.is_closed() => measured(
            line.vertices().map(|v| (Point::new(v.location.x, v.location.y), v.bulge)).collect(),
        ),
        _ => None,
    }
}

/// The length of an open chain.
fn open(entity: &Entity) -> Option<f64> {
    let vertices: Vec<(Point, f64)> = match &entity.specific {
        EntityType::LwPolyline(line) => {
            line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect()
        }
        EntityType::Polyline(line) => {
            line.vertices().map(|v| (Point::new(v.location.x, v.location.y), v.bulge)).collect()
        }
        _ => return None,
    };
    let edges =
        vertices.windows(2).map(|pair| Edge { from: pair[0].0, to: pair[1].0, bulge: pair[0].1 });
    (vertices.len() > 1).then(|| edges.map(|edge| edge.length()).sum())
}

fn measured(vertices: Vec<(Point, f64)>) -> Option<Closed> {
    if vertices.len() < 2 {
        return None;
    }
    let next = vertices.iter().cycle().skip(1);
    let edges = vertices.iter().zip(next).map(|((from, bulge), (to, _))| Edge {
        from: *from,
        to: *to,
        bulge: *bulge,
    });
    let empty = Closed { round: false, area: 0.0, length: 0.0, bounds: Bounds::EMPTY };
    let mut sum = edges.fold(empty, |sum, edge| Closed {
        area: sum.area + edge.area_share(),
        length: sum.length + edge.length(),
        bounds: sum.bounds.and(edge.bounds()),
        ..sum
    });
    sum.area = sum.area.abs();
    Some(sum)
}

/// Reads a file and compares it with the drawing it was written from: units, every count, area,
/// length and place of each outline that is cut, and the ends of bend lines.
///
/// R12 cannot say its units. There only the sizes speak, which is enough to find a
/// file written in the wrong ones, but not for a reader who does not know them.
///
/// # Errors
/// At the first difference, saying what differs.
pub(crate) fn compare(drawing: &Drawing, bytes: &[u8]) -> Result<(), Mismatch> {
    let found = read_back(bytes)?;
    let silent = found.version == Version::R12 && found.units.is_none();
    if found.units != Some(drawing.units) && !silent {
        return Err(Mismatch::Units { wanted: drawing.units, found: found.units });
    }
    same_counts(drawing, &found)?;
    same_outlines(drawing, &found)?;
    same_chains(drawing, &found)?;
    let mm = drawing.units.in_mm();
    let elsewhere =
        |layer: Layer, found: &[[Point; 2]]| elsewhere(&drawing.lines(layer), found, mm);
    match (elsewhere(Layer::CutCommon, &found.common), elsewhere(Layer::Bend, &found.bends)) {
        (Some(i), _) => Err(Mismatch::Common(i + 1)),
        (None, Some(i)) => Err(Mismatch::Bend(i + 1)),
        (None, None) => Ok(()),
    }
}

fn same_counts(drawing: &Drawing, found: &Contents) -> Result<(), Mismatch> {
    let circles = drawing.cut_outlines().filter(|o| o.circle().is_some());
    for (what, wanted, found) in [
        ("closed outlines", drawing.cut_outlines().count(), found.outlines.len()),
        ("open cuts", drawing.cut_chains().count(), found.open.len()),
        ("common cuts", drawing.lines(Layer::CutCommon).len(), found.common.len()),
        ("circles", circles.count(), found.circles()),
        ("bend lines", drawing.lines(Layer::Bend).len(), found.bends.len()),
        ("entities", drawing.strokes.len(), found.entities),
    ] {
        if wanted != found {
            return Err(Mismatch::Count { what, wanted, found });
        }
    }
    Ok(())
}

fn same_outlines(drawing: &Drawing, found: &Contents) -> Result<(), Mismatch> {
    let mm = drawing.units.in_mm();
    for (i, (wanted, found)) in drawing.cut_outlines().zip(&found.outlines).enumerate() {
        let (length, bounds) = (wanted.length(), wanted.bounds());
        let along = CLOSE * wanted.vertices().len() as f64;
        for (what, wanted, found, max) in [
            // An outline that moves by so much all round changes the area by that times its length.
            ("area", wanted.area(), found.area * mm * mm, CLOSE * length),
            ("length", length, found.length * mm, along),
            ("left end", bounds.min.x, found.bounds.min.x * mm, CLOSE),
            ("lower end", bounds.min.y, found.bounds.min.y * mm, CLOSE),
            ("right end", bounds.max.x, found.bounds.max.x * mm, CLOSE),
            ("upper end", bounds.max.y, found.bounds.max.y * mm, CLOSE),
        ] {
            if !near(wanted, found, max) {
                return Err(Mismatch::Outline { index: i + 1, what, wanted, found });
            }
        }
    }
    Ok(())
}

fn same_chains(drawing: &Drawing, found: &Contents) -> Result<(), Mismatch> {
    let mm = drawing.units.in_mm();
    for (i, (chain, found)) in drawing.cut_chains().zip(&found.open).enumerate() {
        let (wanted, found) = (chain.iter().map(Edge::length).sum::<f64>(), found * mm);
        if !near(wanted, found, CLOSE * (chain.len() + 1) as f64) {
            return Err(Mismatch::Chain { index: i + 1, wanted, found });
        }
    }
    Ok(())
}

/// The first line that is not where it should be; `mm` is the unit of those found.
fn elsewhere(wanted: &[[Point; 2]], found: &[[Point; 2]], mm: f64) -> Option<usize> {
    let off = |w: Point, f: Point| (w - (f.to_vec2() * mm).to_point()).hypot();
    let same = |(w, f): (&[Point; 2], &[Point; 2])| {
        near(off(w[0], f[0]), 0.0, CLOSE) && near(off(w[1], f[1]), 0.0, CLOSE)
    };
    wanted.iter().zip(found).position(|pair| !same(pair))
}

/// Whether two measures differ by no more than `max`. NaN is near nothing, so it is a
/// difference.
fn near(wanted: f64, found: f64, max: f64) -> bool {
    (wanted - found).abs() <= max
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::write::Stroke;
    use crate::write::dxf;
    use crate::write::sample::bracket;

    const BOTH: [Units; 2] = [Units::Millimetre, Units::Inch];

    fn text(units: Units, version: Version) -> String {
        String::from_utf8(dxf(&bracket(units), version)).unwrap()
    }

    /// Compares the bracket with its own file after one change to the text of the file.
    fn changed(units: Units, version: Version, from: &str, to: &str) -> Mismatch {
        let text = text(units, version);
        assert_eq!(text.matches(from).count(), 1, "{from:?} must stand there once");
        compare(&bracket(units), text.replace(from, to).as_bytes()).unwrap_err()
    }

    #[test]
    fn every_dialect_and_unit_comes_back_as_it_was_meant() {
        for units in BOTH {
            for version in [Version::R2000, Version::R12] {
                let drawing = bracket(units);
                let bytes = dxf(&drawing, version);
                compare(&drawing, &bytes).unwrap();
                let contents = read_back(&bytes).unwrap();
                assert_eq!((contents.outlines.len(), contents.circles()), (3, 1));
                assert_eq!((contents.bends.len(), contents.entities), (2, drawing.strokes.len()));
                let bounds = contents.outlines.iter().fold(Bounds::EMPTY, |b, o| b.and(o.bounds));
                assert!((bounds.width() * units.in_mm() - 80.0).abs() < 1e-5);
            }
        }
    }

    #[test]
    fn units_come_back_from_r2000_only() {
        for units in BOTH {
            let read = |version| read_back(&dxf(&bracket(units), version)).unwrap().units;
            assert_eq!((read(Version::R2000), read(Version::R12)), (Some(units), None));
        }
    }

    #[test]
    fn a_lost_outline_is_found() {
        let mut short = bracket(Units::Millimetre);
        short.strokes.remove(1);
        let error = compare(&bracket(Units::Millimetre), &dxf(&short, Version::R2000)).unwrap_err();
        assert_eq!(error.to_string(), "the file has 2 closed outlines, the drawing 3");
    }

    #[test]
    fn a_lost_bend_line_and_a_lost_note_are_found() {
        let whole = bracket(Units::Millimetre);
        for (layer, what) in [(Layer::Bend, "bend lines"), (Layer::Note, "entities")] {
            let mut short = whole.clone();
            let at = short.strokes.iter().position(|(l, _)| *l == layer).unwrap();
            short.strokes.remove(at);
            let error = compare(&whole, &dxf(&short, Version::R12)).unwrap_err();
            assert!(matches!(error, Mismatch::Count { what: w, .. } if w == what), "{error}");
        }
    }

    #[test]
    fn wrong_units_are_found_by_name_and_in_r12_by_size() {
        let stated = "$INSUNITS\r\n70\r\n4";
        let error = changed(Units::Millimetre, Version::R2000, stated, "$INSUNITS\r\n70\r\n1");
        assert_eq!(error.to_string(), "the file says its units are inches, but it was drawn in mm");
        let none = changed(Units::Millimetre, Version::R2000, stated, "$INSUNITS\r\n70\r\n0");
        assert!(matches!(none, Mismatch::Units { found: None, .. }));
        let inch = dxf(&bracket(Units::Inch), Version::R12);
        let error = compare(&bracket(Units::Millimetre), &inch).unwrap_err();
        assert!(matches!(error, Mismatch::Outline { index: 1, what: "area", .. }), "{error}");
    }

    #[test]
    fn common_cuts_come_back_and_a_moved_one_is_found() {
        for units in BOTH {
            for version in [Version::R2000, Version::R12] {
                let mut drawing = bracket(units);
                let (from, to) = (Point::new(80.5, -0.5), Point::new(80.5, 60.5));
                drawing.draw(Layer::CutCommon, Stroke::Line(from, to));
                let bytes = dxf(&drawing, version);
                compare(&drawing, &bytes).unwrap();
                assert_eq!(read_back(&bytes).unwrap().common.len(), 1);
                let last = drawing.strokes.len() - 1;
                let mut moved = drawing.clone();
                moved.strokes[last].1 = Stroke::Line(from, to + (0.0, 0.001));
                assert_eq!(compare(&moved, &bytes), Err(Mismatch::Common(1)));
                let lost = bracket(units);
                let error = compare(&lost, &bytes).unwrap_err();
                let wanted = Mismatch::Count { what: "common cuts", wanted: 0, found: 1 };
                assert_eq!(error, wanted);
                drawing.strokes[last].1 = Stroke::Path(vec![Edge::line(from, to)]);
                let error = read_back(&dxf(&drawing, version)).unwrap_err();
                assert_eq!(error, ReadError::Common(last + 1));
            }
        }
    }

    #[test]
    fn a_moved_vertex_is_found_and_so_is_a_bent_edge() {
        // The lower right corner, 2 thousandths of a millimetre out.
        let moved = changed(
            Units::Millimetre,
            Version::R2000,
            "10\r\n76\r\n20\r\n0\r\n",
            "10\r\n76.002\r\n20\r\n0\r\n",
        );
        assert!(matches!(moved, Mismatch::Outline { index: 1, .. }), "{moved}");
        let bent = changed(Units::Millimetre, Version::R12, "42\r\n-0.5\r\n", "42\r\n0.5\r\n");
        assert!(matches!(bent, Mismatch::Outline { index: 1, what: "area", .. }), "{bent}");
    }

    #[test]
    fn an_outline_elsewhere_is_found_though_it_has_its_size() {
        let circle = "10\r\n20\r\n20\r\n30\r\n30\r\n0\r\n40\r\n4.25";
        let error =
            changed(Units::Millimetre, Version::R2000, circle, &circle.replacen("20", "21", 1));
        assert_eq!(
            error.to_string(),
            "outline 2: its left end is 16.75 in the file, 15.75 in the drawing"
        );
    }

    #[test]
    fn an_open_outline_and_a_strange_layer_are_refused() {
        let closed = "90\r\n8\r\n70\r\n1";
        let open = changed(
            Units::Millimetre,
            Version::R2000,
            closed,
            &closed.replace("70\r\n1", "70\r\n0"),
        );
        let lost = Mismatch::Count { what: "closed outlines", wanted: 3, found: 2 };
        assert_eq!(open, lost);
        let circle = "8\r\nCUT\r\n100\r\nAcDbCircle";
        let layer =
            changed(Units::Millimetre, Version::R2000, circle, &circle.replace("CUT", "RED"));
        let wanted = ReadError::Layer { index: 2, layer: "RED".to_owned() };
        assert_eq!(layer, Mismatch::Unread(wanted));
    }

    #[test]
    fn damage_is_an_error_and_never_a_panic() {
        let whole = text(Units::Millimetre, Version::R2000);
        assert_eq!(read_back(b""), Err(ReadError::BrokenOff));
        assert!(matches!(read_back(b"no dxf at all\nEOF"), Err(ReadError::Unreadable(_))));
        let drawing = bracket(Units::Millimetre);
        for end in (0..whole.len() - "F\r\n".len()).step_by(37) {
            assert!(compare(&drawing, &whole.as_bytes()[..end]).is_err(), "cut off at {end}");
        }
    }
}
