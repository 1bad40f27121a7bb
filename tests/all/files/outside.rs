//! The demo made by the built program, in the hands of readers that share no code with it.

#![expect(clippy::disallowed_methods, reason = "the switch to draw anew is in the environment")]

use crate::demo;
use crate::python;
use crate::random::Rng;
use serde_json::Value;
use serde_json::json;
use std::fs;
use std::path::Path;
use std::process::Command;

/// Pages of the demo and where the documents show them; drawn again with `PLATEWRIGHT_BLESS=1`.
const PICTURES: [(&str, &str); 2] = [
    ("drawings/angle-fender.pdf", "parts/pictures/demo-drawing.png"),
    ("templates/box-switch.pdf", "parts/pictures/demo-template.png"),
];

fn make(job: &Path, out: &Path, effort: &str) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    let program = program.arg("make").arg(job).args(["--effort", effort, "--out"]).arg(out);
    let run = program.output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
}

#[test]
fn foreign_readers_accept_the_demo() {
    let folder = &demo::made().folder;
    let passed = python::accepted("check_dxf.py", folder);
    assert!(passed >= 400, "only {passed} facts of the files were checked");
    let passed = python::accepted("check_shapes.py", folder);
    assert!(passed >= 300, "only {passed} facts of the shapes were checked");
    let passed = python::accepted("check_solids.py", folder);
    assert!(passed >= 100, "only {passed} facts of the solids were checked");
}

/// A bar longer than the sheet lies across it: it is cut where and as the report says, its
/// arcs true.
#[test]
fn foreign_readers_accept_parts_that_lie_askew() {
    let folder = tempfile::tempdir().unwrap();
    let (job, out) = (folder.path().join("askew.toml"), folder.path().join("out"));
    fs::write(&job, ASKEW).unwrap();
    make(&job, &out, "2000");
    let report = fs::read(out.join("report.json")).unwrap();
    let report: Value = serde_json::from_slice(&report).unwrap();
    let sheets = report["sheets"].as_array().unwrap().iter();
    let turns = sheets.flat_map(|s| s["placed"].as_array().unwrap()).map(|p| &p["orientation_deg"]);
    let askew = turns.filter(|rotation| rotation.as_f64().unwrap() % 90.0 != 0.0).count();
    assert!(askew > 0, "nothing lies askew");
    let passed = python::accepted("check_dxf.py", &out);
    assert!(passed >= 100, "only {passed} facts of the files were checked");
    let passed = python::accepted("check_shapes.py", &out);
    assert!(passed >= 40, "only {passed} facts of the shapes were checked");
    let passed = python::accepted("check_sheets.py", &out);
    assert!(passed >= 60, "only {passed} facts of the pictures were checked");
}

/// Without that setting the same job is refused, and the finding says what to type.
#[test]
fn what_fits_askew_only_is_refused_with_the_word_that_helps() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("level.toml");
    fs::write(&job, ASKEW.replacen("orientations = \"any\"\n", "", 1)).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .args(["make", "--effort", "0", "--out"])
        .arg(folder.path().join("out"))
        .arg(&job)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(1), "{said}");
    for words in [
        "too-large",
        "`long` is 477 mm × 27 mm",
        "write `orientations = \"any\"` for this part: rotated by ",
    ] {
        assert!(said.contains(words), "{words} is not said: {said}");
    }
}

const ASKEW: &str = r#"process = "waterjet"
margin  = "5 mm"

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [
  { name = "corner", first = true, corners = [["0 mm", "0 mm"], ["420 mm", "0 mm"], ["0 mm", "260 mm"]] },
  { size = ["460 mm", "310 mm"] },
]

[[part]]
recipe       = "strap"
name         = "long"
quantity     = 1
orientations = "any"
sheet        = "S235 4 mm"
given        = { length = "450 mm" }

[[part]]
recipe       = "gusset"
name         = "brace"
quantity     = 6
orientations = "any"
sheet        = "S235 4 mm"
given        = { leg_main = "110 mm", leg_branch = "75 mm" }

[[part]]
recipe       = "tab"
name         = "ear"
quantity     = 8
orientations = "any"
sheet        = "S235 4 mm"
"#;

/// A check that never fails proves nothing: each of these must be found.
#[test]
fn the_check_of_shapes_refuses_each_planted_fault() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    fs::write(&job, PLAIN).unwrap();
    make(&job, folder.path(), "0");
    for check in ["check_dxf.py", "check_shapes.py", "check_solids.py"] {
        python::accepted(check, folder.path());
    }
    let path = folder.path().join("report.json");
    let good: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    let shifted = |pointer: &str, by: f64| {
        let mut report = good.clone();
        let number = report.pointer_mut(pointer).unwrap();
        *number = json!(number.as_f64().unwrap() + by);
        report
    };
    let mut lost = good.clone();
    lost.pointer_mut("/sheets/0/placed").unwrap().as_array_mut().unwrap().pop();
    let area = good["parts"][0]["area_mm2"].as_f64().unwrap();
    for (report, wanted) in [
        (shifted("/sheets/0/placed/0/x_mm", 0.01), "is not cut at"),
        (shifted("/sheets/0/placed/0/orientation_deg", 1.0), "is not cut at"),
        (lost, "of its cuts belong to no part of the report"),
        (shifted("/sheets/0/gap_mm", 1.0), "mm apart, not"),
        (shifted("/sheets/0/min_gap_mm", 0.01), "the least gap is"),
        (shifted("/sheets/0/margin_mm", 1.0), "mm from the edge, not"),
        (shifted("/parts/0/area_mm2", area * 0.0003), "area is"),
        (shifted("/parts/0/holes", 1.0), "holes, the report says"),
        (shifted("/parts/0/size_mm/1", 0.01), "measures"),
    ] {
        fs::write(&path, report.to_string()).unwrap();
        let (accepted, said) = python::outside("check_shapes.py", folder.path());
        assert!(!accepted && said.contains(wanted), "{wanted} is not said: {said}");
    }
}

#[test]
fn a_foreign_renderer_measures_the_drawings_and_templates() {
    let demo = &demo::made().folder;
    let passed = python::accepted("check_drawings.py", demo);
    assert!(passed >= 600, "only {passed} facts of the drawings were checked");
    let bless = std::env::var("PLATEWRIGHT_BLESS").is_ok_and(|v| v == "1");
    for (page, picture) in PICTURES {
        let page = demo.join(page);
        let picture = Path::new(env!("CARGO_MANIFEST_DIR")).join(picture);
        let files = [&page, &picture].map(|path| path.to_str().unwrap());
        let arguments = if bless { files.to_vec() } else { [&["--same"], &files[..]].concat() };
        let (same, said) = python::run("draw_pages.py", &arguments);
        assert!(same, "{said}");
    }
}

/// The corners, radii and holes of every flat of the demo are printed on its drawing; on one that
/// lacks a number, not.
#[test]
fn the_flats_of_the_demo_are_rebuilt_from_the_numbers_on_their_drawings() {
    let (demo, folder) = (&demo::made().folder, tempfile::tempdir().unwrap());
    let passed = python::accepted("check_dimensions.py", demo);
    assert!(passed >= 450, "only {passed} sizes of the drawings were found");
    let mut report: Value =
        serde_json::from_slice(&fs::read(demo.join("report.json")).unwrap()).unwrap();
    report["parts"].as_array_mut().unwrap().retain(|part| part["name"] == "base-seat");
    fs::write(folder.path().join("report.json"), report.to_string()).unwrap();
    for kind in ["drawings", "flats"] {
        fs::create_dir(folder.path().join(kind)).unwrap();
    }
    fs::copy(demo.join("flats/base-seat.dxf"), folder.path().join("flats/base-seat.dxf")).unwrap();
    let drawing = fs::read_to_string(demo.join("drawings/base-seat.svg")).unwrap();
    let path = folder.path().join("drawings/base-seat.svg");
    for (number, wrong, missing) in [
        ("data-text=\"18\"", "data-text=\"19\"", "no X 18.000 for a hole"),
        ("data-text=\"4× R9\"", "data-text=\"4× R8\"", "no R 9.000"),
        ("data-text=\"4|5|", "data-text=\"3|5|", "Ø5.0 is cut 4 times and called out 3 times"),
    ] {
        assert!(drawing.contains(number), "{number}");
        fs::write(&path, drawing.replace(number, wrong)).unwrap();
        let (accepted, said) = python::outside("check_dimensions.py", folder.path());
        assert!(!accepted && said.contains(missing), "{missing}: {said}");
    }
}

/// Slots along arcs, slanting ones and a circle of holes are rebuilt as well; on a drawing that
/// names another centre or another angle, not.
#[test]
fn slots_along_arcs_and_at_an_angle_are_rebuilt_from_their_drawings() {
    let folder = tempfile::tempdir().unwrap();
    let (job, out) = (folder.path().join("slots.toml"), folder.path().join("out"));
    fs::create_dir(folder.path().join("recipes")).unwrap();
    fs::write(folder.path().join("recipes/slots.toml"), SLOTS).unwrap();
    let part = "\n[[part]]\nrecipe = \"slots\"\nname = \"slots\"\nsheet = \"S235 4 mm\"\n";
    fs::write(&job, format!("{PLAIN}{part}")).unwrap();
    make(&job, &out, "0");
    let passed = python::accepted("check_dimensions.py", &out);
    assert!(passed >= 60, "only {passed} sizes of the drawings were found");
    let path = out.join("drawings/slots.svg");
    let drawing = fs::read_to_string(&path).unwrap();
    for (number, wrong, missing) in [
        ("about X 130, Y 70", "about X 142, Y 70", "not about 130.000, 70.000"),
        ("-60° to 60°", "-50° to 70°", "no -60.00° to 60.00°"),
        ("at 25°", "at 35°", "no angle 25.00° for a slot"),
    ] {
        assert!(drawing.contains(number), "{number}");
        fs::write(&path, drawing.replace(number, wrong)).unwrap();
        let (accepted, said) = python::outside("check_dimensions.py", &out);
        assert!(!accepted && said.contains(missing), "{missing}: {said}");
    }
    assert!(drawing.contains("on a circle of Ø30"), "the circle of the holes is not said");
}

#[test]
fn foreign_readers_find_each_piece_in_the_pictures_and_templates() {
    let passed = python::accepted("check_sheets.py", &demo::made().folder);
    assert!(passed >= 1500, "only {passed} facts of the pictures were checked");
}

/// In inches on Letter, with a clamp, and pieces too small for their numbers.
#[test]
fn foreign_readers_find_each_piece_of_a_job_in_inches() {
    let folder = tempfile::tempdir().unwrap();
    let (job, out) = (folder.path().join("inches.toml"), folder.path().join("out"));
    fs::write(&job, INCHES).unwrap();
    make(&job, &out, "0");
    let picture = fs::read_to_string(out.join("sheets/steel-01-picture.svg")).unwrap();
    assert!(picture.contains("dent, clamp 2"), "what is hatched is not named");
    let passed = python::accepted("check_sheets.py", &out);
    assert!(passed >= 300, "only {passed} facts of the pictures were checked");
}

/// Plates in a grid a kerf apart: their common cuts are distinguished, and how they are cut is
/// printed.
#[test]
fn foreign_readers_find_common_cuts_in_the_picture() {
    let folder = tempfile::tempdir().unwrap();
    let (job, out) = (folder.path().join("grid.toml"), folder.path().join("out"));
    fs::write(&job, COMMON).unwrap();
    make(&job, &out, "0");
    let picture = fs::read_to_string(out.join("sheets/S235-4-mm-01-picture.svg")).unwrap();
    for said in ["common cut", "CUT-COMMON: cut ON"] {
        assert!(picture.contains(said), "{said} is not said");
    }
    let passed = python::accepted("check_sheets.py", &out);
    assert!(passed >= 300, "only {passed} facts of the pictures were checked");
}

/// Plates of random sizes: many kinds on a sheet, tiny ones beside large ones, clamps, both units.
#[test]
fn foreign_readers_find_each_piece_of_random_jobs() {
    for seed in 0..4 {
        let mut rng = Rng(seed);
        let folder = tempfile::tempdir().unwrap();
        let (job, out) = (folder.path().join("random.toml"), folder.path().join("out"));
        fs::write(&job, random_job(&mut rng, seed)).unwrap();
        make(&job, &out, "0");
        let passed = python::accepted("check_sheets.py", &out);
        assert!(passed >= 100, "only {passed} facts of job {seed} were checked");
    }
}

fn random_job(rng: &mut Rng, seed: u64) -> String {
    let (units, paper) = if seed.is_multiple_of(2) { ("mm", "A4") } else { ("in", "Letter") };
    let margin = rng.between(0.0, 15.0);
    let [long, wide] = [rng.between(700.0, 3000.0), rng.between(500.0, 1500.0)];
    let clamp = if seed.is_multiple_of(3) { 60.0 } else { 0.0 };
    let mut text = format!(
        "units = \"{units}\"\nprocess = \"laser\"\npaper = \"{paper}\"\nmargin = \"{margin:.1} mm\"\n\
         [[sheet]]\nname = \"plate\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
         stock = [ {{ size = [\"{long:.1} mm\", \"{wide:.1} mm\"], clamps = {{ top = \"{clamp} mm\" }} }} ]\n"
    );
    // Enough kinds for the legend to need more than one column or page.
    let kinds = [6, 25, 48, 80][seed as usize % 4];
    for kind in 0..kinds {
        let [width, height] = [rng.between(40.0, 260.0), rng.between(40.0, 180.0)];
        let quantity = rng.between(1.0, 5.0) as usize;
        let pilot = if kind % 3 == 0 { "3 mm" } else { "0 mm" };
        text += &format!(
            "[[part]]\nrecipe = \"base-plate\"\nname = \"plate-of-kind-{kind}-for-the-frame\"\nquantity = {quantity}\n\
             sheet = \"plate\"\ngiven = {{ width = \"{width:.1} mm\", height = \"{height:.1} mm\", \
             bolt = \"M4\", pilot = \"{pilot}\" }}\n"
        );
    }
    text
}

/// The check can fail: a piece elsewhere, another remnant, another quantity.
#[test]
fn the_check_of_pictures_refuses_each_planted_fault() {
    let demo = &demo::made().folder;
    let report = fs::read(demo.join("report.json")).unwrap();
    let mut report: Value = serde_json::from_slice(&report).unwrap();
    let folder = tempfile::tempdir().unwrap();
    for kind in ["flats", "sheets", "templates"] {
        fs::create_dir(folder.path().join(kind)).unwrap();
        for file in fs::read_dir(demo.join(kind)).unwrap() {
            let file = file.unwrap();
            fs::copy(file.path(), folder.path().join(kind).join(file.file_name())).unwrap();
        }
    }
    let faults = [
        ("/sheets/1/placed/0/x_mm", 1.0, "no piece"),
        ("/sheets/2/remnant_mm/0", 0.1, "the remnant is drawn"),
        ("/sheets/2/used/length_mm", 0.1, "used and remnant are"),
        ("/sheets/1/used/upper_bound_percent", 0.01, "is not in the strip"),
        ("/parts/0/pieces", 1.0, "outlines of"),
    ];
    // All in one run: each is reported for its own sheet or part.
    for (place, by, _) in faults {
        let number = report.pointer_mut(place).unwrap();
        *number = match number.as_u64() {
            Some(count) => json!(count + by as u64),
            None => json!(number.as_f64().unwrap() + by),
        };
    }
    fs::write(folder.path().join("report.json"), report.to_string()).unwrap();
    let (accepted, said) = python::outside("check_sheets.py", folder.path());
    assert!(!accepted);
    for (_, _, wanted) in faults {
        assert!(said.contains(wanted), "{wanted} is not said: {said}");
    }
}

/// The check can fail: a flat claimed to be larger than a page, and a drawing of another part.
#[test]
fn the_check_of_drawings_refuses_each_planted_fault() {
    let (demo, folder) = (&demo::made().folder, tempfile::tempdir().unwrap());
    let mut report: Value =
        serde_json::from_slice(&fs::read(demo.join("report.json")).unwrap()).unwrap();
    let parts = report["parts"].as_array_mut().unwrap();
    parts.truncate(3);
    let names: Vec<_> = parts.iter().map(|p| p["name"].as_str().unwrap().to_owned()).collect();
    for kind in ["drawings", "templates"] {
        fs::create_dir(folder.path().join(kind)).unwrap();
        for name in &names {
            let page = format!("{kind}/{name}.pdf");
            fs::copy(demo.join(&page), folder.path().join(page)).unwrap();
        }
    }
    let path = folder.path().join("report.json");
    fs::write(&path, report.to_string()).unwrap();
    python::accepted("check_drawings.py", folder.path());
    let width = report.pointer_mut("/parts/0/size_mm/0").unwrap();
    *width = json!(width.as_f64().unwrap() + 300.0);
    fs::write(&path, report.to_string()).unwrap();
    let drawings = folder.path().join("drawings");
    let pdf = |i: usize| drawings.join(format!("{}.pdf", names[i]));
    fs::copy(pdf(1), pdf(2)).unwrap();
    let (accepted, said) = python::outside("check_drawings.py", folder.path());
    assert!(!accepted && said.contains("does not say how it is joined"), "{said}");
    assert!(said.contains("does not name its part"), "{said}");
}

/// Three kinds of part on one sheet; one has an edge and a slot along arcs.
const PLAIN: &str = r#"process = "waterjet"

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [{ size = ["500 mm", "400 mm"] }]

[[part]]
recipe   = "gusset"
name     = "brace"
quantity = 4
sheet    = "S235 4 mm"

[[part]]
recipe   = "tab"
name     = "ear"
quantity = 6
sheet    = "S235 4 mm"

[[part]]
recipe   = "quadrant"
name     = "quadrant"
quantity = 2
sheet    = "S235 4 mm"
"#;

/// Slots along arcs, one about a hole and one about a bare point, and one whose arc has its centre out
/// of the part; slots at angles; holes on a circle.
const SLOTS: &str = r#"
about = "Slots"
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "120 mm", at = ["100 mm", "60 mm"] } ]
holes = [
  { name = "pivot", at = ["40 mm", "31.75 mm"], diameter = "8 mm" },
  { name = "swing", at = ["40 mm", "31.75 mm"], diameter = "6 mm", arc = { radius = "25 mm", from = "100 deg", to = "190 deg" } },
  { name = "bare", at = ["130 mm", "70 mm"], diameter = "7 mm", arc = { radius = "16 mm", from = "-60 deg", to = "60 deg" } },
  { name = "wide", at = ["170 mm", "-60 mm"], diameter = "5 mm", arc = { radius = "80 mm", from = "80 deg", to = "95 deg" } },
  { name = "slant", at = ["60 mm", "90 mm"], diameter = "6.6 mm", slot = "20 mm", rotate = "25 deg" },
  { name = "cross", at = ["100 mm", "90 mm"], diameter = "5 mm", slot = "12 mm", rotate = "45 deg", row = { count = "2", pitch = "20 mm" } },
  { name = "ring", at = ["85 mm", "40 mm"], diameter = "4.3 mm", circle = { count = "3", diameter = "30 mm", start = "30 deg" } },
]
"#;

/// Gussets, plates and small tabs on a large clamped sheet.
const INCHES: &str = r#"
about   = "Gussets and tabs in inches"
units   = "in"
process = "waterjet"
paper   = "Letter"
margin  = "1/2 in"

[[sheet]]
name      = "steel"
material  = "S235"
thickness = "3/16 in"
stock     = [ { size = ["96 in", "48 in"], clamps = { bottom = "2 in" }, keep_out = [ { name = "dent", at = ["8 in", "40 in"], diameter = "4 in" } ] } ]

[[part]]
recipe   = "gusset"
name     = "gusset"
quantity = 14
sheet    = "steel"
given    = { main = "2 in", branch = "1-1/2 in", leg_main = "4 in", leg_branch = "4 in" }

[[part]]
recipe   = "base-plate"
name     = "base"
quantity = 8
sheet    = "steel"
given    = { width = "6 in", height = "4 in", bolt = "1/4", corner = "0 in" }

[[part]]
recipe   = "tab"
name     = "tab"
quantity = 30
sheet    = "steel"
given    = { bolt = "1/4" }
"#;

/// Plates with sharp corners a kerf apart.
const COMMON: &str = r#"
process = "waterjet"
gap = "1 mm"
margin = "10 mm"
common_cuts = true

[[sheet]]
name = "S235 4 mm"
material = "S235"
thickness = "4 mm"
stock = [ { size = ["700 mm", "500 mm"] } ]

[[part]]
recipe = "base-plate"
name = "pad"
quantity = 20
sheet = "S235 4 mm"
given = { width = "100 mm", height = "80 mm", corner = "0 mm" }
"#;
