//! Common cuts: sheets cut from their files as a machine would cut them, by shapely.
//!
//! `tests/outside/check_common.py` runs the cutter along the lines of a sheet's file and compares
//! each piece that comes loose with its flat.

use crate::python;
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const HEAD: &str = r#"
process = "waterjet"
gap = "1 mm"
margin = "10 mm"
common_cuts = true

[[sheet]]
name = "S235 4 mm"
material = "S235"
thickness = "4 mm"
stock = [ { size = ["700 mm", "500 mm"] } ]
"#;

/// Plates with sharp corners and holes, which are nested in a grid.
const GRID: &str = r#"
[[part]]
recipe = "base-plate"
name = "pad"
quantity = 24
sheet = "S235 4 mm"
given = { width = "100 mm", height = "80 mm", corner = "0 mm" }
"#;

/// Blunt triangles on a narrow strip, which are nested back to back.
const WEDGES: &str = r#"
[[part]]
recipe = "wedge"
name = "wedge"
quantity = 8
sheet = "S235 4 mm"
"#;

const WEDGE_RECIPE: &str = r#"
about = "Triangular gusset with blunt ends"

[inputs]
leg = { kind = "length", default = "90 mm", about = "both legs" }
toe = { kind = "length", default = "10 mm", about = "height of the blunt ends" }

[face.plate]
blank = [ { add = "polygon", corners = [["0", "0"], ["leg", "0"], ["leg", "toe"], ["toe", "leg"], ["0", "leg"]] } ]
"#;

/// Gussets of two tubes, in pairs, leg to leg.
const GUSSETS: &str = r#"
[[part]]
recipe = "gusset"
name = "corner"
quantity = 20
sheet = "S235 4 mm"
given = { leg_main = "70 mm", leg_branch = "70 mm" }
"#;

/// Sharp plates of two sizes, plates with round corners, straps and gussets.
const MIXED: &str = r#"
[[part]]
recipe = "base-plate"
name = "pad"
quantity = 8
sheet = "S235 4 mm"
given = { width = "100 mm", height = "80 mm", corner = "0 mm" }

[[part]]
recipe = "base-plate"
name = "foot"
quantity = 6
sheet = "S235 4 mm"
given = { width = "130 mm", height = "60 mm", corner = "0 mm" }

[[part]]
recipe = "backing-plate"
name = "backing"
quantity = 4
sheet = "S235 4 mm"
given = { width = "60 mm", height = "40 mm" }

[[part]]
recipe = "strap"
name = "strap"
quantity = 6
sheet = "S235 4 mm"

[[part]]
recipe = "gusset"
name = "corner"
quantity = 6
sheet = "S235 4 mm"
"#;

/// Round plates share nothing however near they lie.
const ROUND: &str = r#"
[[part]]
recipe = "round"
name = "round"
quantity = 12
sheet = "S235 4 mm"
"#;

const ROUND_RECIPE: &str = r#"
about = "Round plate"

[inputs]
width = { kind = "length", default = "80 mm", about = "all over" }

[face.plate]
blank = [ { add = "disc", radius = "width / 2" } ]
"#;

fn make(job: &str, units: u32) -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("job.toml"), job).unwrap();
    fs::write(folder.path().join("round.toml"), ROUND_RECIPE).unwrap();
    fs::write(folder.path().join("wedge.toml"), WEDGE_RECIPE).unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    let run = program
        .current_dir(folder.path())
        .args(["make", "job.toml", "--no-drawings", "--effort", &units.to_string(), "--out", "out"])
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    folder
}

fn report(folder: &Path) -> Value {
    serde_json::from_slice(&fs::read(folder.join("out/report.json")).unwrap()).unwrap()
}

/// Pieces placed, common cuts, and mm saved on all sheets.
fn common_cuts(report: &Value) -> (u64, u64, f64) {
    let sheets = report["sheets"].as_array().unwrap();
    let cuts = sheets.iter().filter_map(|s| s["common_cuts"]["cuts"].as_u64()).sum();
    let saved = report["totals"]["saved_by_common_cuts_mm"].as_f64().unwrap_or(0.0);
    (report["totals"]["placed"].as_u64().unwrap(), cuts, saved)
}

#[test]
fn shapely_parts_every_piece_as_its_flat_draws_it() {
    for (name, parts, units, min) in [
        ("grid", GRID, 0, 3000.0),
        ("gussets", GUSSETS, 0, 300.0),
        // Four slanting cuts among them, 113 mm each.
        ("wedges, searched", WEDGES, 20_000, 500.0),
        ("mixed", MIXED, 0, 1500.0),
    ] {
        let narrow = parts == WEDGES;
        let head = if narrow { HEAD.replace("500 mm", "112 mm") } else { HEAD.to_owned() };
        let folder = make(&format!("{head}{parts}"), units);
        let out = folder.path().join("out");
        let (pieces, cuts, saved) = common_cuts(&report(folder.path()));
        assert!(saved > min && cuts > 0, "{name}: {cuts} common cuts save {saved} mm");
        let passed = python::accepted("check_common.py", &out);
        assert!(passed as u64 > 5 * pieces, "{name}: only {passed} facts were checked");
        python::accepted("check_dxf.py", &out);
        // Where scrap is closed in by outlines alone, the end of an outline may come late.
        let said = python::outside("check_common.py", &out).1;
        assert!(parts == MIXED || said.contains(": 0 outlines are cut in loose metal"), "{said}");
    }
}

#[test]
fn where_nothing_faces_nothing_is_common_and_no_file_knows_of_it() {
    let folder = make(&format!("{HEAD}{ROUND}"), 0);
    let report = report(folder.path());
    assert_eq!(common_cuts(&report), (12, 0, 0.0));
    let out = folder.path().join("out");
    python::accepted("check_common.py", &out);
    python::accepted("check_dxf.py", &out);
    for file in fs::read_dir(out.join("sheets")).unwrap() {
        let text = fs::read_to_string(file.unwrap().path()).unwrap();
        assert!(!text.contains("CUT-COMMON") && !text.contains("cut-common"));
    }
}

/// Small pieces keep their bridges, and an outline with bridges is cut alone.
#[test]
fn pieces_with_bridges_share_nothing() {
    let bridges = "bridges = { count = 2, width = \"0.8 mm\", below = \"110 mm\" }\n";
    let with = |below: &str| {
        let job = format!("{}{HEAD}{MIXED}", bridges.replace("110 mm", below));
        let folder = make(&job, 0);
        let report = report(folder.path());
        let held = report["sheets"].as_array().unwrap().iter();
        let held: u64 = held.filter_map(|s| s["bridges"].as_u64()).sum();
        (held, common_cuts(&report).1)
    };
    let ((none, many), (some, few), (all, nothing)) = (with("1 mm"), with("110 mm"), with("1 m"));
    assert_eq!((none, all, nothing), (0, 60, 0));
    assert!(0 < some && some < all && few < many, "{some} bridges, {few} of {many} common cuts");
}

/// Cuts saved are money saved, in the list of parts as in the report.
#[test]
fn the_list_of_parts_takes_off_what_is_saved() {
    let shop = "[rates]\ncurrency = \"EUR\"\nlabour_hour = 40\n\
        cutting = [ { process = \"waterjet\", material = \"S235\", thickness = \"4 mm\", cut_per_minute = \"250 mm\", pierce_seconds = 6, machine_hour = 90 } ]\n\
        metal = [ { material = \"S235\", per_kilogram = 2 } ]\n";
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("shop.toml"), shop).unwrap();
    let list = |head: &str| {
        fs::write(folder.path().join("job.toml"), format!("shop = \"shop.toml\"\n{head}{GRID}"))
            .unwrap();
        let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
        program.current_dir(folder.path());
        let run =
            program.args(["make", "job.toml", "--no-drawings", "--effort", "0", "--out", "out"]);
        let run = run.output().unwrap();
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        let text = fs::read_to_string(folder.path().join("out/parts.csv")).unwrap();
        let rows = text.lines().map(|l| l.split(',').map(str::to_owned).collect::<Vec<_>>());
        let rows: Vec<Vec<String>> = rows.collect();
        let at = |row: &str, column: &str| -> f64 {
            let column = rows[0].iter().position(|c| c == column).unwrap();
            let row = rows.iter().find(|r| r[0] == row);
            row.map_or(0.0, |row| row[column].parse().unwrap())
        };
        let saved = ["cut_length_mm_each", "pierces_each", "cutting_minutes_each", "price_all"]
            .map(|column| at("saved by common cuts", column));
        (saved, at("total", "cut_length_mm_each"), at("total", "price_all"))
    };
    let (nothing, length, price) = list(&HEAD.replace("common_cuts = true", ""));
    assert_eq!(nothing, [0.0; 4]);
    let (saved, less, cheaper) = list(HEAD);
    let totals = &report(folder.path())["totals"];
    assert!((totals["cut_length_mm"].as_f64().unwrap() - less).abs() < 0.01);
    assert!((length - less + saved[0]).abs() < 0.01 && saved[0] < -3000.0, "{saved:?}");
    assert!((price - cheaper + saved[3]).abs() < 0.02, "{price} {cheaper} {saved:?}");
    let minutes = saved[0] / 250.0 + saved[1] * 0.1;
    assert!((saved[2] - minutes).abs() < 0.002 && (saved[3] - minutes * 1.5).abs() < 0.02);
}

/// Changes a file by its first words.
fn change(path: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(path).unwrap();
    assert!(text.contains(from), "{from:?} is not there");
    fs::write(path, text.replacen(from, to, 1)).unwrap();
}

/// Moves the first common cut along x and y, whatever its direction, and its end along y.
fn move_line(path: &Path, by_both: f64, end_y: f64) {
    let text = fs::read_to_string(path).unwrap();
    let (head, tail) = text.split_once("CUT-COMMON\r\n100\r\nAcDbLine\r\n").unwrap();
    let mut lines: Vec<String> = tail.split("\r\n").map(str::to_owned).collect();
    for i in (0..12).step_by(2) {
        let by = match lines[i].as_str() {
            "10" | "11" | "20" => by_both,
            "21" => by_both + end_y,
            _ => continue,
        };
        let is: f64 = lines[i + 1].parse().unwrap();
        lines[i + 1] = format!("{}", is + by);
    }
    let tail = lines.join("\r\n");
    fs::write(path, format!("{head}CUT-COMMON\r\n100\r\nAcDbLine\r\n{tail}")).unwrap();
}

/// Puts the first common cut after all other cuts.
fn cut_last(path: &Path) {
    let text = fs::read_to_string(path).unwrap();
    let at = text.find("CUT-COMMON\r\n100\r\nAcDbLine").unwrap();
    let start = text[..at].rfind("\r\n0\r\nLINE\r\n").unwrap();
    // The next entity is a cut as well.
    let next = ["LINE", "LWPOLYLINE"].map(|kind| text[at..].find(&format!("\r\n0\r\n{kind}\r\n")));
    let end = at + next.into_iter().flatten().min().unwrap();
    let rest = format!("{}{}", &text[..start], &text[end..]);
    let to = start + rest[start..].find("\r\n0\r\nENDSEC").unwrap();
    fs::write(path, format!("{}{}{}", &rest[..to], &text[start..end], &rest[to..])).unwrap();
}

/// A check that never fails proves nothing: each of these must be found.
#[test]
fn the_check_of_common_cuts_refuses_each_planted_fault() {
    // A few pieces are enough for each fault.
    let few = GRID.replace("quantity = 24", "quantity = 6");
    let folder = make(&format!("{HEAD}{few}"), 0);
    let out = folder.path().join("out");
    let sheet = out.join("sheets/S235-4-mm-01.dxf");
    let whole = [fs::read(&sheet).unwrap(), fs::read(out.join("report.json")).unwrap()];
    let report_says = |key: &str, value: Value| {
        let mut changed = report(folder.path());
        changed["sheets"][0][key] = value;
        fs::write(out.join("report.json"), changed.to_string()).unwrap();
    };
    let faults: [(&dyn Fn(), &str); 7] = [
        (&|| move_line(&sheet, 0.02, 0.0), "from a piece"),
        (&|| move_line(&sheet, 0.0, 20.0), "common cuts are"),
        (&|| change(&sheet, "8\r\nCUT-COMMON", "8\r\nNOTE"), "two pieces hang together"),
        (&|| change(&sheet, "8\r\nCUT-COMMON", "8\r\nCUT"), "holds ['LINE on CUT']"),
        (&|| cut_last(&sheet), "goes into loose metal"),
        (&|| report_says("cut_length_mm", Value::from(7000.0)), "all cuts are"),
        (&|| report_says("pierces", Value::from(1)), "the report says 1 pierces"),
    ];
    python::accepted("check_common.py", &out);
    for (plant, wanted) in faults {
        plant();
        let (accepted, said) = python::outside("check_common.py", &out);
        assert!(!accepted && said.contains(wanted), "{wanted} is not said: {said}");
        fs::write(&sheet, &whole[0]).unwrap();
        fs::write(out.join("report.json"), &whole[1]).unwrap();
    }
}
