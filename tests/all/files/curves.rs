//! Curves of outline files against ezdxf's flattening of them, and files that others ship.

use crate::python;
use platewright::dxf_in;
use platewright::outline_in;
use platewright::outline_in::Wish;
use platewright::sketch;
use platewright::sketch::What;
use serde_json::json;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// Every kind of entity comes to the area, length and bounds it has, curves to arcs within their
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
        for item in dxf_in::whole(&fs::read(file).unwrap()).unwrap().items {
            let (What::Drawn(courses) | What::Fill(courses)) = &item.what else {
                panic!("{item:?}");
            };
            let (edges, off) = sketch::edges(courses, 1.0);
            assert!(off <= sketch::CLOSE, "{item:?}: {off}");
            let edges: Vec<_> = edges
                .iter()
                .map(|e| json!([[e.from.x, e.from.y], [e.to.x, e.to.y], e.bulge]))
                .collect();
            made.insert(item.layer, json!({ "edges": edges, "off": off }));
        }
    }
    fs::write(folder.path().join("EDGES.json"), json!(made).to_string()).unwrap();
    let (alike, said) = python::run("check_curves.py", &[path, "check"]);
    assert!(alike, "{said}");
    println!("{said}");
}

/// Every SVG and DXF file that a package of the tests' own environment ships is read, or refused
/// in words.
#[test]
fn files_that_packages_ship_are_read_or_refused_by_name() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/lib");
    let files = [with_ending(&root, "svg"), with_ending(&root, "dxf")].concat();
    assert!(files.len() >= 3, "{files:?}");
    for file in files {
        let bytes = fs::read(&file).unwrap();
        match outline_in::look(&bytes, &Wish::default()) {
            Ok(looked) => assert!(!looked.layers.is_empty(), "{file:?}"),
            Err(error) => assert!(error.to_string().len() > 10, "{file:?}: {error}"),
        }
    }
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
