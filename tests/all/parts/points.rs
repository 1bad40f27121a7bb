//! Points by measured distances, and the parts placed at them.

use crate::own;
use platewright::diag::Weight;
use platewright::formula::Value;
use platewright::geom::Point;
use platewright::solve::Solved;

fn recipe(points: &str) -> String {
    format!(
        "about = \"x\"\n[points]\n{points}\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"300 mm\", height = \"300 mm\" }} ]\n"
    )
}

fn place(solved: &Solved, name: &str) -> Point {
    match solved.params.get(name) {
        Some(Value::Point([x, y])) => Point::new(*x, *y),
        other => panic!("{name}: {other:?}"),
    }
}

/// Every way to define a point, each compared with the construction by ruler and set square.
#[test]
fn every_rule_puts_its_point_where_the_drawing_has_it() {
    let (solved, found) = own::one(&recipe(
        r#"
A = ["0", "0"]
B = ["50 mm", "0"]
left = { from = { A = "30 mm", B = "40 mm" }, side = "left" }
right = { from = { A = "30 mm", B = "40 mm" }, side = "right" }
polar = { from = { A = "100 mm" }, direction = { A = "-30 deg" } }
above = { from = { A = "50 mm" }, left = { of = ["A", "B"], by = "30 mm" }, near = "B" }
behind = { from = { A = "50 mm" }, left = { of = ["A", "B"], by = "30 mm" }, near = "far" }
far = ["-900 mm", "0"]
aim = { direction = { A = "45 deg", B = "135 deg" } }
inside = { left = [ { of = ["A", "B"], by = "7 mm" }, { of = ["B", "aim"], by = "0" } ] }
on = { along = ["B", "left"], by = "10 mm", left = "5 mm" }
over = { mirror = "left", over = ["A", "aim"] }
touch = { tangent = { from = "A", disc = "B", radius = "30 mm" }, side = "left" }
high = ["0", "900 mm"]
third = { from = { A = "30 mm", B = "40 mm", high = "876.185 mm" } }
"#,
    ));
    assert!(found.is_empty(), "{}", found[0].headline);
    let root = |x: f64| x.sqrt();
    for (name, x, y) in [
        ("left", 18.0, 24.0),
        ("right", 18.0, -24.0),
        ("polar", 100.0 * root(3.0) / 2.0, -50.0),
        ("above", 40.0, 30.0),
        ("behind", -40.0, 30.0),
        ("aim", 25.0, 25.0),
        ("inside", 43.0, 7.0),
        ("on", 50.0 - 8.0 - 0.6 * 5.0, 6.0 - 0.8 * 5.0),
        ("over", 24.0, 18.0),
        // The touch of a line from 50 mm away with a radius of 30 mm is 40 mm along it.
        ("touch", 32.0, 24.0),
    ] {
        let at = place(&solved, name);
        assert!((at - Point::new(x, y)).hypot() < 1e-9, "{name}: {at:?}, not {x}, {y}");
    }
    let third = place(&solved, "third");
    assert!((third - Point::new(18.0, 24.0)).hypot() < 1e-3, "{third:?}");
}

/// A name works as a place at a hole, a corner, a belt, an arc and a mark.
#[test]
fn a_name_stands_wherever_a_place_does() {
    let named = r#"
about = "x"
[points]
A = ["0", "0"]
B = ["120 mm", "0"]
C = { from = { A = "150 mm", B = "90 mm" }, side = "left" }
D = { along = ["A", "C"], by = "75 mm", left = "20 mm" }
middle = { along = ["B", "D"], by = "distance(B, D) / 2" }
[face.plate]
blank = [
  { add = "polygon", corners = ["A", { at = "B", round = "9 mm" }, { at = "C", arc = { through = "D" } }] },
  { add = "belt", round = [ { disc = "14 mm", at = "C" }, { disc = "14 mm", at = ["A.x + 60 mm", "A.y"] } ] },
]
holes = [ { name = "eye", at = "C", diameter = "9 mm" }, { name = "all", each = { p = ["A", "B"] }, at = ["0.5 * p.x + 30 mm", "20 mm"], diameter = "6 mm" } ]
marks = [ { line = ["middle", ["50 mm", "20 mm"]] } ]
"#;
    let typed = named.split("[points]").next().unwrap().to_owned()
        + r#"
[face.plate]
blank = [
  { add = "polygon", corners = [["0", "0"], { at = ["120 mm", "0"], round = "9 mm" }, { at = ["120 mm", "90 mm"], arc = { through = ["48 mm", "61 mm"] } }] },
  { add = "belt", round = [ { disc = "14 mm", at = ["120 mm", "90 mm"] }, { disc = "14 mm", at = ["60 mm", "0"] } ] },
]
holes = [ { name = "eye", at = ["120 mm", "90 mm"], diameter = "9 mm" }, { name = "all", each = { x = ["30 mm", "90 mm"] }, at = ["x", "20 mm"], diameter = "6 mm" } ]
marks = [ { line = [["84 mm", "30.5 mm"], ["50 mm", "20 mm"]] } ]
"#;
    let (named, typed) = (own::one(named).0, own::one(&typed).0);
    let (one, other) = (&named.part.faces[0], &typed.part.faces[0]);
    assert!((one.blank.area() - other.blank.area()).abs() < 1e-6);
    assert_eq!(one.holes.len(), 3);
    for (a, b) in one.holes.iter().zip(&other.holes) {
        assert!((a.at - b.at).hypot() < 1e-9 && a.name == b.name, "{} {:?}", a.name, a.at);
    }
    let ends = |face: &platewright::part::Face| {
        face.marks[0].strokes().concat().iter().map(|e| e.from).collect::<Vec<_>>()
    };
    assert!((ends(one)[0] - ends(other)[0]).hypot() < 1e-9);
}

const FIVE: &str = r#"
A = ["0", "0"]
B = { from = { A = "600 mm" }, direction = { A = "0 deg" } }
C = { from = { A = "721.110 mm", B = "400 mm" }, side = "left" }
D = { from = { A = "583.095 mm", C = "316.228 mm", B = "583.095 mm" } }
E = { from = { A = "316.228 mm", C = "707.107 mm", D = "282.843 mm", B = "761.577 mm" } }
"#;

/// The places behind the measures above: (0, 0), (600, 0), (600, 400), (300, 500), (100, 300)
/// and (−100, 300).
#[test]
fn the_measure_that_is_wrong_is_named_with_its_amount() {
    let good = FIVE.replace(
        "316.228 mm\", C = \"707.107 mm\", D = \"282.843 mm\", B = \"761.577 mm\"",
        "316.228 mm\", C = \"509.902 mm\", D = \"282.843 mm\", B = \"583.095 mm\"",
    );
    assert_ne!(good, FIVE);
    let (solved, found) = own::one(&recipe(&good));
    assert!(found.is_empty(), "{}", found[0].headline);
    let e = place(&solved, "E");
    assert!((e - Point::new(100.0, 300.0)).hypot() < 1e-2, "{e:?}");
    // One measure after the other is read wrong by 3 and by 60 mm.
    for (measure, what) in [
        ("C = \"316.228 mm\"", "C to D"),
        ("C = \"509.902 mm\"", "C to E"),
        ("B = \"583.095 mm\" } }\nE", "B to D"),
        ("D = \"282.843 mm\"", "D to E"),
    ] {
        for (slip, weight) in [(3.0, Weight::Caution), (60.0, Weight::Stop)] {
            let from = measure.find('"').unwrap() + 1;
            let to = measure.find(" mm").unwrap();
            let was: f64 = measure[from..to].parse().unwrap();
            let wrong = format!("{}{}{}", &measure[..from], was + slip, &measure[to..]);
            let own = recipe(&good.replace(measure, &wrong));
            let found = match own::solve(&own, "3 mm", "waterjet") {
                Ok((_, found)) | Err(found) => found,
            };
            assert_eq!(found.len(), 1, "{what}");
            assert_eq!((found[0].code, found[0].weight), ("measured-points", weight), "{what}");
            let headline = &found[0].headline;
            assert!(headline.starts_with(what), "{headline}");
            let said = headline.rsplit(": ").next().unwrap();
            let amount: f64 = said.split(" mm").next().unwrap().parse().unwrap();
            assert!(said.ends_with("too long"), "{headline}");
            assert!((amount - slip).abs() < 0.05 * slip, "{headline}");
        }
    }
}

/// The quadrilateral by its sides and a diagonal, worked out by formulas, and by its points.
#[test]
fn a_quadrilateral_by_tape_is_that_of_its_formulas() {
    let formulas = r#"
about = "x"
[derived]
cx = "(412 mm * 412 mm + 486 mm * 486 mm - 287 mm * 287 mm) / (2 * 412 mm)"
cy = "sqrt(486 mm * 486 mm - cx * cx)"
e = "(255 mm * 255 mm + 486 mm * 486 mm - 371 mm * 371 mm) / (2 * 486 mm)"
h = "sqrt(255 mm * 255 mm - e * e)"
[face.plate]
blank = [ { add = "polygon", corners = [["0", "0"], ["412 mm", "0"], ["cx", "cy"], ["(e * cx - h * cy) / 486 mm", "(e * cy + h * cx) / 486 mm"]] } ]
"#;
    let points = r#"
about = "x"
[points]
A = ["0", "0"]
B = ["412 mm", "0"]
C = { from = { A = "486 mm", B = "287 mm" }, side = "left" }
D = { from = { A = "255 mm", C = "371 mm" }, side = "left" }
[facts]
bd = { value = "distance(B, D)", about = "the other diagonal" }
turn = { value = "direction(A, C)", about = "of the first diagonal" }
[face.plate]
blank = [ { add = "polygon", corners = ["A", "B", "C", "D"] } ]
"#;
    let (one, other) = (own::one(formulas).0, own::one(points).0);
    let area = |solved: &Solved| solved.part.faces[0].blank.area();
    assert!((area(&one) - area(&other)).abs() < 1e-6, "{} {}", area(&one), area(&other));
    // A third measure of D that agrees moves nothing.
    let bd = place(&other, "D") - place(&other, "B");
    let third = points
        .replace("C = \"371 mm\" }", &format!("C = \"371 mm\", B = \"{} mm\" }}", bd.hypot()));
    assert_ne!(third, points);
    let third = own::one(&third).0;
    assert!((place(&third, "D") - place(&other, "D")).hypot() < 1e-6);
}

/// A face sees the points of a list in space as it sees those with names.
#[test]
fn points_in_space_are_seen_in_lists() {
    let own = r#"
about = "x"
[points]
P = ["10 mm", "20 mm", "0"]
Q = ["30 mm", "-20 mm", "0"]
[derived]
all = "[P, Q]"
[face.plate]
on = { origin = ["0", "0", "0"], x = ["1 mm", "0", "0"], side = ["0", "1 mm", "0"] }
blank = [ { add = "rectangle", width = "100 mm", height = "80 mm" } ]
holes = [ { name = "h", each = { p = "all" }, at = "p", diameter = "6 mm" } ]
"#;
    let (solved, _) = own::one(own);
    let at: Vec<[f64; 2]> =
        solved.part.faces[0].holes.iter().map(|hole| [hole.at.x, hole.at.y]).collect();
    assert_eq!(at, [[10.0, 20.0], [30.0, -20.0]]);
    let off = own.replace("\"-20 mm\", \"0\"", "\"-20 mm\", \"9 mm\"");
    let (_, headline) = &own::stopped(&off)[0];
    assert_eq!(headline, "`all[2]` is 9 mm above the sheet of this face");
}

/// The place of a point in space.
fn in_space(solved: &Solved, name: &str) -> [f64; 3] {
    match solved.params.get(name) {
        Some(Value::Space(point)) => point.at,
        other => panic!("{name}: {other:?}"),
    }
}

const KNOWN: &str = r#"
A = ["0", "0", "0"]
B = ["300 mm", "0", "0"]
C = ["0", "400 mm", "0"]
D = ["0", "0", "500 mm"]
"#;

/// A point 120 mm, 160 mm and 90 mm along the three edges of a box, by distances that a hand
/// calculator gives, above and below the plane of three points, and by a fourth distance.
#[test]
fn a_point_in_space_is_where_its_distances_meet() {
    // Squares: 120² + 160² + 90² = 48 100; 180² + 160² + 90² = 66 100; 120² + 240² + 90² = 80 100;
    // 120² + 160² + 410² = 208 100.
    let [a, b, c, d] = [48_100.0_f64, 66_100.0, 80_100.0, 208_100.0].map(f64::sqrt);
    // From the first of them to 150, 100, 200: 30² + 60² + 110²; from A and B 150² + 100² + 200².
    let [e, f] = [16_600.0_f64, 72_500.0].map(f64::sqrt);
    let (solved, found) = own::one(&recipe(&format!(
        r#"{KNOWN}
high = {{ from = {{ A = "{a} mm", B = "{b} mm", C = "{c} mm" }}, side = "above" }}
low = {{ from = {{ A = "{a} mm", B = "{b} mm", C = "{c} mm" }}, side = "below" }}
near = {{ from = {{ A = "{a} mm", B = "{b} mm", C = "{c} mm" }}, near = "D" }}
four = {{ from = {{ A = "{a} mm", B = "{b} mm", C = "{c} mm", D = "{d} mm" }} }}
chain = {{ from = {{ high = "{e} mm", A = "{f} mm", B = "{f} mm" }}, side = "above" }}
"#
    )));
    assert!(found.is_empty(), "{}", found[0].headline);
    for (name, at) in [
        ("high", [120.0, 160.0, 90.0]),
        ("low", [120.0, 160.0, -90.0]),
        ("near", [120.0, 160.0, 90.0]),
        ("four", [120.0, 160.0, 90.0]),
        ("chain", [150.0, 100.0, 200.0]),
    ] {
        let is = in_space(&solved, name);
        assert!((0..3).all(|i| (is[i] - at[i]).abs() < 1e-9), "{name}: {is:?}");
    }
}

/// From three points in one upright plane: the two places are mirrored in it, 120, ±160, 90, and
/// neither is above the other, nor nearer to a point of that plane.
#[test]
fn two_places_that_a_choice_does_not_part_have_a_help_that_does() {
    let [a, b, d] = [48_100.0_f64, 66_100.0, 208_100.0].map(f64::sqrt);
    for (choice, words) in [
        (
            "side = \"above\"",
            "both are equally high: give `near`, or measure it from a fourth point",
        ),
        ("near = \"A\"", "both are equally near to it: give `side`, or name another point"),
    ] {
        let text = recipe(&format!(
            "{KNOWN}\nP = {{ from = {{ A = \"{a} mm\", B = \"{b} mm\", D = \"{d} mm\" }}, {choice} }}\n"
        ));
        let found = own::solve(&text, "3 mm", "waterjet").expect_err("it stops");
        let help = found[0].help.as_deref().unwrap_or_default();
        assert!(help.starts_with(words), "{choice}: {help}");
    }
}

/// One of five distances is read 12 mm too long: it is named, and stops the part.
#[test]
fn the_worst_of_spare_distances_in_space_is_named() {
    let [a, b, c, d] = [48_100.0_f64, 66_100.0, 80_100.0, 208_100.0].map(f64::sqrt);
    let e = (180.0_f64.powi(2) + 240.0_f64.powi(2) + 90.0_f64.powi(2)).sqrt() + 12.0;
    let text = recipe(&format!(
        r#"{KNOWN}E = ["300 mm", "400 mm", "0"]
P = {{ from = {{ A = "{a} mm", B = "{b} mm", C = "{c} mm", D = "{d} mm", E = "{e} mm" }} }}
"#
    ));
    let found = own::solve(&text, "3 mm", "waterjet").expect_err("it stops");
    let worst = found.iter().find(|f| f.code == "measured-points").expect("it is found");
    assert_eq!(worst.weight, Weight::Stop);
    assert!(worst.headline.starts_with("E to P"), "{}", worst.headline);
    assert!(worst.headline.contains(": 12.0"), "{}", worst.headline);
    assert!(worst.headline.ends_with("mm too long"), "{}", worst.headline);
}

/// A tube through measured points, and a face on three of them.
#[test]
fn tubes_and_faces_stand_on_measured_points() {
    let measured = r#"
about = "x"
[points]
A = ["0", "0", "0"]
B = ["300 mm", "0", "0"]
C = ["0", "400 mm", "0"]
low = { from = { A = "130 mm", B = "330 mm", C = "330 mm" }, side = "below" }
high = { from = { A = "500 mm", B = "600 mm", C = "640 mm" }, side = "above" }
[tube.post]
from = "low"
to = "high"
outside = "38 mm"
[face.plate]
on = { origin = "A", x = "B", side = "C" }
blank = [ { add = "rectangle", width = "600 mm", height = "600 mm" }, { cut = "tube", tube = "post", edge = "cope" } ]
"#;
    let (solved, found) = own::one(measured);
    let [low, high] = ["low", "high"].map(|name| in_space(&solved, name));
    let typed = |p: [f64; 3]| format!("[\"{} mm\", \"{} mm\", \"{} mm\"]", p[0], p[1], p[2]);
    let same = measured.replace("\"low\"", &typed(low)).replace("\"high\"", &typed(high));
    let (other, _) = own::one(&same);
    let [one, two] = [&solved, &other].map(|of| &of.part.faces[0].blank);
    assert!(found.iter().all(|f| f.weight != Weight::Stop));
    assert_eq!(one.holes().len() + one.outer().vertices().len(), 5, "the tube is cut out");
    assert!((one.area() - two.area()).abs() < 1e-6);
}
