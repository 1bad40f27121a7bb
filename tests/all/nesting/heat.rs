//! The heat is spread over a sheet: distances from piece to piece in the cutting sequence, measured
//! from what the report says of each.

use crate::python;
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

fn job(spacing: Option<f64>, plates: u32, tabs: u32) -> String {
    let spacing = spacing.map_or_else(String::new, |mm| format!("heat_spacing = \"{mm} mm\"\n"));
    format!(
        r#"
process = "plasma"
{spacing}
[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ {{ size = ["900 mm", "500 mm"] }} ]

[[part]]
recipe   = "base-plate"
name     = "foot"
quantity = {plates}
sheet    = "S235 4 mm"
given    = {{ width = "120 mm", height = "90 mm" }}

[[part]]
recipe   = "tab"
name     = "ear"
quantity = {tabs}
sheet    = "S235 4 mm"
"#
    )
}

fn made(folder: &Path, text: &str) -> Value {
    fs::write(folder.join("job.toml"), text).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .current_dir(folder)
        .args(["make", "job.toml", "--no-drawings", "--effort", "0", "--out", "out"])
        .output()
        .unwrap();
    let said = String::from_utf8(run.stdout).unwrap() + &String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(0), "{said}");
    serde_json::from_slice(&fs::read(folder.join("out/report.json")).unwrap()).unwrap()
}

/// The rectangle round a piece: its minimum and maximum.
type Rectangle = [[f64; 2]; 2];

/// The rectangles round the pieces of a sheet, in the order in which they come free.
fn rectangles(report: &Value, sheet: &Value) -> Vec<Rectangle> {
    let parts = report["parts"].as_array().unwrap();
    let rectangle = |piece: &Value| {
        let part = parts.iter().find(|part| part["name"] == piece["part"]).unwrap();
        let number = |value: &Value| value.as_f64().unwrap();
        let size = [0, 1].map(|i| number(&part["size_mm"][i]));
        let (sin, cos) = match number(&piece["orientation_deg"]) as u32 {
            0 => (0.0, 1.0),
            90 => (1.0, 0.0),
            180 => (0.0, -1.0),
            270 => (-1.0, 0.0),
            other => panic!("{other} is no quarter turn"),
        };
        let corner = [cos * size[0] - sin * size[1], sin * size[0] + cos * size[1]];
        let at = [number(&piece["x_mm"]), number(&piece["y_mm"])];
        [f64::min, f64::max].map(|of| [0, 1].map(|i| at[i] + of(0.0, corner[i])))
    };
    sheet["placed"].as_array().unwrap().iter().map(rectangle).collect()
}

fn distance(a: &Rectangle, b: &Rectangle) -> f64 {
    let gap = |i: usize| (b[0][i] - a[1][i]).max(a[0][i] - b[1][i]).max(0.0);
    (gap(0) * gap(0) + gap(1) * gap(1)).sqrt()
}

fn area([min, max]: &Rectangle) -> f64 {
    (max[0] - min[0]) * (max[1] - min[1])
}

/// Pieces that follow a nearer one on all sheets, and those that the report counts.
fn too_near(report: &Value, spacing: f64) -> (usize, usize) {
    let (mut counted, mut said) = (0, 0);
    for sheet in report["sheets"].as_array().unwrap() {
        let all = rectangles(report, sheet);
        let is_near = |two: &&[Rectangle]| distance(&two[0], &two[1]) < spacing - 1e-4;
        counted += all.windows(2).filter(is_near).count();
        said += sheet["below_heat_spacing"].as_u64().unwrap_or(0) as usize;
        // A small piece still comes before a large neighbour, whose heat would warp it.
        for (i, first) in all.iter().enumerate() {
            for later in &all[i + 1..] {
                let warped =
                    distance(first, later) < 15.0 - 1e-4 && area(later) < 0.2 * area(first);
                assert!(!warped, "a small piece is cut after its large neighbour");
            }
        }
    }
    (counted, said)
}

#[test]
fn neighbours_do_not_follow_one_another() {
    // The spacing, how many of each part, and how many pieces at most follow a nearer one: 100 mm
    // is more than some places in the middle of the sheet allow.
    for (spacing, plates, tabs, most) in
        [(40.0, 20, 0, 0), (60.0, 24, 12, 0), (100.0, 18, 10, 6), (25.0, 30, 40, 0)]
    {
        let folder = TempDir::new().unwrap();
        let plain = made(folder.path(), &job(None, plates, tabs));
        let (before, said) = too_near(&plain, spacing);
        assert!(said == 0 && before > plates as usize / 2, "{before} of {plates}");
        let spread = made(folder.path(), &job(Some(spacing), plates, tabs));
        let (after, said) = too_near(&spread, spacing);
        assert_eq!(after, said);
        println!("{spacing} mm: {before} pieces too near, then {after}");
        assert!(after <= most, "{before} pieces were too near, {after} still are");
        // The same pieces at the same places, in another order.
        let rows = |report: &Value| {
            let sheets = report["sheets"].as_array().unwrap().iter();
            let pieces = sheets.flat_map(|sheet| sheet["placed"].as_array().unwrap());
            let mut rows: Vec<String> = pieces.map(Value::to_string).collect();
            rows.sort_unstable();
            rows
        };
        assert_eq!(rows(&plain), rows(&spread));
        let facts = python::accepted("check_dxf.py", &folder.path().join("out"));
        assert!(facts > 50, "only {facts} facts were checked");
    }
}

/// On a sheet no longer than the spacing every piece is near every other: that is counted.
#[test]
fn pieces_without_room_for_the_spacing_are_counted() {
    let folder = TempDir::new().unwrap();
    let report = made(folder.path(), &job(Some(2000.0), 8, 3));
    assert_eq!(too_near(&report, 2000.0), (10, 10));
}
