//! Outline files of every kind of entity and version, drawn and measured by ezdxf.

use crate::python;
use platewright::dxf_in;
use platewright::dxf_in::DxfError;
use platewright::geom::JOIN;
use platewright::geom::plate;
use platewright::quantity::Units;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// Areas agree within this share: ezdxf flattens to a millionth of the drawing's reach.
const SHARE: f64 = 2e-5;

#[test]
fn areas_and_openings_of_outline_files_are_those_that_ezdxf_measures() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let (drawn, said) = python::run("draw_outlines.py", &[path, "7", "150"]);
    assert!(drawn, "{said}");
    let wanted = fs::read_to_string(folder.path().join("WANTED.json")).unwrap();
    let wanted: Value = serde_json::from_str(&wanted).unwrap();
    let (mut alike, mut refused, mut faults) = (0, 0, Vec::new());
    for (name, wanted) in wanted.as_object().unwrap() {
        match judge(folder.path(), name, wanted) {
            Err(fault) => faults.push(format!("{name}: {fault}")),
            Ok(()) if wanted["refused"].is_string() => refused += 1,
            Ok(()) => alike += 1,
        }
    }
    assert!(faults.is_empty(), "{} of {}: {faults:#?}", faults.len(), alike + faults.len());
    assert_eq!((alike, refused), (150, 14));
}

fn judge(folder: &Path, name: &str, wanted: &Value) -> Result<(), String> {
    let bytes = fs::read(folder.join(format!("{name}.dxf"))).unwrap();
    let units = wanted["units"].as_str().map(|_| Units::Millimetre);
    let read = dxf_in::read(&bytes, units, None);
    if let Some(said) = wanted["refused"].as_str() {
        return match read {
            Err(error) if error.to_string().contains(said) => Ok(()),
            other => Err(format!("{other:?} does not say {said}")),
        };
    }
    let drawn = read.map_err(|error: DxfError| error.to_string())?;
    let region = plate(&drawn.edges, JOIN).map_err(|faults| format!("{faults:?}"))?;
    let area = wanted["area"].as_f64().unwrap();
    let holes = wanted["holes"].as_u64().unwrap() as usize;
    if region.holes().len() != holes || (region.area() / area - 1.0).abs() > SHARE {
        let is = (region.area(), region.holes().len());
        return Err(format!("{is:?}, not {:?}", (area, holes)));
    }
    Ok(())
}

/// Names of layers in the code pages that headers name are decoded as by Python's codecs.
#[test]
fn names_of_layers_are_read_by_the_code_page_of_the_header() {
    let folder = tempfile::tempdir().unwrap();
    let (written, said) = python::run("write_code_pages.py", &[folder.path().to_str().unwrap()]);
    assert!(written, "{said}");
    let wanted = fs::read_to_string(folder.path().join("WANTED.json")).unwrap();
    let wanted: Value = serde_json::from_str(&wanted).unwrap();
    let files = wanted.as_object().unwrap();
    assert_eq!(files.len(), 35);
    for (name, layers) in files {
        let whole = dxf_in::whole(&fs::read(folder.path().join(name)).unwrap()).unwrap();
        let read: Vec<&str> = whole.items.iter().map(|item| item.layer.as_str()).collect();
        let layers: Vec<&str> =
            layers.as_array().unwrap().iter().map(|layer| layer.as_str().unwrap()).collect();
        assert_eq!(read, layers, "{name}");
        assert_eq!(whole.unknown_page, None, "{name}");
    }
    // Johab is not among the supported code pages, which is reported.
    let text = fs::read(folder.path().join("ANSI_949.dxf")).unwrap();
    let at = text.windows(8).position(|part| part == b"ANSI_949").unwrap();
    let johab = [&text[..at], b"johab", &text[at + 8..]].concat();
    assert_eq!(dxf_in::whole(&johab).unwrap().unknown_page.as_deref(), Some("johab"));
}
