//! Drawings that packages ship as samples: each is read right, or refused by what is wrong with it.

use crate::python;
use platewright::geom::Region;
use platewright::outline_in;
use platewright::outline_in::Looked;
use platewright::outline_in::Wish;
use platewright::quantity::Units;
use serde_json::Value;
use serde_json::json;
use sha2::Digest;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// Areas agree within this share, beyond what arcs leave the curves by: the others flatten.
const SHARE: f64 = 1e-4;

/// Larger SVG files are pictures of thousands of curves, bytes; and so many of them there are.
const PICTURE: u64 = 60_000;
const PICTURES: usize = 7;

fn samples() -> PathBuf {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/samples");
    assert!(
        samples.join("samples.txt").exists(),
        "the sample drawings are missing: run tests/outside/setup.sh once"
    );
    samples
}

/// All DXF and SVG files below a folder, by their names from the folder on.
fn drawings(root: &Path, folder: &Path) -> Vec<String> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        if path.is_dir() {
            all.extend(drawings(root, &path));
        } else if matches!(ending.as_deref(), Some("dxf" | "svg")) {
            all.push(path.strip_prefix(root).unwrap().to_str().unwrap().to_owned());
        }
    }
    all.sort();
    all
}

/// The plate of a file with what was seen of it, or the first of what is wrong.
fn read(bytes: &[u8]) -> Result<(Looked, Region), String> {
    let look = |per_inch| {
        let wish = Wish { per_inch, ..Wish::default() };
        let looked = outline_in::look(bytes, &wish).map_err(|error| error.to_string())?;
        match &looked.found {
            Err(error) => Err(error.to_string()),
            Ok(_) => Ok(looked),
        }
    };
    // An SVG file in pixels wants their number to the inch; to others it may not be given.
    let looked = look(None).or_else(|words| match words.contains("pixel") {
        true => look(Some(96.0)),
        false => Err(words),
    })?;
    match looked.plate.clone() {
        Some(Ok(region)) => Ok((looked, region)),
        Some(Err(faults)) => Err(faults.first().map(ToString::to_string).unwrap_or_default()),
        None => Err("no plate".to_owned()),
    }
}

/// Words with `#` for each number: places move a little with the arcs that follow curves.
fn without_numbers(words: &str) -> String {
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-');
    let mut all = String::new();
    for letter in words.chars() {
        match is_number(letter) {
            true if all.ends_with('#') => {}
            true => all.push('#'),
            false => all.push(letter),
        }
    }
    all
}

/// A file by its package, the hash of its bytes and its ending: its own name says nothing of what is in it.
fn listed_as(name: &str, bytes: &[u8]) -> String {
    let package = name.split('/').next().unwrap_or_default();
    let hash = sha2::Sha256::digest(bytes);
    let hash: String = hash.iter().take(6).map(|byte| format!("{byte:02x}")).collect();
    format!("{package}/{hash}.{}", name.rsplit('.').next().unwrap_or_default().to_lowercase())
}

/// What is said of each file.
fn table() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/samples.csv")
}

/// `read`, or words of the refusal, for each file.
fn expected() -> BTreeMap<String, String> {
    let mut reader = csv::Reader::from_path(table()).unwrap();
    let rows = reader.records().map(|record| record.unwrap());
    rows.map(|row| (row[0].to_owned(), row[1].to_owned())).collect()
}

#[test]
fn sample_drawings_are_read_right_or_refused_by_name() {
    let samples = samples();
    let (mut plates, mut seen) = (BTreeMap::new(), BTreeMap::new());
    let mut pictures = 0;
    for name in drawings(&samples, &samples) {
        if name.ends_with("svg") && samples.join(&name).metadata().unwrap().len() > PICTURE {
            pictures += 1;
            continue;
        }
        let bytes = fs::read(samples.join(&name)).unwrap();
        let said = match read(&bytes) {
            Ok(plate) => {
                plates.insert(name.clone(), plate);
                "read".to_owned()
            }
            Err(words) => without_numbers(&words),
        };
        seen.insert(listed_as(&name, &bytes), said);
    }
    assert_eq!(pictures, PICTURES);
    let folder = tempfile::tempdir().unwrap();
    if std::env::var_os("PLATEWRIGHT_BLESS").is_some() {
        bless(&seen);
        return;
    }
    assert_eq!(seen, expected());
    let files = folder.path().join("FILES.json");
    fs::write(&files, json!(plates.keys().collect::<Vec<_>>()).to_string()).unwrap();
    let paths = [samples.to_str().unwrap(), files.to_str().unwrap()];
    let (measured, said) = python::run("check_samples.py", &paths);
    assert!(measured, "{said}");
    let wanted: Value = serde_json::from_slice(&fs::read(&files).unwrap()).unwrap();
    let compared = |(name, plate): (&String, &(Looked, Region))| {
        compare(name, plate, &wanted[name]).err().map(|fault| format!("{name}: {fault}"))
    };
    let faults: Vec<String> = plates.iter().filter_map(compared).collect();
    assert!(faults.is_empty(), "{faults:#?}");
    println!("{} read right, {} refused", plates.len(), seen.len() - plates.len());
}

/// Compares a plate with what another reader measured.
fn compare(name: &str, (looked, region): &(Looked, Region), wanted: &Value) -> Result<(), String> {
    let number = |key: &str| wanted[key].as_f64().ok_or_else(|| format!("{key}: {wanted}"));
    let bounds = region.bounds();
    let side = |i: usize| wanted["bounds"][i].as_f64().ok_or_else(|| wanted.to_string());
    let sides = [side(0)?, side(1)?, side(2)?, side(3)?];
    // An SVG is measured up to a scale and a shift.
    let is_dxf = name.to_lowercase().ends_with(".dxf");
    let mm = match (is_dxf, wanted["mm"].as_f64(), looked.guessed) {
        (true, Some(mm), None) => mm,
        (true, None, Some(Units::Inch)) => 25.4,
        (true, None, Some(Units::Millimetre)) => 1.0,
        (true, header, guessed) => return Err(format!("units: {header:?}, {guessed:?}")),
        (false, ..) => bounds.width() / (sides[2] - sides[0]),
    };
    let off = looked.found.as_ref().map(|found| found.off).unwrap_or_default();
    let near = off + number("moved")? * mm + 1e-6 * bounds.width().max(bounds.height());
    // A scale by the width makes the height as much less sure as it is larger.
    let near = if is_dxf { near } else { near * (1.0 + bounds.height() / bounds.width()) };
    let area = number("area")? * mm * mm;
    if (region.area() - area).abs() > near * number("length")? * mm + SHARE * area {
        return Err(format!("area {}, not {area}", region.area()));
    }
    if Some(region.holes().len() as u64) != wanted["holes"].as_u64() {
        return Err(format!("{} holes, not {}", region.holes().len(), wanted["holes"]));
    }
    let ours = match is_dxf {
        true => [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y],
        false => [0.0, 0.0, bounds.width(), bounds.height()],
    };
    let theirs = match is_dxf {
        true => sides.map(|side| side * mm),
        false => [0.0, 0.0, (sides[2] - sides[0]) * mm, (sides[3] - sides[1]) * mm],
    };
    let most = ours.iter().zip(theirs).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    if most > 2.0 * near {
        return Err(format!("{ours:?}, not {theirs:?}"));
    }
    Ok(())
}

/// Writes what is said of each file.
fn bless(seen: &BTreeMap<String, String>) {
    let mut writer = csv::Writer::from_path(table()).unwrap();
    writer.write_record(["file", "said"]).unwrap();
    for (name, said) in seen {
        writer.write_record([name, said]).unwrap();
    }
    writer.flush().unwrap();
}
