//! Tubes, cuts, holes and cut-outs in lists, drawings and the report, from job to file.

use crate::own;
use platewright::job::Shelf;
use platewright::make::Made;
use platewright::place::Search;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use serde_json::Value;

/// A plate with holes that are finished in every way, and two cut-outs of steps.
const OWN: &str = r#"about = "x"
[inputs]
bolt  = { kind = "bolt", default = "M10", about = "x" }
width = { kind = "length", default = "200 mm", about = "x" }
height = { kind = "length", default = "120 mm", about = "x" }
[face.plate]
blank = [
  { add = "rectangle", width = "width", height = "height" },
  { cut = "rectangle", width = "20 mm", height = "16 mm", at = ["60 mm", "30 mm"] },
  { cut = "disc", radius = "11 mm", at = ["60 mm", "-30 mm"] },
]
holes = [
  { name = "plain",     at = ["-80 mm", "40 mm"], diameter = "9 mm" },
  { name = "tapped",    at = ["-60 mm", "40 mm"], diameter = "bolt.diameter", made = "tap", pilot = "tap_drill(bolt)", for = "bolt" },
  { name = "small",     at = ["-40 mm", "40 mm"], diameter = "bolt.diameter", made = "tap", pilot = "5 mm", for = "bolt" },
  { name = "reamed",    at = ["-20 mm", "40 mm"], diameter = "10 mm", made = "ream", pilot = "9 mm" },
  { name = "drilled",   at = ["0 mm",   "40 mm"], diameter = "11 mm", made = "drill", pilot = "5 mm" },
  { name = "assembled", at = ["20 mm",  "40 mm"], diameter = "clearance(bolt, 'normal')", made = "drill", pilot = "5 mm", for = "bolt" },
]
"#;

const PART: &str = "[[part]]\nrecipe = \"own\"\nname = \"own\"\nquantity = 2\nsheet = \"steel\"\n";

fn made(top: &str, rest: &str) -> Made {
    let tables = Tables::shipped();
    let shipped = Shelf::shipped(&tables);
    let recipe = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), OWN.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let text = format!(
        "{top}process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
         thickness = \"4 mm\"\nstock = [ {{ size = [\"6000 mm\", \"2000 mm\"] }} ]\n{rest}"
    );
    let workshop = Workshop::new(Shelf { recipe: &recipe, ..shipped });
    let ready = workshop.read("job", "job.toml", &text).and_then(|asked| asked.solve());
    let made = ready.and_then(|ready| ready.make(&Search::none()));
    made.unwrap_or_else(|stopped| panic!("{stopped}"))
}

fn text(made: &Made, name: &str) -> String {
    let file = made.files.iter().find(|file| file.name == name);
    let file = file.unwrap_or_else(|| panic!("there is no {name}"));
    String::from_utf8(file.bytes.clone()).unwrap()
}

fn report(made: &Made) -> Value {
    serde_json::from_str(&text(made, "report.json")).unwrap()
}

/// The words of a drawing, one after the other.
fn words(made: &Made, name: &str) -> String {
    let svg = text(made, name);
    let texts =
        svg.split("<text").skip(1).filter_map(|t| t.split_once('>')?.1.split_once("</text>"));
    texts.map(|(words, _)| format!("{words}\n")).collect()
}

/// A wall of 0.120 in is no 3 mm.
#[test]
fn tubes_of_an_inch_job_are_told_to_a_thousandth() {
    let tube = "[[tube]]\nname = \"brace\"\ntube = \"1-1/2 x .120\"\nlength = \"20 in\"\n";
    let list = text(&made("units = \"in\"\n", tube), "tubes.csv");
    assert!(list.contains("1-1/2 in × 0.12 in"), "{list}");
    assert!(!list.contains("0.118"), "{list}");
    let metric = "[[tube]]\nname = \"brace\"\ntube = \"38 x 2.5\"\nlength = \"540 mm\"\n";
    let list = text(&made("", metric), "tubes.csv");
    assert!(list.contains("38 mm × 2.5 mm"), "{list}");
}

/// A template has no more than 100 pages: a larger part has its flat and its drawing, and a note
/// says so.
#[test]
fn a_part_too_large_for_a_template_says_so_and_has_its_drawing() {
    let large = format!("{PART}given = {{ width = \"5900 mm\", height = \"1900 mm\" }}\n");
    for (part, printed) in [(PART, true), (large.as_str(), false)] {
        let made = made("", part);
        let has = |name: &str| made.files.iter().any(|file| file.name == name);
        assert!(has("flats/own.dxf") && has("drawings/own.pdf"));
        assert_eq!(has("templates/own.pdf"), printed);
        assert_eq!(made.findings.iter().any(|f| f.code == "template"), !printed);
    }
}

/// How a hole is cut and finished, in the words of the trade; a thread is never drilled to its
/// own diameter.
#[test]
fn holes_are_told_as_they_are_cut_and_as_they_are_finished() {
    let made = made("", PART);
    let report = report(&made);
    let rows = report["parts"][0]["holes_to_finish"].as_array().unwrap();
    let word = |row: &Value, key: &str| row[key].as_str().unwrap().to_owned();
    let rows: Vec<[String; 3]> =
        rows.iter().map(|row| ["hole", "as_cut", "finish"].map(|key| word(row, key))).collect();
    let wanted = [
        ["tapped", "Ø8.5 mm tap drill", "tap M10×1.5 through"],
        ["small", "pilot Ø5 mm", "tap drill Ø8.5 mm, tap M10×1.5 through"],
        ["reamed", "pilot Ø9 mm", "drill undersize, ream Ø10 mm"],
        ["drilled", "pilot Ø5 mm", "drill Ø11 mm"],
        ["assembled", "pilot Ø5 mm", "drill Ø11 mm after assembly"],
    ];
    assert_eq!(rows, wanted.map(|row| row.map(str::to_owned)));
    let drawn = words(&made, "drawings/own.svg").replace('\n', " ");
    for words in ["(tap drill Ø8.5)", "tap M10×1.5 through", "drill undersize, ream Ø10"] {
        assert!(drawn.contains(words), "{words}: {drawn}");
    }
}

/// If the members of a set differ, each is finished as its own text says.
#[test]
fn unlike_holes_of_a_set_are_told_apart_below_the_flat() {
    let job = "process = \"waterjet\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
               thickness = \"6 mm\"\nstock = [ { size = [\"600 mm\", \"400 mm\"] } ]\n\
               [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n";
    let made = own::make(include_str!("../../data/trade/valve-plate.toml"), job);
    let made = made.unwrap_or_else(|found| panic!("{found:#?}"));
    let below = words(&made, "flats/own.svg");
    for line in [
        "holes valve 1, valve 2: Ø6.8 mm tap drill, tap M8×1.25 through",
        "holes valve 3, valve 4: Ø8.5 mm tap drill, tap M10×1.5 through",
        "4 holes frame: ",
    ] {
        assert!(below.contains(line), "{line}: {below}");
    }
}

/// A round cut-out has its size and its centre, one with corners the places of these.
#[test]
fn cut_outs_are_sized_and_placed_on_the_drawing() {
    let drawn = words(&made("", PART), "drawings/own.svg");
    let lines: Vec<&str> = drawn.lines().collect();
    for wanted in ["Ø22", "150", "160", "170", "82", "98", "30"] {
        assert_eq!(lines.iter().filter(|line| **line == wanted).count(), 1, "{wanted}: {drawn}");
    }
}

/// The gap and the margin used, and the smallest distance.
#[test]
fn the_report_says_the_gap_that_is_kept() {
    let made = made("gap = \"7 mm\"\nmargin = \"12 mm\"\n", PART);
    let report = report(&made);
    let sheet = &report["sheets"][0];
    assert_eq!((&sheet["gap_mm"], &sheet["margin_mm"]), (&7.0.into(), &12.0.into()));
    assert!(sheet["min_gap_mm"].as_f64().is_some_and(|gap| gap >= 7.0 - 1e-6), "{sheet}");
    let page = text(&made, "report.html");
    assert!(page.contains("distances: 7 mm between parts, 12 mm to the sheet edge"), "no gap");
}
