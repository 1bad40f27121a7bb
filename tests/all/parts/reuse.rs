//! Faces and holes like others, hands that differ, plates by a count.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::quantity::Units;
use platewright::recipe;
use platewright::recipe::Others;
use platewright::recipe::Recipe;
use platewright::solve::Solved;
use std::cell::Cell;
use std::cell::RefCell;

const PAIR: &str = r#"
about  = "x"
mirror = true
[face.base]
blank = [ { add = "rectangle", width = "70 mm", height = "80 mm", at = ["0", "-40 mm"] } ]
holes = [
  { name = "base", at = ["-15 mm", "-40 mm"], diameter = "7 mm" },
  { name = "sensor", at = ["18 mm", "-40 mm"], diameter = "8 mm", when = "hand == 'left'" },
]
[face.ear]
blank = [ { add = "polygon", corners = [["-35 mm", "0"], ["35 mm", "0"], { at = ["35 mm", "30 mm"], edge = "rim" }, ["-35 mm", "45 mm"]] } ]
holes = [ { name = "eye", at = ["-20 mm", "28 mm"], diameter = "9 mm" }, { name = "pin", at = ["10 mm", "25 mm"], diameter = "5 mm" } ]
weld  = [ { edge = "rim", leg = "3 mm" } ]
[face.foot]
like   = "ear"
mirror = true
blank  = [ { cut = "rectangle", width = "10 mm", height = "8 mm", at = ["-35 mm", "25 mm"] } ]
holes  = [ { name = "eye", at = ["-20 mm", "28 mm"], diameter = "6 mm" } ]
[bend.heel]
on    = "base.top"
to    = "ear"
angle = "90 deg"
[bend.toe]
on    = "base.bottom"
to    = "foot"
angle = "90 deg"
"#;

fn face<'a>(solved: &'a Solved, name: &str) -> &'a platewright::part::Face {
    solved.part.faces.iter().find(|face| face.name == name).unwrap()
}

fn places(face: &platewright::part::Face) -> Vec<(&str, Point, f64)> {
    face.holes.iter().map(|h| (h.name.as_str(), h.at, h.outline.bounds().width())).collect()
}

#[test]
fn a_face_like_another_is_that_one_with_its_changes() {
    let (solved, _) = own::solve(PAIR, "3 mm", "laser").unwrap();
    assert_eq!(solved.len(), 2);
    let (ear, foot) = (face(&solved[0], "ear"), face(&solved[0], "foot"));
    assert!((ear.blank.area() - foot.blank.area() - 5.0 * 8.0).abs() < 1e-9);
    assert_eq!(
        places(foot),
        [("pin", Point::new(-10.0, 25.0), 5.0), ("eye", Point::new(20.0, 28.0), 6.0)]
    );
    assert!((foot.welds[0].edge_length() - ear.welds[0].edge_length()).abs() < 1e-9);
    assert!(foot.welds[0].edge_length() > 70.0);
}

/// The left hand alone has the sensor, at the mirror of where it is drawn.
#[test]
fn the_formulas_know_the_hand() {
    let (solved, _) = own::solve(PAIR, "3 mm", "laser").unwrap();
    let names: Vec<&str> = solved.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["own-right", "own-left"]);
    assert_eq!(places(face(&solved[0], "base")), [("base", Point::new(-15.0, -40.0), 7.0)]);
    assert_eq!(
        places(face(&solved[1], "base")),
        [("base", Point::new(15.0, -40.0), 7.0), ("sensor", Point::new(-18.0, -40.0), 8.0)]
    );
    // A flat plate that differs is not made by turning one over.
    let flat = "about = \"x\"\nmirror = true\n[face.plate]\nblank = [ { add = \"rectangle\", width = \"60 mm\", height = \"40 mm\" } ]\nholes = [ { name = \"h\", at = [\"10 mm\", \"0\"], diameter = \"if hand == 'left' then 8 mm else 6 mm\" } ]\n";
    let (solved, _) = own::solve(flat, "3 mm", "laser").unwrap();
    let holes: Vec<_> = solved.iter().flat_map(|s| places(&s.part.faces[0])).collect();
    assert_eq!(holes, [("h", Point::new(10.0, 0.0), 6.0), ("h", Point::new(-10.0, 0.0), 8.0)]);
    let alike = flat.replace("if hand == 'left' then 8 mm else 6 mm", "6 mm");
    let (solved, _) = own::solve(&alike, "3 mm", "laser").unwrap();
    assert_eq!((solved.len(), solved[0].part.copies), (1, 2));
}

#[test]
fn plates_are_counted_by_a_formula_and_left_out_by_a_condition() {
    let own = |ribs: u32| {
        format!(
            "about = \"x\"\ncopies = 2\n[inputs]\nribs = {{ kind = \"count\", default = {ribs}, about = \"x\" }}\n[face.floor]\nblank = [ {{ add = \"rectangle\", width = \"60 mm\", height = \"40 mm\", at = [\"0\", \"-20 mm\"] }} ]\n[face.rib]\npieces = \"2 * ribs\"\nwhen = \"ribs > 0\"\nblank = [ {{ add = \"disc\", radius = \"20 mm\" }} ]\n[face.lip]\nwhen = \"ribs > 1\"\nblank = [ {{ add = \"rectangle\", width = \"60 mm\", height = \"30 mm\", at = [\"0\", \"15 mm\"] }} ]\n[bend.lip]\non = \"floor.top\"\nto = \"lip\"\nangle = \"90 deg\"\n"
        )
    };
    for (ribs, parts) in [
        (0, vec![("own", 2, 1)]),
        (1, vec![("own-floor", 2, 1), ("own-rib", 4, 1)]),
        (2, vec![("own-floor", 2, 2), ("own-rib", 8, 1)]),
    ] {
        let (solved, _) = own::solve(&own(ribs), "3 mm", "laser").unwrap();
        let made: Vec<(&str, u32, usize)> =
            solved.iter().map(|s| (s.name.as_str(), s.part.copies, s.part.faces.len())).collect();
        assert_eq!(made, parts);
    }
}

/// A job makes any part in both hands; its lists are arrays.
#[test]
fn a_job_asks_for_both_hands_and_gives_lists() {
    let own = "about = \"x\"\n[inputs]\nxs = { kind = \"lengths\", default = [\"5 mm\"], about = \"x\" }\n[face.base]\nblank = [ { add = \"rectangle\", width = \"90 mm\", height = \"40 mm\", at = [\"0\", \"-20 mm\"] } ]\nholes = [ { name = \"h\", each = { x = \"xs\" }, at = [\"x\", \"-20 mm\"], diameter = \"6 mm\" } ]\n[face.leg]\nblank = [ { add = \"rectangle\", width = \"90 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] } ]\n[bend.heel]\non = \"base.top\"\nto = \"leg\"\nangle = \"90 deg\"\n";
    let keys = "mirror = true\ngiven = { xs = [\"-10 mm\", \"12 mm\", \"1 in\"] }\n";
    let (solved, _) = own::solve_with(own, "3 mm", "laser", keys).unwrap();
    let names: Vec<&str> = solved.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["own-right", "own-left"]);
    let xs = |i: usize| -> Vec<f64> {
        face(&solved[i], "base").holes.iter().map(|hole| hole.at.x).collect()
    };
    assert_eq!(xs(0), [-10.0, 12.0, 25.4]);
    assert_eq!(xs(1), [10.0, -12.0, -25.4]);
}

/// The two hands of a part by a derived formula that uses the hand, its default too.
#[test]
fn derived_formulas_inputs_and_points_know_the_hand() {
    let own = "about = \"x\"\nmirror = true\n[inputs]\nreach = { kind = \"length\", default = \"if hand == 'left' then 30 mm else 40 mm\", about = \"x\" }\n[derived]\nhole = \"if hand == 'left' then 8 mm else 6 mm\"\n[points]\nA = [\"reach\", \"0\"]\n[face.base]\nblank = [ { add = \"rectangle\", width = \"120 mm\", height = \"40 mm\" } ]\nholes = [ { name = \"h\", at = \"A\", diameter = \"hole\" } ]\n";
    let of = |keys: &str| -> Vec<(String, Point, f64, u32)> {
        let (solved, _) = own::solve_with(own, "3 mm", "laser", keys).unwrap();
        let hole = |s: &Solved| {
            let hole = &s.part.faces[0].holes[0];
            (s.name.clone(), hole.at, hole.outline.bounds().width(), s.part.copies)
        };
        solved.iter().map(hole).collect()
    };
    let right = ("own-right".to_owned(), Point::new(40.0, 0.0), 6.0, 1);
    let left = ("own-left".to_owned(), Point::new(-30.0, 0.0), 8.0, 1);
    assert_eq!(of(""), [right.clone(), left]);
    let (solved, _) = own::solve(own, "3 mm", "laser").unwrap();
    let reach = |s: &Solved| s.params.get("reach").unwrap().show(Units::Millimetre);
    assert_eq!([reach(&solved[0]), reach(&solved[1])], ["40 mm", "30 mm"]);
    // The mirror of the recipe switched off: the part as drawn, which is the right hand.
    assert_eq!(of("mirror = false\n"), [("own".to_owned(), right.1, right.2, 1)]);
    // A value of a job may use the hand as well.
    let given = of("given = { reach = \"if hand == 'left' then 12 mm else 14 mm\" }\n");
    assert_eq!([given[0].1.x, given[1].1.x], [14.0, -12.0]);
}

const HOST: &str = r#"
about = "x"
[inputs]
ring  = { kind = "length", default = "80 mm", about = "x" }
screw = { kind = "bolt", default = "M5", about = "x" }
bolt  = { kind = "bolt", default = "M20", about = "another bolt than that of the motor plate" }
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "200 mm" } ]
holes = [
  { name = "jig", like = "motor-plate.plate.motor", given = { circle = "ring", bolt = "screw" }, at = ["20 mm", "10 mm"], rotate = "15 deg" },
  { name = "bush", like = "motor-plate.plate.motor", given = { circle = "2 * ring", travel = "0 mm" }, diameter = "11 mm", without = [3] },
]
"#;

/// Each use has its own values, whatever the names in the recipes.
#[test]
fn holes_of_another_recipe_are_where_it_has_them() {
    let (solved, _) = own::solve(HOST, "3 mm", "laser").unwrap();
    let face = &solved[0].part.faces[0];
    let names: Vec<&str> = face.holes.iter().map(|hole| hole.name.as_str()).collect();
    assert_eq!(names, ["jig 1", "jig 2", "jig 3", "jig 4", "bush 1", "bush 2", "bush 4"]);
    for (i, hole) in face.holes[..4].iter().enumerate() {
        let angle = Angle::from_degrees(15.0 + 45.0 + 90.0 * i as f64);
        let (x, y) = (20.0 + 40.0 * angle.cos(), 10.0 + 40.0 * angle.sin());
        assert!((hole.at - Point::new(x, y)).hypot() < 1e-9, "{i}: {:?}", hole.at);
        // A slot for an M5 that travels by 8 mm: 5.5 mm wide, 13.5 mm long.
        let area = 5.5 * 8.0 + 5.5 * 5.5 * std::f64::consts::FRAC_PI_4;
        assert!((hole.outline.area() - area).abs() < 1e-9, "{i}: {}", hole.outline.area());
        assert_eq!(hole.pin(), Some(5.0));
        let shown = solved[0].params.get(hole.through.as_deref().unwrap()).unwrap();
        assert!(matches!(shown, platewright::formula::Value::Row(row) if row.name() == "M5"));
    }
    for (hole, i) in face.holes[4..].iter().zip([0.0, 1.0, 3.0]) {
        let angle = Angle::from_degrees(45.0 + 90.0 * i);
        assert!((hole.at - Point::new(80.0 * angle.cos(), 80.0 * angle.sin())).hypot() < 1e-9);
        assert!((hole.outline.bounds().width() - 11.0).abs() < 1e-9);
        assert_eq!(hole.through, None);
    }
}

/// The whole face of another recipe is that recipe's part, with its marks and all holes, also
/// mirrored and those that follow its own outline.
#[test]
fn a_face_of_another_recipe_is_its_part() {
    let whole = "about = \"x\"\n[face.plate]\nlike = \"motor-plate.plate\"\n";
    let plain = "about = \"x\"\n[face.plate]\nblank = [ { add = \"rectangle\", width = \"300 mm\", height = \"300 mm\" } ]\nholes = [ { like = \"motor-plate.plate\", mirror = true, at = [\"5 mm\", \"0\"] } ]\n";
    let (whole, _) = own::solve(whole, "3 mm", "laser").unwrap();
    let (plain, _) = own::solve(plain, "3 mm", "laser").unwrap();
    let (drawn, mirrored) = (&whole[0].part.faces[0], &plain[0].part.faces[0]);
    assert_eq!((drawn.holes.len(), mirrored.holes.len()), (9, 9));
    assert_eq!(places(drawn).iter().filter(|(name, ..)| name.starts_with("frame")).count(), 4);
    for (a, b) in drawn.holes.iter().zip(&mirrored.holes) {
        assert_eq!(a.name, b.name);
        assert!((Point::new(5.0 - a.at.x, a.at.y) - b.at).hypot() < 1e-9, "{}", a.name);
        assert!((a.outline.area() - b.outline.area()).abs() < 1e-9);
    }
}

/// A finding about a hole of another recipe points at the value the job gives, through the
/// formula at the place of use.
#[test]
fn what_is_wrong_with_them_leads_back_to_the_job() {
    let keys = "given = { ring = \"131 mm\" }\n";
    let found =
        own::solve_with(HOST, "3 mm", "laser", keys).expect_err("bushings are near the edge");
    let off: Vec<_> = found.iter().filter(|f| f.headline.contains("bush")).collect();
    assert!(!off.is_empty());
    // The job is the first text.
    let job = Sources::default().add("", "");
    for finding in off {
        assert_eq!(finding.marks[0].span.source, job, "{}", finding.headline);
        assert!(finding.marks.len() > 1, "{}", finding.headline);
    }
}

const PADDED: &str = r#"
about = "x"
[inputs]
bolt = { kind = "bolt", default = "M10", about = "x" }
[derived]
corner = "2 * thickness"
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "120 mm", corner = "corner" } ]
holes = [ { name = "bolt", at = ["40 mm", "0"], diameter = "11 mm", row = { count = "2", pitch = "60 mm" }, rotate = "90 deg", for = "bolt" } ]
[face.pad]
pieces  = 2
laid_on = { face = "plate", at = ["40 mm", "0"], rotate = "90 deg" }
blank   = [ { add = "rectangle", width = "100 mm", height = "50 mm", corner = "corner" } ]
holes   = [ { name = "bolt", diameter = "11 mm", row = { count = "2", pitch = "60 mm" }, for = "bolt" } ]
"#;

/// Made of a plate of 3 mm and two pads of 8 mm, or all of 3 mm: each formula uses its own sheet.
#[test]
fn a_plate_laid_on_another_has_its_sheet_and_shares_its_bolts() {
    let job = |sheets: &str| {
        format!(
            "process = \"laser\"\n[[sheet]]\nname = \"thin\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = [ {{ size = [\"900 mm\", \"500 mm\"] }} ]\n[[sheet]]\nname = \"thick\"\nmaterial = \"4130-N\"\nthickness = \"8 mm\"\nstock = [ {{ size = [\"900 mm\", \"500 mm\"] }} ]\n[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"thin\"\nquantity = 3\n{sheets}"
        )
    };
    for (sheets, pad, grip) in [("", 3.0, "9"), ("sheets = { pad = \"thick\" }\n", 8.0, "19")] {
        let made =
            own::make(PADDED, &job(sheets)).unwrap_or_else(|found| panic!("{}", found[0].headline));
        let rows: Vec<_> =
            made.report.parts.iter().map(|p| serde_json::to_value(p).unwrap()).collect();
        let of = |i: usize, key: &str| rows[i][key].clone();
        assert_eq!((of(0, "name"), of(1, "name")), ("own-plate".into(), "own-pad".into()));
        assert_eq!((of(0, "pieces"), of(1, "pieces")), (3.into(), 6.into()));
        assert_eq!((of(0, "thickness_mm"), of(1, "thickness_mm")), (3.0.into(), pad.into()));
        let rounded = |w: f64, h: f64, t: f64| {
            let bolts = 2.0 * std::f64::consts::PI * 5.5 * 5.5;
            w * h - (4.0 - std::f64::consts::PI) * 4.0 * t * t - bolts
        };
        for (i, wanted) in
            [rounded(200.0, 120.0, 3.0), rounded(100.0, 50.0, pad)].iter().enumerate()
        {
            let area = rows[i]["area_mm2"].as_f64().unwrap();
            assert!((area - wanted).abs() < 0.01, "{area} {wanted}");
        }
        let hardware = made.files.iter().find(|f| f.name == "hardware.csv").unwrap();
        let text = std::str::from_utf8(&hardware.bytes).unwrap();
        let bolts: Vec<&str> = text.lines().filter(|line| line.starts_with("bolt,")).collect();
        assert_eq!(bolts.len(), 1, "{text}");
        let cells: Vec<&str> = bolts[0].split(',').collect();
        assert_eq!((cells[3], cells[6], cells[7]), ("6", grip, grip), "{text}");
    }
}

#[test]
fn bolts_must_go_through_all_plates() {
    for (old, new, wanted) in [
        (
            "at = [\"40 mm\", \"0\"], rotate",
            "at = [\"41 mm\", \"0\"], rotate",
            "the bolt or pin of hole `bolt 1`, Ø10 mm, does not pass through hole `bolt 1` of face `plate`",
        ),
        (
            "laid_on = { face = \"plate\", at = [\"40 mm\", \"0\"], rotate = \"90 deg\" }",
            "laid_on = { face = \"plate\", at = [\"40 mm\", \"0\"] }",
            "face `plate` has no hole below `bolt 2`",
        ),
        (
            "holes   = [ { name = \"bolt\", diameter",
            "holes   = [ { name = \"bore\", when = \"thickness > 5 mm\", diameter",
            "face `pad` has no hole above `bolt 1`",
        ),
    ] {
        let own = PADDED.replace(old, new);
        assert_ne!(own, PADDED);
        let stopped = own::stopped(&own);
        let headlines: Vec<&str> = stopped.iter().map(|(_, headline)| headline.as_str()).collect();
        assert!(headlines.contains(&wanted), "{headlines:?}");
        assert!(stopped.iter().all(|(code, _)| *code == "laid-plate"));
    }
}

/// Recipes by name, read as `first`; how often their texts were read.
fn read_among(texts: &[(&str, &str)], first: &str) -> (Result<Recipe, Vec<Finding>>, usize) {
    let sources = RefCell::new(Sources::default());
    let asked = Cell::new(0);
    let find = |name: &str| {
        let (_, text) = texts.iter().find(|(known, _)| *known == name)?;
        asked.set(asked.get() + 1);
        Some((sources.borrow_mut().add(format!("{name}.toml"), *text), (*text).to_owned()))
    };
    let names = || texts.iter().map(|(name, _)| (*name).to_owned()).collect();
    let (source, text) = find(first).expect("it is one of them");
    let others = Others::new(&find, &names);
    (recipe::read_among(first, source, &text, &|_| None, &others), asked.get())
}

fn like(of: &str) -> String {
    format!("about = \"x\"\n[face.plate]\nlike = \"{of}\"\n")
}

#[test]
fn a_ring_of_recipes_and_a_fault_in_one_say_where_they_are_used() {
    let (a, b) = (like("b.plate"), like("a.plate"));
    let (read, asked) = read_among(&[("a", &a), ("b", &b)], "a");
    let found = read.expect_err("they use each other");
    assert_eq!(asked, 2);
    assert_eq!((found.len(), found[0].code), (1, "recipe-loop"));
    assert_eq!(found[0].headline, "recipe `a` uses itself: a → b → a");
    assert_eq!(found[0].marks.len(), 2, "the use in b, and the use of b in a");
    // An error is reported once, however often the recipe is used.
    let twice = format!("{}[face.second]\npieces = 1\nlike = \"b.plate\"\n", like("b.plate"));
    let wrong = "about = \"x\"\n[face.plate]\nblank = [ { add = \"disc\" } ]\n";
    let (read, _) = read_among(&[("a", &twice), ("b", wrong)], "a");
    let found = read.expect_err("the disc has no radius");
    assert_eq!(found.iter().filter(|f| f.code == "missing-key").count(), 1);
    assert_eq!(found[0].marks[1].label, "used here");
}

/// Its plane and its cuts follow tubes that the recipe using it does not have.
#[test]
fn a_face_among_the_tubes_of_another_recipe_is_not_taken() {
    let jig = r#"about = "x"
[tube.post]
from    = ["0", "0", "-200 mm"]
to      = ["0", "0", "200 mm"]
outside = "38 mm"
[face.plate]
on    = { origin = ["0", "0", "0"], x = ["1 mm", "0", "0"], side = ["0", "1 mm", "0"] }
blank = [ { add = "disc", radius = "60 mm" }, { cut = "tube", tube = "post" } ]
"#;
    assert!(read_among(&[("jig", jig)], "jig").0.is_ok());
    let drilled = format!(
        "{jig}holes = [ {{ name = \"stud\", diameter = \"9 mm\", at = [\"40 mm\", \"0\"] }} ]\n"
    );
    let holes = "about = \"x\"\n[face.plate]\nblank = [ { add = \"disc\", radius = \"60 mm\" } ]\nholes = [ { like = \"jig.plate\" } ]\n";
    for mine in [&*like("jig.plate"), holes] {
        let (read, _) = read_among(&[("mine", mine), ("jig", &drilled)], "mine");
        let found = read.expect_err("it has no tubes");
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].headline, "`jig.plate` is placed among the tubes of its own recipe");
    }
}

/// A wrong tape reading in another recipe is reported where it is used.
#[test]
fn measures_of_another_recipe_are_looked_at() {
    let own = "about = \"x\"\n[inputs]\nside = { kind = \"length\", default = \"412 mm\", about = \"x\" }\n[face.plate]\nlike = \"measured-plate.plate\"\ngiven = { ab = \"side\" }\n";
    let (_, found) = own::solve(own, "3 mm", "laser").unwrap();
    assert!(found.iter().all(|f| f.code != "measured-points"));
    let keys = "given = { side = \"440 mm\" }\n";
    let found = own::solve_with(own, "3 mm", "laser", keys).expect_err("a side is far too long");
    let job = Sources::default().add("", "");
    let of = found.iter().find(|f| f.code == "measured-points").expect("it is found");
    assert!(of.marks.iter().any(|mark| mark.span.source == job), "{}", of.headline);
}

/// Uses of uses are limited as a whole: each of these uses the next twice.
#[test]
fn no_number_of_uses_takes_long() {
    let text = |i: usize| {
        let of = format!("like = \"r{}.plate\"\n", i + 1);
        format!("about = \"x\"\n[face.plate]\n{of}[face.other]\npieces = 1\n{of}")
    };
    let texts: Vec<(String, String)> = (0..40).map(|i| (format!("r{i}"), text(i))).collect();
    let texts: Vec<(&str, &str)> = texts.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
    let (read, asked) = read_among(&texts, "r0");
    assert!(read.is_err() && asked < 120, "{asked}");
    let holes = "{ like = \"motor-plate.plate.motor\" },".repeat(20_000);
    let own = format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"disc\", radius = \"90 mm\" }} ]\nholes = [ {holes} ]\n"
    );
    let stopped = own::stopped(&own);
    assert_eq!(stopped.iter().filter(|(code, _)| *code == "too-many").count(), 1, "{stopped:?}");
    let huge = like("b.plate") + &"# ".repeat(1 << 20);
    let (read, asked) =
        read_among(&[("a", &like("huge.plate")), ("huge", &huge), ("b", &like("c.plate"))], "a");
    assert!(read.is_err_and(|found| found[0].code == "too-many"));
    assert_eq!(asked, 2);
}

/// The depth of recipes that each use the next one is limited: each is read on the stack of the one
/// that uses it.
#[test]
fn recipes_use_one_another_ten_deep_and_no_deeper() {
    let text = |i: usize| match i {
        0..30 => like(&format!("r{}.plate", i + 1)),
        _ => "about = \"x\"\n[face.plate]\nblank = [ { add = \"disc\", radius = \"9 mm\" } ]\n"
            .to_owned(),
    };
    let texts: Vec<(String, String)> = (0..=30).map(|i| (format!("r{i}"), text(i))).collect();
    let texts: Vec<(&str, &str)> = texts.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
    assert!(read_among(&texts, "r20").0.is_ok());
    for first in ["r0", "r19"] {
        let found = read_among(&texts, first).0.expect_err("too many are one in the other");
        assert_eq!(found[0].code, "too-many", "{found:?}");
        assert!(found[0].headline.contains("each of which uses the next"), "{found:?}");
    }
}

/// A doubler of 10 mm on a plate of 6 mm, and the other way round: the leg is that of the thinner.
#[test]
fn a_doubler_is_welded_by_the_thinner_plate() {
    for (plate, doubler) in [("thin", "thick"), ("thick", "thin")] {
        let job = format!(
            "process = \"laser\"\n[[sheet]]\nname = \"thin\"\nmaterial = \"S235\"\nthickness = \"6 mm\"\nstock = []\n[[sheet]]\nname = \"thick\"\nmaterial = \"S235\"\nthickness = \"10 mm\"\nstock = []\n[[part]]\nrecipe = \"doubler-plate\"\nname = \"own\"\nsheet = \"{plate}\"\nsheets = {{ doubler = \"{doubler}\" }}\n"
        );
        let (_, (solved, _)) = own::asked("", &job, &mut Sources::default()).expect("it is made");
        let face = solved.iter().flat_map(|s| &s.part.faces).find(|face| face.name == "doubler");
        let legs: Vec<_> = face.expect("it has a doubler").welds.iter().map(|w| w.leg).collect();
        // 0.7 × 6 mm, to half a millimetre.
        assert_eq!(legs, [Some(4.0); 4], "{plate}");
    }
}
