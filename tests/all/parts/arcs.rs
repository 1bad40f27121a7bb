//! Arcs between the corners of a polygon, slots along arcs, and slots along a circle.

use crate::own;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::num::PI;
use platewright::part::HoleSize;

/// A rectangle of 300 × 120 mm, hollow below by 25 mm and bowed above by 40 mm.
const COVER: &str = r#"
about = "x"
[face.plate]
blank = [ { add = "polygon", corners = [
  { at = ["0", "0"], arc = { height = "-25 mm" }, edge = "foot" },
  ["300 mm", "0"],
  { at = ["300 mm", "120 mm"], arc = { height = "40 mm" }, edge = "top" },
  ["0", "120 mm"],
] } ]
holes = [ { name = "screw", diameter = "6.6 mm", along = { edge = "top", count = "5", inset = "14 mm", ends = "20 mm" } } ]
weld  = [ { edge = "foot", leg = "3 mm" } ]
"#;

/// Radius and half the angle of an arc by chord and height: R = (c²/4 + h²) / 2h.
fn arc(chord: f64, height: f64) -> (f64, f64) {
    let radius = (chord * chord / 4.0 + height * height) / (2.0 * height);
    (radius, Angle::of(radius - height, chord / 2.0).radians())
}

/// Area of the segment of a circle, R² (φ − sin φ cos φ).
fn segment(chord: f64, height: f64) -> f64 {
    let (radius, half) = arc(chord, height);
    radius * radius * half - (radius - height) * chord / 2.0
}

#[test]
fn a_cover_by_chord_and_height_has_its_area_its_seam_and_its_holes() {
    let (solved, _) = own::one(COVER);
    let area = solved.part.faces[0].blank.area();
    let wanted = 300.0 * 120.0 + segment(300.0, 40.0) - segment(300.0, 25.0);
    assert!((area - wanted).abs() < 1e-6, "{area}, not {wanted}");
    let face = &solved.part.faces[0];
    let (radius, half) = arc(300.0, 25.0);
    assert!(
        (face.welds[0].edge_length() - 2.0 * radius * half).abs() < 1e-6,
        "{}",
        face.welds[0].edge_length()
    );
    // Holes 14 mm inside the upper arc, 20 mm of arc from its ends, evenly along it.
    let (radius, half) = arc(300.0, 40.0);
    let centre = Point::new(150.0, 160.0 - radius);
    let first = half - 20.0 / radius;
    for (i, hole) in face.holes.iter().enumerate() {
        let angle = Angle::from_degrees((first - i as f64 * first / 2.0) * 180.0 / PI);
        let wanted =
            centre + platewright::geom::Vec2::new(angle.sin(), angle.cos()) * (radius - 14.0);
        assert!((hole.at - wanted).hypot() < 1e-6, "{}: {:?}, not {wanted:?}", hole.name, hole.at);
    }
    assert_eq!(face.holes.len(), 5);
}

/// The rest of a named arc after a cut keeps the name; a hand is its mirror image.
#[test]
fn an_arc_keeps_its_name_where_it_is_cut_and_in_the_mirror() {
    let cut = "] },\n  { cut = \"polygon\", corners = [[\"120 mm\", \"-9 mm\"], [\"180 mm\", \"-9 mm\"], [\"180 mm\", \"40 mm\"], [\"120 mm\", \"40 mm\"]] },\n]";
    let own = COVER.replace("] } ]\nholes", &format!("{cut}\nholes"));
    let own = own.replacen("about", "mirror = true\nabout", 1);
    let own = own.replace(
        "weld  =",
        "marks = [ { text = \"X\", at = [\"150 mm\", \"90 mm\"], height = \"5 mm\" } ]\nweld  =",
    );
    let (solved, _) = own::solve(&own, "3 mm", "waterjet").unwrap();
    let seams = solved.iter().map(|s| &s.part.faces[0].welds[0]).collect::<Vec<_>>();
    let (radius, half) = arc(300.0, 25.0);
    let wanted =
        2.0 * radius * (half - Angle::of((radius * radius - 900.0).sqrt(), 30.0).radians());
    assert_eq!(seams.len(), 2);
    for seam in seams {
        assert_eq!(seam.stretches.len(), 2);
        assert!((seam.edge_length() - wanted).abs() < 1e-6, "{} not {wanted}", seam.edge_length());
    }
    let holes = |i: usize| &solved[i].part.faces[0].holes;
    for (right, left) in holes(0).iter().zip(holes(1)) {
        assert!((right.at.x + left.at.x).abs() < 1e-9 && (right.at.y - left.at.y).abs() < 1e-9);
    }
}

/// An outline has no arc of more than half a circle, an edge may: it is one edge all the same.
#[test]
fn an_arc_of_more_than_half_a_circle_is_one_edge() {
    let own = COVER.replace("height = \"40 mm\"", "height = \"220 mm\"");
    let (solved, _) = own::one(&own);
    let face = &solved.part.faces[0];
    let (radius, half) = arc(300.0, 220.0);
    assert_eq!((face.arcs.len(), face.holes.len()), (2, 5));
    let top = face.arcs.iter().find(|arc| arc.name == "top").unwrap();
    assert!((top.edge.length() - 2.0 * radius * half).abs() < 1e-6, "{}", top.edge.length());
    let middle = Point::new(150.0, 120.0 + 220.0 - 14.0);
    assert!((face.holes[2].at - middle).hypot() < 1e-6, "{:?}", face.holes[2].at);
}

fn plate(hole: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"disc\", radius = \"90 mm\" }} ]\nholes = [ {{ name = \"slot\", {hole} }} ]\n"
    )
}

/// Area of a slot along an arc: R · sweep · width + π width² / 4, whatever the sweep.
#[test]
fn a_slot_along_an_arc_has_its_area_and_its_place() {
    for (radius, from, to, width) in [
        (45.0, 20.0, 160.0, 9.0),
        (60.0, -40.0, 25.0, 11.0),
        (30.0, 10.0, 300.0, 6.6),
        (5.0, 0.0, 90.0, 9.9),
    ] {
        let (solved, _) = own::one(&plate(&format!(
            "at = [\"4 mm\", \"-3 mm\"], diameter = \"{width} mm\", arc = {{ radius = \"{radius} mm\", from = \"{from} deg\", to = \"{to} deg\" }}"
        )));
        let hole = &solved.part.faces[0].holes[0];
        assert_eq!(hole.size, HoleSize::ArcSlot { width, radius, sweep: to - from });
        let sweep = Angle::from_degrees(to - from).radians();
        let wanted = radius * sweep * width + PI * width * width / 4.0;
        assert!(
            (hole.outline.area() - wanted).abs() < 1e-6,
            "{} not {wanted}",
            hole.outline.area()
        );
        let middle = Angle::from_degrees((from + to) / 2.0);
        let at = Point::new(4.0 + radius * middle.cos(), -3.0 + radius * middle.sin());
        assert!((hole.at - at).hypot() < 1e-9, "{:?} not {at:?}", hole.at);
        for end in [from, to] {
            let end = Angle::from_degrees(end);
            let tip = Point::new(4.0 + radius * end.cos(), -3.0 + radius * end.sin());
            assert!((hole.outline.distance(tip) - width / 2.0).abs() < 1e-9, "{end:?}");
        }
    }
}

#[test]
fn slots_on_a_circle_point_to_its_centre_or_lie_along_it() {
    let extents = |tangential: &str| {
        let (solved, _) = own::one(&plate(&format!(
            "diameter = \"6 mm\", slot = \"16 mm\", circle = {{ count = \"4\", diameter = \"100 mm\"{tangential} }}"
        )));
        let bounds = solved.part.faces[0].holes[0].outline.bounds();
        (bounds.width(), bounds.height())
    };
    let near =
        |(a, b): (f64, f64), (c, d): (f64, f64)| (a - c).abs() < 1e-9 && (b - d).abs() < 1e-9;
    assert!(near(extents(""), (16.0, 6.0)), "{:?}", extents(""));
    assert!(near(extents(", tangential = true"), (6.0, 16.0)));
}

/// Part of a bolt circle: each hole at an angle in degrees from the one before, in the direction of
/// the pitch.
#[test]
fn holes_on_a_part_of_a_circle_have_the_pitch_that_is_said() {
    for pitch in [10.0, -25.0] {
        let (solved, _) = own::one(&plate(&format!(
            "diameter = \"6 mm\", circle = {{ count = \"5\", diameter = \"120 mm\", start = \"70 deg\", pitch = \"{pitch} deg\" }}"
        )));
        let holes = &solved.part.faces[0].holes;
        assert_eq!(holes.len(), 5);
        for (i, hole) in holes.iter().enumerate() {
            let angle = Angle::from_degrees(70.0 + pitch * i as f64);
            let at = Point::new(60.0 * angle.cos(), 60.0 * angle.sin());
            assert!((hole.at - at).hypot() < 1e-9, "{i}: {:?}", hole.at);
        }
    }
    let all_round = plate(
        "diameter = \"6 mm\", circle = { count = \"5\", diameter = \"120 mm\", pitch = \"90 deg\" }",
    );
    assert_eq!(own::stopped(&all_round)[0].0, "hole-outside", "the fifth is on the first");
}

/// The checks know a slot along an arc: too narrow for the process, and too near a bend by
/// its length along the arc (FAA: three thicknesses and the radius from 2 in on).
#[test]
fn slots_along_arcs_are_checked_like_slots() {
    let narrow = own::stopped(&plate(
        "diameter = \"0.3 mm\", arc = { radius = \"40 mm\", from = \"0 deg\", to = \"40 deg\" }",
    ));
    assert!(narrow.iter().any(|(code, _)| *code == "hole-size"), "{narrow:?}");
    let bracket = |away: f64| {
        format!(
            r#"
about = "x"
[face.base]
blank = [ {{ add = "rectangle", width = "160 mm", height = "80 mm", at = ["0", "-40 mm"] }} ]
holes = [ {{ name = "slot", at = ["0", "-{} mm"], diameter = "8 mm", arc = {{ radius = "30 mm", from = "30 deg", to = "150 deg" }} }} ]
[face.leg]
blank = [ {{ add = "rectangle", width = "160 mm", height = "40 mm", at = ["0", "20 mm"] }} ]
[bend.heel]
on = "base.top"
to = "leg"
angle = "90 deg"
radius = "3 mm"
"#,
            away + 34.0
        )
    };
    // 3 · 3 + 3 mm from the outer edge of the slot to the inside of the bend, which lies a
    // thickness and less than a radius behind the mould line.
    let near = own::stopped(&bracket(3.0 + 11.5));
    assert!(near.iter().any(|(code, _)| *code == "hole-bend"), "{near:?}");
    assert!(own::solve(&bracket(3.0 + 12.5), "3 mm", "waterjet").is_ok());
}

/// Those left over keep their numbers and places.
#[test]
fn members_of_a_pattern_are_left_out_by_number() {
    let names = |without: &str| {
        let (solved, _) = own::one(&plate(&format!(
            "diameter = \"5 mm\", grid = {{ columns = \"3\", rows = \"2\", pitch = [\"20 mm\", \"16 mm\"] }}{without}"
        )));
        let holes = solved.part.faces[0].holes.iter();
        holes.map(|h| (h.name.clone(), (h.at.x, h.at.y))).collect::<Vec<_>>()
    };
    let all = names("");
    let left = names(", without = [2, \"2 + 3\"]");
    assert_eq!(left, [&all[..1], &all[2..4], &all[5..]].concat());
    assert_eq!(left[1], ("slot 3".to_owned(), (20.0, -8.0)));
}

#[test]
fn pi_needs_no_declaration() {
    let own = COVER.replace("\"-25 mm\"", "\"-25 mm * pi / 3\"");
    let (solved, _) = own::one(&own);
    let wanted = 300.0 * 120.0 + segment(300.0, 40.0) - segment(300.0, 25.0 * PI / 3.0);
    assert!((solved.part.faces[0].blank.area() - wanted).abs() < 1e-6);
}
