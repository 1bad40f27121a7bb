//! Fold lines across a face: the flat is as drawn, and all that is on it comes along.

use crate::own;
use platewright::fold;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::solid;
use platewright::solve::Solved;

/// Plate with a corner bent up along a diagonal.
const CORNER: &str = r#"
about = "x"
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["0", "0"], edge = "bottom" }, { at = ["120 mm", "0"], edge = "right" }, { at = ["120 mm", "90 mm"], edge = "top" }, { at = ["0", "90 mm"], edge = "left" } ] } ]
holes = [
  { name = "base", at = ["30 mm", "30 mm"], diameter = "9 mm" },
  { name = "ear", at = ["105 mm", "75 mm"], diameter = "7 mm" },
]
weld = [ { edge = "top", leg = "3 mm" }, { edge = "left", leg = "3 mm" } ]
[bend.fold]
across = "plate"
line = [["50 mm", "90 mm"], ["120 mm", "40 mm"]]
to = "ear"
angle = "60 deg"
"#;

/// Strip with three slanting bends: a twist.
const TWIST: &str = r#"
about = "x"
[face.strip]
blank = [ { add = "rectangle", width = "240 mm", height = "40 mm", corner = "5 mm", at = ["120 mm", "0"] } ]
[bend.one]
across = "strip"
line = { at = ["70 mm", "0"], direction = "-60 deg" }
to = "second"
angle = "30 deg"
[bend.two]
across = "strip"
line = { at = ["120 mm", "0"], direction = "-60 deg" }
to = "third"
angle = "30 deg"
[bend.three]
across = "strip"
line = { at = ["170 mm", "0"], direction = "-60 deg" }
to = "end"
angle = "30 deg"
side = "down"
"#;

fn same(a: &Outline, b: &Outline) -> bool {
    let near = |(a, b): (&platewright::geom::Vertex, &platewright::geom::Vertex)| {
        (a.at - b.at).hypot() < 1e-9 && (a.bulge - b.bulge).abs() < 1e-9
    };
    let (a, b) = (a.vertices(), b.vertices());
    a.len() == b.len() && a.iter().zip(b).all(near)
}

/// The same recipe without its bends: the outline as drawn.
fn drawn(text: &str) -> Outline {
    let plain = text.split("[bend.").next().unwrap();
    own::one(plain).0.flat.region.outer().clone()
}

fn volume(solved: &Solved) -> f64 {
    let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
    solid::solid(&solved.part, &solved.flat, &folded).unwrap().volume
}

fn face<'a>(solved: &'a Solved, name: &str) -> &'a platewright::part::Face {
    solved.part.faces.iter().find(|face| face.name == name).unwrap()
}

#[test]
fn the_flat_is_the_drawn_outline() {
    for text in [CORNER, TWIST] {
        let (solved, _) = own::one(text);
        assert!(same(solved.flat.region.outer(), &drawn(text)), "{:?}", solved.flat.region.outer());
        assert!(volume(&solved) > 0.0);
    }
}

#[test]
fn a_diagonal_has_its_holes_and_seams_where_they_lie() {
    let (solved, _) = own::one(CORNER);
    let names: Vec<&str> = solved.part.faces.iter().map(|face| face.name.as_str()).collect();
    assert_eq!(names, ["plate", "ear"]);
    assert_eq!(face(&solved, "plate").holes[0].name, "base");
    assert_eq!(face(&solved, "ear").holes[0].name, "ear");
    // In the flat the holes are where they were drawn.
    let at = |name: &str| {
        let hole = solved.flat.holes.iter().find(|h| solved.part.hole(h.id).name == name);
        hole.unwrap().outline.bounds().centre()
    };
    assert!((at("ear") - Point::new(105.0, 75.0)).hypot() < 1e-9);
    let seam = |face: &platewright::part::Face, edge: &str| {
        face.welds.iter().filter(|w| w.edge == edge).map(|w| w.edge_length()).sum::<f64>()
    };
    let (plate, ear) = (face(&solved, "plate"), face(&solved, "ear"));
    let allowance = solved.part.bends[0].bend.allowance();
    // Along the edge the bend is allowance / sin of the slant wide.
    let wide = allowance * 7400.0_f64.sqrt() / 50.0;
    assert!((seam(plate, "top") - (50.0 - wide / 2.0)).abs() < 1e-9);
    assert!((seam(ear, "top") - (70.0 - wide / 2.0)).abs() < 1e-9);
    assert!((seam(plate, "left") - 90.0).abs() < 1e-9);
    assert!(ear.welds.iter().all(|w| w.edge != "left"));
}

#[test]
fn both_hands_are_mirrors() {
    let (both, _) = own::solve(&format!("mirror = true\n{CORNER}"), "3 mm", "waterjet").unwrap();
    let [right, left] = both.as_slice() else { panic!("two hands") };
    let over = platewright::geom::Place { mirrored: true, ..Default::default() };
    assert!(same(left.flat.region.outer(), &right.flat.region.outer().moved(&over)));
    assert!((volume(left) - volume(right)).abs() < 1e-6);
    // A face that is drawn in the mirror is folded along the mirrored line.
    let turned = CORNER.replace("blank =", "mirror = true\nblank =");
    let (turned, _) = own::one(&turned);
    assert!(same(turned.flat.region.outer(), left.flat.region.outer()));
    let line = |s: &Solved| s.flat.bends[0].line;
    assert!((line(&turned).from - line(left).from).hypot() < 1e-9);
    assert!((volume(&turned) - volume(left)).abs() < 1e-6);
}

/// The sides of a tapering plate meet far above it: that is no corner of it which was cut off.
#[test]
fn the_apex_of_a_tapering_plate_is_no_point_of_it() {
    let plate = |top: f64, apex: f64| {
        format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"polygon\", corners = [[\"-50 mm\", \"0\"], [\"50 mm\", \"0\"], [\"{top} mm\", \"100 mm\"], [\"-{top} mm\", \"100 mm\"]] }} ]\n\
             [bend.heel]\nacross = \"plate\"\nline = [[\"-60 mm\", \"40 mm\"], [\"60 mm\", \"40 mm\"]]\nangle = \"90 deg\"\nto = \"flange\"\nmoves = [\"0\", \"{apex} mm\"]\n"
        )
    };
    // From 100 to 40 wide in 100 mm: the apex is 166.67 above, 69.6 from either end of the piece
    // cut off.
    let near = own::solve(&plate(20.0, 500.0 / 3.0), "3 mm", "waterjet");
    assert!(near.is_ok(), "{near:#?}");
    // To 60 wide: 250 above, 153 from either end of 60 mm.
    let far = own::solve(&plate(30.0, 250.0), "3 mm", "waterjet").unwrap_err();
    let words = "the point that `moves` is 150 mm off the metal of face `plate`";
    assert_eq!(far[0].headline, words, "{far:#?}");
}

/// Whichever way the line is drawn, the side with the point moves, in both hands and in the mirror.
#[test]
fn a_point_says_which_side_moves() {
    let wanted = own::one(CORNER).0;
    let moves = CORNER.replace("to = \"ear\"", "moves = [\"119 mm\", \"89 mm\"]\nto = \"ear\"");
    let turned = moves.replace(
        "[[\"50 mm\", \"90 mm\"], [\"120 mm\", \"40 mm\"]]",
        "[[\"120 mm\", \"40 mm\"], [\"50 mm\", \"90 mm\"]]",
    );
    let mirror = |text: &str| text.replace("blank =", "mirror = true\nblank =");
    for text in [moves.clone(), turned.clone()] {
        assert_ne!(text, CORNER);
        let (solved, _) = own::one(&text);
        assert_eq!(face(&solved, "ear").holes[0].name, "ear");
        assert!((volume(&solved) - volume(&wanted)).abs() < 1e-9);
        let [a, b] = [&solved, &wanted].map(|s| s.flat.bends[0].line);
        assert!((a.from - b.from).hypot() < 1e-9 && (a.to - b.to).hypot() < 1e-9, "{a:?} {b:?}");
        let [a, b] =
            [mirror(&text), mirror(CORNER)].map(|text| own::one(&text).0.flat.bends[0].line);
        assert!((a.from - b.from).hypot() < 1e-9 && (a.to - b.to).hypot() < 1e-9, "{a:?} {b:?}");
    }
    let other = moves.replace("\"119 mm\", \"89 mm\"", "\"1 mm\", \"1 mm\"");
    assert_eq!(face(&own::one(&other).0, "ear").holes[0].name, "base");
}

#[test]
fn a_line_along_an_edge_gives_the_flange_as_formed() {
    let text = r#"
about = "x"
[face.web]
blank = [ { add = "rectangle", width = "100 mm", height = "80 mm" } ]
[bend.up]
across = "web"
line = { edge = "top", outside = "20 mm" }
to = "flange"
angle = "90 deg"
[bend.down]
across = "web"
line = { edge = "bottom", inset = "25 mm", rotate = "0 deg" }
to = "foot"
angle = "90 deg"
side = "down"
"#;
    let (solved, _) = own::one(text);
    let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
    let flange = folded.faces.iter().find(|f| f.face == 1).unwrap();
    let top = flange.region.outer().vertices().iter().map(|v| flange.frame.point(v.at, 0.0)[2]);
    // From the underside of the web to the top of the flange.
    assert!((top.fold(0.0, f64::max) + 3.0 - 20.0).abs() < 1e-9);
    assert_eq!(solved.flat.bends[1].line.from.y, -15.0);
}

#[test]
fn a_flange_stands_on_the_edge_of_a_folded_face() {
    let text = format!(
        "{}\n[bend.lip]\non = \"ear.right\"\nto = \"lip\"\nangle = \"45 deg\"\n[face.lip]\nblank = [ {{ add = \"rectangle\", width = \"20 mm\", height = \"16 mm\", at = [\"-24 mm\", \"8 mm\"] }} ]\n",
        CORNER.replace("diameter = \"7 mm\"", "diameter = \"3 mm\"")
    );
    // Faces come before bends in the order of the tables, whatever the order of the text.
    let (solved, _) = own::one(&text);
    assert_eq!(solved.part.faces.len(), 3);
    assert_eq!(solved.part.bends[1].from, 1);
    assert!(volume(&solved) > 0.0);
    assert!(solved.flat.region.area() > 120.0 * 90.0);
}

#[test]
fn a_cut_out_may_run_through_a_bend() {
    let text = r#"
about = "x"
[face.web]
blank = [
  { add = "rectangle", width = "140 mm", height = "80 mm" },
  { cut = "rectangle", width = "60 mm", height = "40 mm", corner = "3 mm" },
]
[bend.up]
across = "web"
line = [["-70 mm", "0"], ["70 mm", "0"]]
to = "flange"
angle = "90 deg"
"#;
    let (solved, found) = own::one(text);
    assert!(found.is_empty(), "{:?}", found[0].headline);
    assert!(same(solved.flat.region.outer(), &drawn(text)));
    assert_eq!(solved.flat.gaps().len(), 1);
    // 140 wide less 60 is bent.
    let strip = &solved.flat.bends[0];
    assert!((strip.area - 80.0 * strip.bend.allowance()).abs() < 1e-6, "{}", strip.area);
    let gain = fold::gain(&strip.bend) * strip.area;
    let flat = solved.flat.region.area() * solved.part.thickness;
    assert!((volume(&solved) - flat - gain).abs() < 1e-6);
    for face in &solved.flat.faces {
        assert!((face.area() - (solved.flat.region.area() - strip.area) / 2.0).abs() < 1e-6);
    }
}

#[test]
fn a_load_over_a_slanted_bend_is_not_judged() {
    let load = |text: &str| {
        let keys = "[[load]]\nname = \"x\"\npart = \"own\"\nhole = \"ear\"\nforce = \"200 N\"\ndirection = \"pull\"\npin = \"7 mm\"\nheld = \"left\"";
        let (solved, _) = own::solve_with(text, "3 mm", "waterjet", keys).unwrap();
        format!("{:?}", solved[0].verdicts[0].1.state)
    };
    assert!(load(CORNER).contains("FoldLine"), "{}", load(CORNER));
    let slanted = "[\"50 mm\", \"90 mm\"], [\"120 mm\", \"40 mm\"]";
    let square = CORNER.replace(slanted, "[\"60 mm\", \"90 mm\"], [\"60 mm\", \"0\"]");
    assert_eq!(load(&square), "Judged");
}

/// A load on a named edge, or one supported by that edge, where a slanted line splits it.
#[test]
fn an_edge_on_two_faces_is_judged_by_the_one_that_is_named() {
    let text = r#"
about = "x"
[inputs]
b = { kind = "bolt", default = "M10", about = "b" }
[face.plate]
blank = [ { add = "polygon", corners = [["0", "0"], ["160 mm", "0"], { at = ["160 mm", "80 mm"], edge = "top" }, ["0", "80 mm"]] } ]
holes = [ { name = "foot", at = ["143 mm", "40 mm"], diameter = "11 mm", row = { count = "2", pitch = "44 mm" }, rotate = "90 deg", for = "b" } ]
[bend.q]
across = "plate"
line = { at = ["120 mm", "40 mm"], direction = "90 deg" }
to = "arm"
angle = "60 deg"
"#;
    let load = |keys: &str| {
        let keys = format!(
            "[[load]]\nname = \"x\"\npart = \"own\"\nforce = \"200 N\"\ndirection = \"along\"\n{keys}"
        );
        let (solved, _) = own::solve_with(text, "3 mm", "waterjet", &keys).unwrap();
        let (_, verdict) = &solved[0].verdicts[0];
        let allowed = verdict.governing().map(|limit| verdict.allowable(limit));
        (allowed, verdict.refused().map(|reason| format!("{reason}; {}", reason.help())))
    };
    let (allowed, refused) = load("edge = \"top\"\nbolts = \"foot\"");
    assert_eq!(allowed, None);
    let both = "edge `top` runs over several faces; name the edge of one face: \
                `plate.top` or `arm.top`";
    assert_eq!(refused.as_deref(), Some(both));
    let [plate, arm] = ["plate", "arm"].map(|face| {
        let (allowed, refused) = load(&format!("edge = \"{face}.top\"\nbolts = \"foot\""));
        allowed.unwrap_or_else(|| panic!("{face}: {refused:?}"))
    });
    // One stretch has the bolts beside it, the other is beyond the bend.
    assert!(plate.max(arm) > 2.0 * plate.min(arm), "{plate} {arm}");
    let (allowed, refused) = load("hole = \"foot\"\nheld = \"top\"");
    assert_eq!((allowed, refused.as_deref()), (None, Some(both)));
    let (allowed, _) = load("hole = \"foot\"\nheld = \"arm.top\"");
    let (other, _) = load("hole = \"foot\"\nheld = \"plate.top\"");
    assert_ne!(allowed, other);
}

#[test]
fn a_loaded_edge_with_a_notch_is_not_judged_by_one_of_its_stretches() {
    let text = r#"
about = "x"
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "120 mm" }, { cut = "rectangle", width = "20 mm", height = "20 mm", at = ["40 mm", "60 mm"] } ]
weld = [ { edge = "bottom", leg = "3 mm" } ]
"#;
    let load = |edge: &str| {
        let keys = format!(
            "[[load]]\nname = \"x\"\npart = \"own\"\nedge = \"{edge}\"\nforce = \"200 N\"\ndirection = \"pull\""
        );
        let (solved, _) = own::solve_with(text, "3 mm", "waterjet", &keys).unwrap();
        format!("{:?}", solved[0].verdicts[0].1.state)
    };
    assert!(load("top").contains("Stretches"), "{}", load("top"));
}
