//! Lightening openings: the cut-outs, and the walls left.

use super::strength::governing;
use super::strength::verdict;
use crate::own;
use platewright::geom::Outline;
use platewright::geom::edge_distance;
use platewright::num::PI;
use platewright::solve::Solved;

/// A bar with an eye that is pulled, solid, lightened, and with the same opening drawn.
pub(super) const RECIPES: &[(&str, &str)] = &[("bar", BAR)];

const BAR: &str = r#"
about = "Bar on a seam, with an eye"
[inputs]
opening = { kind = "choice", of = ["none", "lightened", "drawn"], default = "none", about = "x" }
[face.plate]
blank = [
  { add = "polygon", corners = [ { at = ["-30 mm", "0"], edge = "foot" }, ["30 mm", "0"], ["30 mm", "160 mm"], ["-30 mm", "160 mm"] ] },
  { cut = "rectangle", width = "44 mm", height = "80 mm", corner = "6 mm", at = ["0", "60 mm"], when = "opening == 'drawn'" },
]
holes   = [ { name = "eye", at = ["0 mm", "132 mm"], diameter = "16.5 mm", role = "eye" } ]
lighten = [ { wall = "8 mm", round = "6 mm", within = "rectangle", width = "60 mm", height = "80 mm", at = ["0", "60 mm"], when = "opening == 'lightened'" } ]
weld    = [ { edge = "foot", leg = "6 mm" } ]
"#;

fn plate(rest: &str) -> String {
    format!("about = \"x\"\n[face.plate]\n{rest}\n")
}

const WIDE: &str = "blank = [ { add = \"rectangle\", width = \"120 mm\", height = \"80 mm\" } ]";

/// Exact distance of two outlines that do not meet, mm.
fn distance(a: &Outline, b: &Outline) -> f64 {
    let pairs = a.edges().flat_map(|e| b.edges().map(move |f| edge_distance(&e, &f)));
    pairs.fold(f64::INFINITY, f64::min)
}

fn near(is: f64, wanted: f64) {
    assert!((is - wanted).abs() < 1e-6, "{is}, wanted {wanted}");
}

fn clear(own: &str) -> Solved {
    let (solved, found) = own::one(own);
    assert!(found.is_empty(), "{found:?}");
    solved
}

#[test]
fn a_plate_keeps_its_wall_and_its_corners_are_true_arcs() {
    let solved =
        clear(&plate(&format!("{WIDE}\nlighten = [ {{ wall = \"10 mm\", round = \"6 mm\" }} ]")));
    let [opening] = solved.flat.gaps() else { panic!("{:?}", solved.flat.gaps()) };
    near(opening.area(), 100.0 * 60.0 - (4.0 - PI) * 36.0);
    let arcs: Vec<f64> = opening.edges().filter_map(|e| e.arc()).map(|arc| arc.radius).collect();
    assert_eq!((arcs.len(), opening.edges().count()), (4, 8));
    arcs.into_iter().for_each(|radius| near(radius, 6.0));
    near(distance(opening, solved.flat.region.outer()), 10.0);
}

/// From a drilled hole the wall is that of its finished size, from a rib half of its width.
#[test]
fn the_wall_is_that_of_the_finished_hole_and_ribs_are_as_wide_as_they_say() {
    let own = plate(&format!(
        "{WIDE}\nholes = [ {{ name = \"a\", at = [\"45 mm\", \"0\"], diameter = \"16 mm\", made = \"drill\", pilot = \"12 mm\" }} ]\n\
         lighten = [ {{ wall = \"8 mm\", round = \"5 mm\", ribs = [ {{ from = [\"0\", \"0\"], to = [\"60 mm\", \"0\"], width = \"5 mm\" }}, {{ from = [\"-10 mm\", \"-40 mm\"], to = [\"-10 mm\", \"40 mm\"] }} ] }} ]"
    ));
    let solved = clear(&own);
    let gaps = solved.flat.gaps();
    assert_eq!(gaps.len(), 3, "{gaps:?}");
    let hole = &solved.flat.holes[0].outline;
    let nearest = gaps.iter().map(|gap| distance(gap, hole)).fold(f64::INFINITY, f64::min);
    near(nearest, 8.0 + 2.0);
    near(distance(&gaps[0], &gaps[1]), 8.0);
    near(distance(&gaps[1], &gaps[2]), 5.0);
    gaps.iter().for_each(|gap| near(distance(gap, solved.flat.region.outer()), 8.0));
}

/// Between two bores there is a neck of 10 mm, too narrow for a disc of 8 mm: two openings that
/// would meet there in a cusp are parted by a wall, half way.
#[test]
fn openings_that_would_meet_at_a_neck_are_parted_by_a_wall() {
    let own = plate(
        "blank = [ { add = \"rectangle\", width = \"160 mm\", height = \"66 mm\" } ]\n\
         holes = [ { name = \"a\", at = [\"0\", \"18 mm\"], diameter = \"16 mm\" }, { name = \"b\", at = [\"0\", \"-18 mm\"], diameter = \"16 mm\" } ]\n\
         lighten = [ { wall = \"6 mm\", round = \"5 mm\" } ]",
    );
    let solved = clear(&own);
    let [first, second] = solved.flat.gaps() else { panic!("{:?}", solved.flat.gaps()) };
    near(first.area(), second.area());
    near(distance(first, second), 6.0);
    for gap in [first, second] {
        solved.flat.holes.iter().for_each(|hole| near(distance(gap, &hole.outline), 6.0));
    }
}

/// In the faces beside a bend the wall begins where the bend does.
#[test]
fn openings_keep_their_wall_from_bends_and_lie_in_the_mirror_of_a_mirrored_face() {
    let own = "about = \"x\"\n[face.base]\nblank = [ { add = \"rectangle\", width = \"120 mm\", height = \"90 mm\" } ]\n\
        lighten = [ { wall = \"12 mm\", round = \"8 mm\" } ]\n\
        [face.ear]\nblank = [ { add = \"rectangle\", width = \"120 mm\", height = \"70 mm\", at = [\"0\", \"35 mm\"] } ]\n\
        lighten = [ { wall = \"14 mm\", round = \"5 mm\", within = \"rectangle\", width = \"100 mm\", height = \"90 mm\", at = [\"20 mm\", \"40 mm\"], ribs = [ { from = [\"10 mm\", \"0\"], to = [\"20 mm\", \"70 mm\"] } ] } ]\n\
        [face.foot]\nlike = \"ear\"\nmirror = true\n\
        [bend.heel]\non = \"base.top\"\nto = \"ear\"\nangle = \"90 deg\"\n[bend.toe]\non = \"base.bottom\"\nto = \"foot\"\nangle = \"90 deg\"\n";
    let solved = clear(own);
    let walls = [12.0, 14.0, 14.0];
    for (i, face) in solved.part.faces.iter().enumerate() {
        let lightened = &face.lightened[0].openings;
        assert_eq!(lightened.len(), if i == 0 { 1 } else { 2 });
        let strips = solved.flat.bends.iter().map(|strip| &strip.metal);
        let nearest = strips.flat_map(|strip| {
            let place = &solved.flat.places[i];
            lightened.iter().map(move |o| distance(&o.moved(place), strip.outer()))
        });
        near(nearest.fold(f64::INFINITY, f64::min), walls[i]);
    }
    let [ear, foot] = [1, 2].map(|i| &solved.part.faces[i].lightened[0].openings);
    for (one, other) in ear.iter().zip(foot) {
        near(one.bounds().centre().x, -other.bounds().centre().x);
        near(one.area(), other.area());
    }
    assert_eq!(solved.flat.gaps().len(), 5);
}

/// Later entries keep their wall from the openings of earlier ones; `each` repeats them.
#[test]
fn entries_are_cut_one_after_the_other() {
    let own = plate(&format!(
        "{WIDE}\nlighten = [ {{ wall = \"10 mm\", round = \"4 mm\", each = {{ x = [\"-30 mm\", \"-6 mm\"] }}, within = \"disc\", radius = \"14 mm\", at = [\"x\", \"0\"] }}, {{ wall = \"12 mm\", round = \"8 mm\", ribs = [ {{ from = [\"-40 mm\", \"40 mm\"], to = [\"-40 mm\", \"-40 mm\"] }}, {{ from = [\"-30 mm\", \"0\"], to = [\"0\", \"0\"] }} ] }} ]"
    ));
    let solved = clear(&own);
    let faces = &solved.part.faces[0].lightened;
    let counts: Vec<usize> = faces.iter().map(|cut| cut.openings.len()).collect();
    assert_eq!(counts[..2], [1, 1], "{counts:?}");
    near(faces[0].openings[0].area(), PI * 196.0);
    near(distance(&faces[0].openings[0], &faces[1].openings[0]), 10.0);
    let rest = &faces[2].openings;
    assert!(!rest.is_empty());
    let earlier = faces[..2].iter().flat_map(|cut| &cut.openings);
    let nearest = earlier.flat_map(|a| rest.iter().map(move |b| distance(a, b)));
    near(nearest.fold(f64::INFINITY, f64::min), 12.0);
}

#[test]
fn what_is_too_narrow_is_left_out() {
    let own = |smallest: &str| {
        plate(&format!(
            "{WIDE}\nlighten = [ {{ wall = \"8 mm\", round = \"4 mm\"{smallest}, ribs = [ {{ from = [\"30 mm\", \"40 mm\"], to = [\"30 mm\", \"-40 mm\"] }} ] }} ]"
        ))
    };
    let all = clear(&own(""));
    assert_eq!(all.flat.gaps().len(), 2);
    let large = clear(&own(", smallest = \"24 mm\""));
    let cut = &large.part.faces[0].lightened[0];
    assert_eq!((cut.openings.len(), cut.left_out), (1, 1));
    near(large.flat.gaps()[0].bounds().width(), 26.0 + 52.0);
}

/// The help of a radius that does not fit is one that does.
#[test]
fn a_radius_that_does_not_fit_is_told_the_largest_that_does() {
    let own = |radius: &str| {
        plate(&format!("{WIDE}\nlighten = [ {{ wall = \"25 mm\", round = \"{radius}\" }} ]"))
    };
    let (solved, found) = own::one(&own("20 mm"));
    assert!(solved.flat.gaps().is_empty());
    assert_eq!((found.len(), found[0].code), (1, "idle-step"));
    let help = found[0].help.as_deref().expect("it helps");
    assert!(help.starts_with("make `round` 14.9 mm or less"), "{help}");
    assert_eq!(clear(&own("14.9 mm")).flat.gaps().len(), 1);
}

/// A disc of a radius with five ribs and four holes between hub and rim.
fn wheel(radius: f64) -> String {
    plate(&format!(
        "blank = [ {{ add = \"disc\", radius = \"{radius} mm\" }} ]\n\
         holes = [ {{ name = \"rod\", diameter = \"8.4 mm\", circle = {{ count = 4, diameter = \"80 mm\", start = \"45 deg\" }} }} ]\n\
         lighten = [ {{ wall = \"22 mm\", round = \"8 mm\", ribs = [ {{ from = [\"0\", \"0\"], to = [\"{radius} mm\", \"0\"], width = \"18 mm\", around = {{ count = 5 }} }} ] }} ]"
    ))
}

/// Each area between ribs has one opening, or a finding says why not: at 150 mm all five have, at
/// 80 mm the walls of the holes leave three.
#[test]
fn areas_between_ribs_that_are_whole_or_split_are_told() {
    let large = clear(&wheel(150.0));
    assert_eq!(large.part.faces[0].lightened[0].areas.len(), 5);
    let (solved, found) = own::one(&wheel(80.0));
    let cut = &solved.part.faces[0].lightened[0];
    let openings: Vec<usize> = cut.areas.iter().map(|area| area.openings).collect();
    assert_eq!(openings.iter().sum::<usize>(), cut.openings.len(), "{openings:?}");
    let whole = openings.iter().filter(|n| **n == 0).count();
    assert_eq!((openings.len(), cut.openings.len(), whole), (5, 3, 2), "{openings:?}");
    assert_eq!((found.len(), found[0].code), (1, "rib-area"), "{found:?}");
    let says = "leaves 2 of 5 areas between ribs whole, at ";
    assert!(found[0].headline.contains(says), "{}", found[0].headline);
}

/// A hole in the middle of a bay parts its opening in two.
#[test]
fn an_area_that_a_hole_splits_is_told() {
    let own = |at: &str| {
        plate(&format!(
            "{WIDE}\nholes = [ {{ name = \"a\", at = [\"{at}\", \"0\"], diameter = \"50 mm\" }} ]\n\
             lighten = [ {{ wall = \"6 mm\", round = \"4 mm\", ribs = [ {{ from = [\"-36 mm\", \"40 mm\"], to = [\"-36 mm\", \"-40 mm\"] }} ] }} ]"
        ))
    };
    let (_, found) = own::one(&own("12 mm"));
    assert_eq!((found.len(), found[0].code), (1, "rib-area"), "{found:?}");
    assert!(found[0].headline.contains("splits 1 of 2 areas between ribs, at "), "{found:?}");
    let beside =
        own("12 mm").replace("50 mm", "12 mm").replace("[\"12 mm\", \"0\"]", "[\"50 mm\", \"0\"]");
    clear(&beside);
}

/// A bar with a lightening opening is as strong as one with the same opening drawn, and weaker than
/// a solid one.
#[test]
fn strength_sees_the_openings() {
    let allowed = |opening: &str| {
        let part = format!("recipe = \"bar\"\ngiven = {{ opening = \"{opening}\" }}");
        let load = "hole = \"eye\"\nforce = \"10 N\"\ndirection = \"0 deg\"\npin = \"16 mm\"";
        governing(&verdict("S235", 5.0, &part, load)).allowable()
    };
    let [none, lightened, drawn] = ["none", "lightened", "drawn"].map(allowed);
    near(lightened / drawn, 1.0);
    assert!(lightened < 0.9 * none, "{lightened} of {none}");
}
