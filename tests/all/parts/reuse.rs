//! Faces like others, hands that differ, plates by a count.

use crate::own;
use platewright::geom::Point;
use platewright::solve::Solved;

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
    assert!((foot.welds[0].length - ear.welds[0].length).abs() < 1e-9);
    assert!(foot.welds[0].length > 70.0);
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
