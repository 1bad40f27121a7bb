//! Curves of outline files against ezdxf's flattening of them, and files that others ship.

use crate::python;
use platewright::dxf_in;
use platewright::geom::Edge;
use platewright::outline_in;
use platewright::outline_in::Wish;
use platewright::sketch;
use platewright::sketch::Item;
use platewright::sketch::What;
use platewright::svg_in;
use serde_json::json;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// How many sample files the packages of the tests' environment ship that are read, and that are
/// refused.
const SHIPPED: (usize, usize) = (6, 1);

/// Every kind of entity has the right area, length and bounds, and curves become arcs within their
/// tolerance of the kind and number that they need. `PLATEWRIGHT_CURVES=1000` draws more.
#[test]
#[allow(clippy::disallowed_methods, reason = "more of the check is asked for outside the program")]
fn curves_become_few_tangent_arcs_within_their_tolerance() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let count = std::env::var("PLATEWRIGHT_CURVES").unwrap_or_else(|_| "48".to_owned());
    let (drawn, said) = python::run("check_curves.py", &[path, "draw", "11", &count]);
    assert!(drawn, "{said}");
    let mut made = serde_json::Map::new();
    for file in with_ending(folder.path(), "dxf") {
        let whole = dxf_in::whole(&fs::read(file).unwrap()).unwrap();
        made.extend(whole.items.iter().map(|item| made_of(item, 1.0)));
    }
    fs::write(folder.path().join("EDGES.json"), json!(made).to_string()).unwrap();
    let (alike, said) = python::run("check_curves.py", &[path, "check"]);
    assert!(alike, "{said}");
    println!("{said}");
}

/// Shapes and paths of SVG within transforms have the length, area and bounds of their definitions.
#[test]
fn shapes_of_svg_become_arcs_within_their_tolerance() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let (drawn, said) = python::run("check_svg.py", &[path, "draw", "5", "40"]);
    assert!(drawn, "{said}");
    let whole = svg_in::whole(&fs::read(folder.path().join("shapes.svg")).unwrap()).unwrap();
    let mm = whole.scale.unwrap().0;
    let made: serde_json::Map<_, _> = whole.items.iter().map(|item| made_of(item, mm)).collect();
    assert_eq!(made.len(), 40);
    fs::write(folder.path().join("EDGES.json"), json!(made).to_string()).unwrap();
    let (alike, said) = python::run("check_svg.py", &[path, "check"]);
    assert!(alike, "{said}");
    println!("{said}");
}

/// The layer of an item, and the edges that it becomes, with how far they are off.
fn made_of(item: &Item, mm: f64) -> (String, serde_json::Value) {
    let (What::Drawn(courses) | What::Fill(courses)) = &item.what else { panic!("{item:?}") };
    let (edges, off) = sketch::edges(courses, mm);
    assert!(off <= sketch::CLOSE, "{item:?}: {off}");
    let one = |e: &Edge| json!([[e.from.x, e.from.y], [e.to.x, e.to.y], e.bulge]);
    let edges: Vec<_> = edges.iter().map(one).collect();
    (item.layer.clone(), json!({ "edges": edges, "off": off }))
}

/// Every SVG and DXF file that a package of the tests' own environment ships is read, or refused
/// with a message: fixed counts of each.
#[test]
fn files_that_packages_ship_are_read_or_refused_by_name() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/lib");
    let files = [with_ending(&root, "svg"), with_ending(&root, "dxf")].concat();
    let (mut read, mut refused) = (0, 0);
    for file in files {
        let bytes = fs::read(&file).unwrap();
        let look = |per_inch| outline_in::look(&bytes, &Wish { per_inch, ..Wish::default() });
        let mut looked = look(None);
        // Those in pixels want their number to the inch.
        if looked.as_ref().is_ok_and(|looked| looked.found.is_err()) || looked.is_err() {
            looked = look(Some(96.0)).or(looked);
        }
        match looked.map(|looked| (looked.layers.len(), looked.found)) {
            Ok((layers, Ok(found))) => {
                assert!(layers > 0 && !found.cut.is_empty(), "{file:?}");
                read += 1;
            }
            Ok((_, Err(error))) | Err(error) => {
                assert!(error.to_string().len() > 10, "{file:?}: {error}");
                refused += 1;
            }
        }
    }
    assert_eq!((read, refused), SHIPPED);
}

/// All files below a folder whose names end so.
fn with_ending(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(with_ending(&path, ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            all.push(path);
        }
    }
    all.sort();
    all
}
