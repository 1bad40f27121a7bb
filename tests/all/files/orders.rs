//! Order packages and lists in the hands of others, and files that came back.

use crate::demo;
use crate::python;
use crate::runs::run;
use std::fs;
use std::io::Cursor;
use std::path::Path;
use tempfile::TempDir;

const SHOP: &str = r#"
[rates]
currency = "EUR"
labour_hour = 60
[[rates.cutting]]
process = "laser"
material = "S235"
thickness = "1/8 in"
cut_per_minute = "40 in"
pierce_seconds = 1
machine_hour = 60
[[rates.cutting]]
process = "laser"
material = "S235"
thickness = "11 ga"
cut_per_minute = "45 in"
pierce_seconds = 1
machine_hour = 60
[[rates.metal]]
material     = "S235"
per_kilogram = 2
"#;

const INCH: &str = r#"
units = "in"
process = "laser"
shop = "shop.toml"
sheet = [
  { name = "plate", material = "S235", thickness = "1/8 in", stock = [ { size = ["24 in", "24 in"] } ] },
  { name = "gauge", material = "S235", thickness = "11 ga", stock = [ { size = ["24 in", "24 in"] } ] },
]
part = [
  { recipe = "tab", name = "ear", quantity = 3, fill = 4, sheet = "plate" },
  { recipe = "strap", name = "band", sheet = "plate" },
  { recipe = "angle", name = "bracket", quantity = 2, sheet = "gauge", given = { bolt = "3/8", base = "2 in", leg = "2 in", gauge = "1-1/4 in" } },
]
"#;

#[test]
fn other_programs_read_every_kind_of_order() {
    let passed = python::accepted("check_orders.py", &demo::made().folder);
    assert!(passed >= 400, "only {passed} facts were checked");
    for (options, min) in [
        (&["--r12", "--repeat-first", "--bends", "ticks"][..], 400),
        (&["--holes-only", "--bends", "none"], 300),
    ] {
        let folder = TempDir::new().unwrap();
        let make = ["make", demo::JOB, "--effort", "0", "--out", "out"];
        let (code, said) = run(folder.path(), &[&make[..], options].concat());
        assert_eq!(code, Some(0), "{said}");
        let passed = python::accepted("check_orders.py", &folder.path().join("out"));
        assert!(passed >= min, "{options:?}: only {passed} facts were checked");
    }
    // Plates and a bent part in inches, by fraction and by gauge, which a rate may name as well.
    let folder = inches();
    for options in [&[][..], &["--r12"], &["--repeat-first", "--bends", "none"]] {
        let (code, said) =
            run(folder.path(), &[&["make", "job.toml", "--out", "out"], options].concat());
        assert_eq!(code, Some(0), "{said}");
        let passed = python::accepted("check_orders.py", &folder.path().join("out"));
        assert!(passed >= 60, "{options:?}: only {passed} facts were checked");
    }
    let parts = fs::read_to_string(folder.path().join("out/parts.csv")).unwrap();
    let sum = parts.lines().last().unwrap();
    assert!(sum.starts_with("total,") && sum.ends_with(",EUR"), "{sum}");
    let priced = sum.split(',').rev().nth(1).unwrap().parse::<f64>();
    assert!(priced.is_ok_and(|price| price > 1.0), "a rate by gauge is not found: {parts}");
}

/// Fillings of our own sheets are not ordered, and the read-me says so.
#[test]
fn an_order_says_that_it_holds_no_spares_and_nothing_that_fills_sheets() {
    let folder = inches();
    let (code, said) = run(folder.path(), &["make", "job.toml", "--out", "out"]);
    assert_eq!(code, Some(0), "{said}");
    let back = unpacked(folder.path());
    let text = |name: &str| fs::read_to_string(back.join(name).join("read-me.txt")).unwrap();
    let fills = "Our own sheet files may contain more of ear, placed in free area";
    assert!(text("S235-1-8in").contains(fills), "{}", text("S235-1-8in"));
    assert!(text("S235-0.1196in").contains("no spares"));
    assert!(!text("S235-0.1196in").contains("free area"), "{}", text("S235-0.1196in"));
    assert!(back.join("S235-1-8in/ear_3x_S235_1-8in.dxf").exists());
    let report = fs::read_to_string(folder.path().join("out/report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let placed = report["sheets"][0]["placed"].as_array().unwrap();
    let ears = placed.iter().filter(|piece| piece["part"] == "ear").count();
    assert_eq!(ears, 7, "three are ordered, four fill the sheet");
}

fn inches() -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("shop.toml"), SHOP).unwrap();
    fs::write(folder.path().join("job.toml"), INCH).unwrap();
    folder
}

#[test]
fn the_report_fits_its_schema_and_one_with_a_fault_does_not() {
    let folder = TempDir::new().unwrap();
    let out = folder.path();
    fs::copy(demo::made().folder.join("report.json"), out.join("report.json")).unwrap();
    let (code, schema) = run(folder.path(), &["schema", "report"]);
    assert_eq!(code, Some(0));
    fs::write(out.join("schema.json"), schema).unwrap();
    assert!(python::accepted("check_report.py", out) >= 25);
    refused_with_faults(
        out,
        &[
            ("/parts/0/area_mm2", "12".into(), "parts/0/area_mm2"),
            ("/parts/0/thickness_mm", 0.into(), "parts/0/thickness_mm"),
            ("/sheets/0/placed/0", serde_json::json!({}), "is a required property"),
            ("/units", "cm".into(), "units"),
            ("/format", "platewright report 0".into(), "format"),
        ],
    );
}

#[test]
fn the_report_of_bevels_and_recesses_fits_its_schema() {
    let folder = TempDir::new().unwrap();
    let out = folder.path();
    fs::write(out.join("job.toml"), PREPARED).unwrap();
    fs::write(out.join("foot.toml"), BEVELLED).unwrap();
    let cover = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/worked/bearing-cover.toml");
    fs::copy(cover, out.join("cover.toml")).unwrap();
    let (code, said) = run(out, &["make", "job.toml", "--effort", "0", "--out", "made"]);
    assert_eq!(code, Some(0), "{said}");
    fs::copy(out.join("made/report.json"), out.join("report.json")).unwrap();
    fs::write(out.join("schema.json"), run(out, &["schema", "report"]).1).unwrap();
    assert_eq!(python::accepted("check_report.py", out), 2);
    refused_with_faults(
        out,
        &[
            ("/parts/0/bevels/0/sides", "left".into(), "parts/0/bevels/0/sides"),
            ("/parts/0/bevels/0/angle_deg", 90.into(), "parts/0/bevels/0/angle_deg"),
            ("/parts/1/holes_to_finish/0/made", "punch".into(), "holes_to_finish/0/made"),
            ("/parts/1/holes_to_finish/0/recess/kind", "".into(), "recess/kind"),
            ("/parts/1/holes_to_finish/0/recess/depth_mm", 0.into(), "recess/depth_mm"),
        ],
    );
}

/// A bevelled part and one with recesses.
const PREPARED: &str = r#"
units = "mm"
process = "waterjet"
sheet = [ { name = "plate", material = "S235", thickness = "10 mm", stock = [ { size = ["1000 mm", "500 mm"] } ] } ]
part = [
  { name = "foot", recipe = "foot", quantity = 1, sheet = "plate" },
  { name = "cover", recipe = "cover", quantity = 1, sheet = "plate" },
]
"#;

const BEVELLED: &str = r#"
about = "Foot plate welded on its bevelled edge"

[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["0", "0"], edge = "foot" }, ["80 mm", "0"], ["80 mm", "60 mm"], ["0", "60 mm"] ] } ]
bevel = [ { edge = "foot", angle = "45 deg", land = "2 mm" } ]
"#;

/// Faults planted one at a time into a report that fits its schema: each is refused, and said
/// where it is.
fn refused_with_faults(out: &Path, faults: &[(&str, serde_json::Value, &str)]) {
    let good = fs::read_to_string(out.join("report.json")).unwrap();
    let good: serde_json::Value = serde_json::from_str(&good).unwrap();
    for (pointer, bad, wanted) in faults {
        let mut report = good.clone();
        *report.pointer_mut(pointer).unwrap() = bad.clone();
        fs::write(out.join("report.json"), report.to_string()).unwrap();
        let (accepted, said) = python::outside("check_report.py", out);
        assert!(!accepted && said.contains(wanted), "{wanted} is not said: {said}");
    }
}

/// The order, unpacked as it would come back.
fn unpacked(folder: &Path) -> std::path::PathBuf {
    let back = folder.join("back");
    for entry in fs::read_dir(folder.join("out/order")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "zip") {
            let bytes = fs::read(path).unwrap();
            zip::ZipArchive::new(Cursor::new(bytes)).unwrap().extract(&back).unwrap();
        }
    }
    back
}

const JOB: &str = r#"
process = "laser"
sheet = [ { name = "S235 4 mm", material = "S235", thickness = "4 mm", stock = [ { size = ["500 mm", "400 mm"] } ] } ]
part = [
  { recipe = "tab", name = "ear", quantity = 2, sheet = "S235 4 mm" },
  { recipe = "strap", name = "band", sheet = "S235 4 mm" },
]
"#;

/// Changes one number after a mark in a file, once.
fn change(path: &Path, mark: &str, code: &str, by: f64) {
    let text = fs::read_to_string(path).unwrap();
    let (head, tail) = text.split_once(mark).unwrap();
    let code = format!("\r\n{code}\r\n");
    let (between, rest) = tail.split_once(&code).unwrap();
    let (number, rest) = rest.split_once("\r\n").unwrap();
    let number: f64 = number.parse::<f64>().unwrap() + by;
    fs::write(path, format!("{head}{mark}{between}{code}{number}\r\n{rest}")).unwrap();
}

#[test]
fn files_that_came_back_changed_are_told_by_part_and_hole() {
    let ear = "back/S235-4mm/ear_2x_S235_4mm.dxf";
    let circle = "\r\nCIRCLE\r\n";
    type Change = fn(&Path, &Path);
    let changes: [(&str, Change, &[&str]); 8] = [
        ("as sent", |_, _| {}, &["2 files as sent, 0 differences"]),
        (
            "moved",
            |ear, _| change(ear, "\r\nCIRCLE\r\n", "10", 0.5),
            &[
                "ear_2x_S235_4mm.dxf: hole `eye` at (",
                "moved by X 0.5 mm, Y 0 mm",
                "1 file as sent",
            ],
        ),
        (
            "wider",
            |ear, _| change(ear, "\r\nCIRCLE\r\n", "40", 0.25),
            &["is 9.5 mm instead of 9 mm"],
        ),
        (
            "renamed",
            |ear, back| fs::rename(ear, back.join("drawing1.dxf")).unwrap(),
            &["drawing1.dxf: renamed; it is part `ear`, sent as ear_2x_S235_4mm.dxf"],
        ),
        (
            "missing",
            |ear, _| fs::remove_file(ear).unwrap(),
            &["ear_2x_S235_4mm.dxf is missing: part `ear`"],
        ),
        (
            "extra",
            |ear, back| assert!(fs::copy(ear, back.join("more.dxf")).is_ok()),
            &["more.dxf is extra", "2 files as sent"],
        ),
        (
            "inches",
            |ear, _| change(ear, "\r\n$INSUNITS", "70", -3.0),
            &["ear_2x_S235_4mm.dxf: scaled by 25.4: millimetres read as inches"],
        ),
        (
            "no DXF",
            |ear, _| fs::write(ear, "lost").unwrap(),
            &["ear_2x_S235_4mm.dxf: it ", "is missing: part `ear`"],
        ),
    ];
    let folder = TempDir::new().unwrap();
    let path = folder.path();
    fs::write(path.join("job.toml"), JOB).unwrap();
    let (code, said) = run(path, &["make", "job.toml", "--out", "out"]);
    assert_eq!(code, Some(0), "{said}");
    for (name, change, wanted) in changes {
        let back = unpacked(path);
        assert!(fs::read_to_string(path.join(ear)).unwrap().contains(circle));
        change(&path.join(ear), &back);
        let (code, said) = run(path, &["check", "job.toml", "--against", "back", "--out", "out"]);
        for words in wanted {
            assert!(said.contains(words), "{name}: {words} is not said: {said}");
        }
        assert_eq!(code, Some(i32::from(name != "as sent")), "{name}: {said}");
        fs::remove_dir_all(back).unwrap();
    }
}

#[test]
fn a_job_that_changed_since_it_was_sent_is_told_from_a_file_that_changed() {
    let folder = TempDir::new().unwrap();
    let path = folder.path();
    fs::write(path.join("job.toml"), JOB).unwrap();
    assert_eq!(run(path, &["make", "job.toml", "--out", "out"]).0, Some(0));
    unpacked(path);
    let longer = JOB.replace("name = \"ear\",", "name = \"ear\", given = { reach = \"32 mm\" },");
    fs::write(path.join("job.toml"), longer).unwrap();
    let (code, said) = run(path, &["check", "job.toml", "--against", "back", "--out", "out"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(
        said.contains("exactly as sent, but the job has changed since: outline differs by 2 mm"),
        "{said}"
    );
    let (code, said) = run(path, &["check", "job.toml", "--against", "out/sheets/none"]);
    assert_eq!(code, Some(2), "{said}");
    fs::create_dir(path.join("empty")).unwrap();
    let (code, said) = run(path, &["check", "job.toml", "--against", "empty"]);
    assert!(code == Some(2) && said.contains("no DXF file in empty"), "{said}");
}
