//! Inputs that are lists of rows, of tables or of values by name.

use crate::own;
use platewright::part::Hole;

const ROWS: &str = r#"
about = "x"
[inputs]
holes = { kind = "rows", of = { x = "length", bolt = "bolt", head = ["plain", "flush"] }, default = [ { x = "20 mm", bolt = "M6", head = "plain" }, { x = "50 mm", bolt = "M8", head = "plain" }, { x = "80 mm", bolt = "M5", head = "flush" } ], about = "x" }
studs = { kind = "bolts", default = ["M8", "M10"], about = "x" }
[face.rail]
blank = [ { add = "rectangle", width = "max(holes.x) + 20 mm", height = "8 * max(holes.bolt.diameter)", at = ["max(holes.x) / 2 + 10 mm", "0"] } ]
holes = [
  { name = "plain", each = { h = "holes" }, when = "h.head == 'plain'", at = ["h.x", "0"], diameter = "clearance(h.bolt, 'normal')", for = "h.bolt" },
  { name = "flush", each = { h = "holes" }, when = "h.head == 'flush'", at = ["h.x", "0"], diameter = "clearance(h.bolt, 'normal')", for = "h.bolt", countersink = {} },
  { name = "stud", each = { b = "studs" }, at = ["30 mm * number", "20 mm"], diameter = "b.diameter", made = "tap", pilot = "tap_drill(b)", for = "b" },
]
"#;

/// The same, with an input and an entry for each hole.
const LONGHAND: &str = r#"
about = "x"
[inputs]
m5  = { kind = "bolt", default = "M5", about = "x" }
m6  = { kind = "bolt", default = "M6", about = "x" }
m8  = { kind = "bolt", default = "M8", about = "x" }
m10 = { kind = "bolt", default = "M10", about = "x" }
[face.rail]
blank = [ { add = "rectangle", width = "100 mm", height = "64 mm", at = ["50 mm", "0"] } ]
holes = [
  { name = "plain 1", at = ["20 mm", "0"], diameter = "clearance(m6, 'normal')", for = "m6" },
  { name = "plain 2", at = ["50 mm", "0"], diameter = "clearance(m8, 'normal')", for = "m8" },
  { name = "flush 3", at = ["80 mm", "0"], diameter = "clearance(m5, 'normal')", for = "m5", countersink = {} },
  { name = "stud 1", at = ["30 mm", "20 mm"], diameter = "m8.diameter", made = "tap", pilot = "tap_drill(m8)", for = "m8" },
  { name = "stud 2", at = ["60 mm", "20 mm"], diameter = "m10.diameter", made = "tap", pilot = "tap_drill(m10)", for = "m10" },
]
"#;

/// A hole with all the data that files are made of, except the name it is for.
fn shown(hole: &Hole) -> String {
    let row = hole.row.as_ref().map(|row| row.name());
    format!("{} {:?} {:?} {:?} {:?}", hole.name, hole.at, hole.size, hole.recess, (row, hole.pin()))
}

fn hardware(own: &str, given: &str) -> String {
    let job = format!(
        "process = \"waterjet\"\n[[sheet]]\nname = \"a\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = [ {{ size = [\"900 mm\", \"500 mm\"] }} ]\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"a\"\n{given}"
    );
    let made = own::make(own, &job).unwrap_or_else(|found| panic!("{}", found[0].headline));
    let list = made.files.iter().find(|f| f.name == "hardware.csv").unwrap();
    String::from_utf8(list.bytes.clone()).unwrap()
}

#[test]
fn a_row_is_an_entry_and_orders_its_own_bolt() {
    let ((rows, _), (long, _)) = (own::one(ROWS), own::one(LONGHAND));
    let (rows, long) = (&rows.part.faces[0], &long.part.faces[0]);
    assert_eq!(rows.blank, long.blank);
    let both = [rows, long].map(|face| face.holes.iter().map(shown).collect::<Vec<_>>());
    assert_eq!(both[0], both[1]);
    let list = hardware(ROWS, "");
    assert_eq!(list, hardware(LONGHAND, ""));
    for bolt in ["M5", "M6", "M8", "M10"] {
        assert!(list.lines().any(|line| line.contains(&format!("{bolt},"))), "{list}");
    }
}

/// Values have no order: which of two rod ends an eye is for does not depend on chance.
#[test]
fn an_eye_without_a_row_takes_the_first_rod_end_by_name() {
    let own = r#"
about = "x"
[inputs]
near = { kind = "rod-end", default = "M10", about = "x" }
far  = { kind = "rod-end", default = "M12", about = "x" }
[face.ear]
blank = [ { add = "rectangle", width = "60 mm", height = "60 mm" } ]
holes = [ { name = "eye", diameter = "12.5 mm", for = "pin", role = "eye" } ]
"#;
    let list = hardware(own, "");
    assert!(list.lines().nth(1).is_some_and(|row| row.starts_with("bolt,M12,")), "{list}");
}

/// As tables, as a text, as one row; numbers without quotes and formulas.
#[test]
fn a_job_gives_rows_as_tables_or_as_a_text() {
    let tables = "given = { holes = [ { x = \"20 mm\", bolt = \"M6\", head = \"plain\" }, { bolt = \"M8\", head = \"flush\", x = \"max(40 mm, 50 mm)\" } ], studs = [\"M8\", \"M8\"] }\n";
    let text = "given = { holes = \"20 mm, M6, plain; max(40 mm, 50 mm), M8, flush\", studs = \"M8; M8\" }\n";
    let made = |keys: &str| {
        let (solved, _) = own::solve_with(ROWS, "5 mm", "waterjet", keys)
            .unwrap_or_else(|found| panic!("{}", found[0].headline));
        solved[0].part.faces[0].holes.iter().map(shown).collect::<Vec<_>>()
    };
    assert_eq!(made(tables), made(text));
    assert!(made(tables)[1].starts_with("flush 2 (50.0, 0.0)"), "{:?}", made(tables));
    let one = made("given = { holes = { x = \"70 mm\", bolt = \"M8\", head = \"plain\" } }\n");
    assert!(one[0].starts_with("plain"), "{one:?}");
}

/// An error in a row names the row.
#[test]
fn a_wrong_row_is_named() {
    for (given, headline, note) in [
        ("20 mm, M6; 50 mm, M8, flush", "this row has 2 values, but it needs 3", "value 1"),
        (
            "20 mm, M6, plain; 50 mm, M8, flsh",
            "`flsh` is not one of the choices",
            "`holes[2].head`",
        ),
        ("20 mm, M6, plain; 50 mm, M99, plain", "there is no bolt `M99`", "`holes[2].bolt`"),
    ] {
        let keys = format!("given = {{ holes = \"{given}\" }}\n");
        let found = own::solve_with(ROWS, "5 mm", "waterjet", &keys).unwrap_err();
        assert!(found[0].headline.contains(headline), "{:?}", found[0]);
        assert!(found[0].notes.iter().any(|n| n.contains(note)), "{:?}", found[0]);
    }
    let keys = "given = { holes = \"20 mm, M6, plain; 50 deg, M8, plain\" }\n";
    let found = own::solve_with(ROWS, "5 mm", "waterjet", keys).unwrap_err();
    assert_eq!(found[0].headline, "`holes[2].x` is a length, but this is an angle");
}

/// A recipe hands its rows to one whose holes it takes.
#[test]
fn rows_are_handed_on_to_another_recipe() {
    let own = r#"
about = "x"
[inputs]
seats = { kind = "rows", of = { on = ["left", "right"], number = "count" }, default = "left, 3; right, 2", about = "x" }
bolts = { kind = "bolts", default = ["M6", "M8"], about = "x" }
[face.rail]
blank = [ { add = "rectangle", width = "100 mm", height = "40 mm" } ]
holes = [ { name = "h", each = { s = "seats", b = "bolts" }, at = ["if s.on == 'left' then -10 mm * s.number else 10 mm * s.number", "0"], diameter = "b.normal", for = "b" } ]
"#;
    let (solved, _) = own::one(own);
    let holes = &solved.part.faces[0].holes;
    assert_eq!(holes.iter().map(|h| h.at.x).collect::<Vec<_>>(), [-30.0, 20.0]);
    assert_eq!(
        holes.iter().map(|h| h.through.as_deref()).collect::<Vec<_>>(),
        [Some("M6"), Some("M8")]
    );
}
