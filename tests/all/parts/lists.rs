//! Lists of measures, and entries that are repeated over them.

use crate::own;
use platewright::geom::Point;

/// Lugs at mixed pitches, one entry for each and no list.
const LONGHAND: &str = r#"
about = "x"
[derived]
a = "20 mm"
b = "a + 24 mm"
c = "b + 40 mm"
[face.plate]
blank = [
  { add = "rectangle", width = "c + 16 mm", height = "12 mm", at = ["c / 2", "6 mm"] },
  { add = "rectangle", width = "16 mm", height = "20 mm", at = ["0", "10 mm"] }, { add = "disc", radius = "8 mm", at = ["0", "20 mm"] },
  { add = "rectangle", width = "16 mm", height = "20 mm", at = ["a", "10 mm"] }, { add = "disc", radius = "8 mm", at = ["a", "20 mm"] },
  { add = "rectangle", width = "16 mm", height = "20 mm", at = ["b", "10 mm"] }, { add = "disc", radius = "8 mm", at = ["b", "20 mm"] },
  { add = "rectangle", width = "16 mm", height = "20 mm", at = ["c", "10 mm"] }, { add = "disc", radius = "8 mm", at = ["c", "20 mm"] },
  { fill = "0.8 mm" },
]
holes = [
  { name = "h0", at = ["0", "20 mm"], diameter = "6.6 mm" },
  { name = "h1", at = ["a", "20 mm"], diameter = "6.6 mm" },
  { name = "h2", at = ["b", "20 mm"], diameter = "6.6 mm" },
  { name = "h3", at = ["c", "20 mm"], diameter = "6.6 mm" },
]
"#;

const LISTED: &str = r#"
about = "x"
[inputs]
pitches = { kind = "lengths", default = ["20 mm", "24 mm", "40 mm"], about = "from lug to lug" }
[face.plate]
blank = [
  { add = "rectangle", width = "sum(pitches) + 16 mm", height = "12 mm", at = ["sum(pitches) / 2", "6 mm"] },
  { add = "rectangle", each = { x = "running(pitches)" }, width = "16 mm", height = "20 mm", at = ["x", "10 mm"] },
  { add = "disc", each = { x = "running(pitches)" }, radius = "8 mm", at = ["x", "20 mm"] },
  { fill = "0.8 mm" },
]
holes = [ { name = "lug", each = { x = "running(pitches)" }, at = ["x", "20 mm"], diameter = "6.6 mm" } ]
"#;

#[test]
fn a_repeated_entry_is_what_its_members_are_one_by_one() {
    let (one, _) = own::one(LONGHAND);
    let (other, _) = own::one(LISTED);
    let (one, other) = (&one.part.faces[0], &other.part.faces[0]);
    assert!((one.blank.area() - other.blank.area()).abs() < 1e-9);
    let places =
        |face: &platewright::part::Face| face.holes.iter().map(|h| h.at).collect::<Vec<_>>();
    assert_eq!(places(one), places(other));
    let names: Vec<&str> = other.holes.iter().map(|hole| hole.name.as_str()).collect();
    assert_eq!(names, ["lug 1", "lug 2", "lug 3", "lug 4"]);
}

/// Lists side by side, members left out, patterns in a member: the numbers run on.
#[test]
fn members_are_numbered_on_and_keep_their_numbers() {
    let own = r#"
about = "x"
[face.plate]
blank = [ { add = "rectangle", width = "300 mm", height = "90 mm", at = ["150 mm", "0"] } ]
holes = [
  { name = "pair", each = { x = ["40 mm", "120 mm", "200 mm"], n = [2, 3, 1] }, at = ["x", "20 mm"], diameter = "2 mm + number * 1 mm", row = { count = "n", pitch = "12 mm" } },
  { name = "odd", each = { n = "numbers(5)" }, at = ["n * 50 mm", "-20 mm"], diameter = "4 mm", when = "n != 2 and n != 4" },
]
"#;
    let (solved, _) = own::one(own);
    let face = &solved.part.faces[0];
    let shown: Vec<(&str, f64, f64)> =
        face.holes.iter().map(|h| (h.name.as_str(), h.at.x, h.outline.bounds().width())).collect();
    let wanted = [
        ("pair 1", 34.0, 3.0),
        ("pair 2", 46.0, 3.0),
        ("pair 3", 108.0, 4.0),
        ("pair 4", 120.0, 4.0),
        ("pair 5", 132.0, 4.0),
        ("pair 6", 200.0, 5.0),
        ("odd 1", 50.0, 4.0),
        ("odd 3", 150.0, 4.0),
        ("odd 5", 250.0, 4.0),
    ];
    assert_eq!(shown.len(), wanted.len());
    for (is, wanted) in shown.iter().zip(wanted) {
        assert_eq!(is.0, wanted.0);
        assert!((is.1 - wanted.1).abs() < 1e-9 && (is.2 - wanted.2).abs() < 1e-9, "{is:?}");
    }
}

/// Each member names its edge: welds and holes are along it, tongues are on it.
#[test]
fn the_edges_of_members_have_their_numbers() {
    let own = r#"
about = "x"
[derived]
xs = ["40 mm", "100 mm", "175 mm"]
[face.comb]
blank = [
  { add = "rectangle", width = "220 mm", height = "30 mm", at = ["110 mm", "15 mm"] },
  { add = "polygon", each = { x = "xs", w = ["10 mm", "15 mm", "20 mm"] }, corners = [["x - w", "30 mm"], ["x + w", "30 mm"], { at = ["x + w", "60 mm"], edge = "top {number}" }, ["x - w", "60 mm"]] },
]
holes = [ { name = "pin", each = { x = "xs" }, diameter = "4 mm", along = { edge = "top {number}", count = "1", inset = "15 mm", ends = "5 mm" } } ]
weld = [ { each = { n = "numbers(3)" }, edge = "top {n}", leg = "3 mm" } ]
"#;
    let stopped = own::stopped(own);
    assert!(stopped[0].1.contains("has no edge `top {n}`"), "{stopped:?}");
    let own = own.replace("\"top {n}\"", "\"top {number}\"");
    let (solved, _) = own::one(&own);
    let face = &solved.part.faces[0];
    for (i, (x, wide)) in [(40.0, 20.0), (100.0, 30.0), (175.0, 40.0)].into_iter().enumerate() {
        assert!((face.holes[i].at - Point::new(x, 45.0)).hypot() < 1e-9, "{:?}", face.holes[i].at);
        assert_eq!(face.welds[i].edge, format!("top {}", i + 1));
        assert!((face.welds[i].edge_length() - wide).abs() < 1e-9);
    }
    let bare = own.split("holes =").next().unwrap();
    let tongue = "  { add = \"tongue\", each = { wide = [\"8 mm\", \"12 mm\", \"16 mm\"] }, edge = \"top {number}\", count = \"1\", width = \"wide\", depth = \"5 mm\", relief = \"0.6 mm\" },\n";
    let tongued = bare.replace("]] },\n]", &format!("]] }},\n{tongue}]"));
    let area = |own: &str| own::one(own).0.part.faces[0].blank.area();
    // Six half rounds of 0.6 mm free the corners beside the roots.
    let wanted = (8.0 + 12.0 + 16.0) * 5.0 - 3.0 * platewright::num::PI * 0.36;
    let more = area(&tongued) - area(bare);
    assert!((more - wanted).abs() < 1e-6, "{more}, not {wanted}");
}

#[test]
fn a_list_from_a_job_and_from_a_cell_is_the_same() {
    let array = LISTED
        .replace("default = [\"20 mm\", \"24 mm\", \"40 mm\"]", "default = \"20 mm; 24 mm;40 mm\"");
    assert_ne!(array, LISTED);
    let (one, _) = own::one(LISTED);
    let (other, _) = own::one(&array);
    assert_eq!(one.part.faces[0].blank, other.part.faces[0].blank);
}
