//! The written files in the hands of readers that share no code with the writer.
//!
//! `tests/outside/check_dxf.py` opens a finished folder with ezdxf and shapely. Here it
//! is given folders it must accept, and folders with one planted fault each, which it
//! must refuse for that fault: a check that never fails proves nothing.

use crate::python;
use platewright::geom::Edge;
use platewright::geom::Outline;
use platewright::geom::Place;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::disc;
use platewright::geom::rectangle;
use platewright::geom::slot;
use platewright::num::Angle;
use platewright::quantity::Units;
use platewright::write::Drawing;
use platewright::write::Layer;
use platewright::write::Stroke;
use platewright::write::Version;
use platewright::write::dxf;
use platewright::write::svg;
use serde_json::Value;
use serde_json::json;
use std::fs;
use std::path::Path;

const GAP: f64 = 3.0;
const MARGIN: f64 = 5.0;

/// An ear 60 mm by 50 mm: arcs of both directions, a round hole, a slot.
fn ear() -> Region {
    let at = |x, y, bulge| Vertex { at: Point::new(x, y), bulge };
    let round = Angle::from_degrees(22.5).tan();
    let outline = Outline::new([
        at(0.0, 0.0, -0.25),
        at(60.0, 0.0, 0.0),
        at(60.0, 30.0, round),
        at(40.0, 50.0, 0.0),
        at(20.0, 50.0, round),
        at(0.0, 30.0, 0.0),
    ]);
    let plate = Region::solid(outline.unwrap());
    let plate = plate.pierced(disc(Point::new(30.0, 35.0), 5.25).unwrap()).unwrap();
    plate.pierced(slot(Point::new(30.0, 17.0), 20.0, 6.5).unwrap()).unwrap()
}

/// A washer, whose outline is a circle too.
fn washer() -> Region {
    let plate = Region::solid(disc(Point::new(15.0, 15.0), 15.0).unwrap());
    plate.pierced(disc(Point::new(15.0, 15.0), 6.0).unwrap()).unwrap()
}

fn flat(plate: &Region, units: Units) -> Drawing {
    let mut drawing = Drawing::new("a flat & its notes", units);
    drawing.cut(plate);
    let (left, right) = (Point::new(0.0, 12.5), Point::new(60.0, 12.5));
    drawing.draw(Layer::Bend, Stroke::Line(left, right));
    let (start, end) = (Point::new(8.0, 25.0), Point::new(14.0, 25.0));
    let chain = vec![Edge::line(start, end), Edge { from: end, to: start, bulge: 0.8 }];
    drawing.draw(Layer::Mark, Stroke::Path(chain));
    for (y, text) in [(40.0, "90° up, Ø10.5 ±0.1"), (44.0, "Träger 50% ^ \\P — 鋼")] {
        let text = text.to_owned();
        drawing.draw(Layer::Note, Stroke::Text { at: Point::new(2.0, y), height: 2.5, text });
    }
    drawing
}

/// A sheet of 200 mm by 100 mm with ears and washers just as near as they may be.
fn sheet(units: Units) -> (Drawing, Vec<&'static str>) {
    let mut drawing = Drawing::new("a sheet", units);
    let outline = rectangle(Point::new(100.0, 50.0), 200.0, 100.0, 0.0).unwrap();
    drawing.draw(Layer::Note, Stroke::Outline(outline));
    let mut placed = Vec::new();
    for (name, plate, rotation, x, y) in [
        ("ear", ear(), 0.0, MARGIN, MARGIN),
        ("ear", ear(), 90.0, MARGIN + 60.0 + GAP + 50.0, MARGIN),
        ("washer", washer(), 0.0, MARGIN + 110.0 + 2.0 * GAP, MARGIN),
        ("washer", washer(), 0.0, MARGIN + 140.0 + 3.0 * GAP, MARGIN),
    ] {
        let place = Place::rotated(Angle::from_degrees(rotation), Point::new(x, y));
        for outline in plate.outlines() {
            drawing.draw(Layer::Cut, Stroke::Outline(outline.moved(&place)));
        }
        placed.push(name);
    }
    (drawing, placed)
}

/// Writes a whole folder with its report into `folder`.
fn write_folder(folder: &Path, units: Units) {
    for sub in ["flats", "sheets"] {
        fs::create_dir_all(folder.join(sub)).unwrap();
    }
    let write = |name: &str, bytes: &[u8]| fs::write(folder.join(name), bytes).unwrap();
    let parts: Vec<Value> = [("ear", ear()), ("washer", washer())]
        .iter()
        .map(|(name, plate)| {
            let drawing = flat(plate, units);
            let files = [".dxf", "-r12.dxf", ".svg"].map(|end| format!("flats/{name}{end}"));
            write(&files[0], &dxf(&drawing, Version::R2000));
            write(&files[1], &dxf(&drawing, Version::R12));
            write(&files[2], svg(&drawing).as_bytes());
            let bounds = plate.outer().bounds();
            json!({
                "name": name, "quantity": 2, "files": files, "holes": plate.holes().len(),
                "area_mm2": plate.area(),
                "cut_length_mm": plate.outlines().map(Outline::length).sum::<f64>(),
                "size_mm": [bounds.width(), bounds.height()],
            })
        })
        .collect();
    let (drawing, placed) = sheet(units);
    write("sheets/one.dxf", &dxf(&drawing, Version::R2000));
    write("sheets/one.svg", svg(&drawing).as_bytes());
    let placed: Vec<Value> = placed.iter().map(|name| json!({ "part": name })).collect();
    let report = json!({
        "format": "platewright report 1",
        "units": if units == Units::Inch { "in" } else { "mm" },
        "parts": parts,
        "sheets": [{
            "file": "sheets/one.dxf", "size_mm": [200.0, 100.0],
            "gap_mm": GAP, "margin_mm": MARGIN, "placed": placed,
        }],
    });
    write("report.json", report.to_string().as_bytes());
}

/// The output of the outside check on a folder, and whether it accepts it.
fn outside(folder: &Path) -> (bool, String) {
    python::outside("check_dxf.py", folder)
}

#[test]
fn foreign_readers_accept_both_dialects_in_both_units() {
    for units in [Units::Millimetre, Units::Inch] {
        let folder = tempfile::tempdir().unwrap();
        write_folder(folder.path(), units);
        let passed = python::accepted("check_dxf.py", folder.path());
        assert!(passed > 60, "only {passed} facts of the folder in {units:?} were checked");
    }
}

#[test]
fn the_outside_check_refuses_each_planted_fault() {
    let (ear, old) = ("flats/ear.dxf", "flats/ear-r12.dxf");
    let (picture, sheet, report) = ("flats/ear.svg", "sheets/one.dxf", "report.json");
    // File, present text, replacement, expected message.
    let faults: &[(&str, &str, &str, &str)] = &[
        (ear, "$INSUNITS\r\n70\r\n4", "$INSUNITS\r\n70\r\n1", "$INSUNITS is 1"),
        (ear, "10\r\n60\r\n20\r\n0", "10\r\n60.1\r\n20\r\n0", "area is"),
        (old, "10\r\n60\r\n20\r\n0", "10\r\n60.1\r\n20\r\n0", "measures 60.1000 mm"),
        (ear, "90\r\n6\r\n70\r\n1", "90\r\n6\r\n70\r\n0", "no closed outline"),
        (ear, "8\r\nBEND\r\n100", "8\r\nCUT\r\n100", "no closed outline"),
        (ear, "8\r\nBEND\r\n100", "8\r\nFOLD\r\n100", "uses layers ['FOLD']"),
        (ear, "0\r\nEOF\r\n", "", "cannot be read"),
        (ear, "6\r\nCONTINUOUS", "6\r\nDOTTED", "audit"),
        (old, "0\r\nCIRCLE\r\n8\r\nCUT", "0\r\nCIRCLE\r\n8\r\nMARK", "1 holes, the report says 2"),
        (picture, " Z", "", "1 cut paths are not closed"),
        (picture, "</svg>", "", "is no XML"),
        (sheet, "10\r\n136\r\n20\r\n20", "10\r\n136.1\r\n20\r\n20", "2.9000 mm apart, not 3"),
        (sheet, "10\r\n136\r\n20\r\n20", "10\r\n136\r\n20\r\n19.9", "mm from the edge, not 5"),
        (sheet, "10\r\n200\r\n20\r\n0", "10\r\n201\r\n20\r\n0", "its edge measures 201.0000 mm"),
        (report, "\"part\":\"ear\"", "\"part\":\"washer\"", "a part's area is"),
        (report, "\"flats/ear-r12.dxf\",", "", "in the folder but not in the report"),
        (report, "flats/ear.svg", "flats/ears.svg", "in the report but not in the folder"),
    ];
    for (name, from, to, wanted) in faults {
        let folder = tempfile::tempdir().unwrap();
        write_folder(folder.path(), Units::Millimetre);
        let path = folder.path().join(name);
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{name} has no {from:?}");
        fs::write(&path, text.replacen(from, to, 1)).unwrap();
        let (accepted, said) = outside(folder.path());
        assert!(!accepted && said.contains(wanted), "{wanted} is not said: {said}");
    }
}

#[test]
fn the_outside_check_refuses_a_folder_with_nothing_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let (accepted, said) = outside(folder.path());
    assert!(!accepted && said.contains("no report"), "{said}");
    let report = json!({ "units": "mm", "parts": [], "sheets": [] });
    fs::write(folder.path().join("report.json"), report.to_string()).unwrap();
    let (accepted, said) = outside(folder.path());
    assert!(!accepted && said.contains("holds no DXF file"), "{said}");
}
