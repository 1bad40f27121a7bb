//! Sizes with which parts of the trade cannot be made as drawn, or not in the required number.

use crate::own;
use platewright::diag::Weight;
use std::fs;
use std::path::Path;

fn text(name: &str) -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/trade").join(name);
    fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

/// A part with given values: code and headline of each stop, or of each caution.
fn found(own: &str, given: &str, weight: Weight) -> Vec<(&'static str, String)> {
    let given = format!("given = {{ {given} }}\n");
    let found =
        own::solve_with(own, "3 mm", "laser", &given).map_or_else(|all| all, |(_, all)| all);
    found.into_iter().filter(|f| f.weight == weight).map(|f| (f.code, f.headline)).collect()
}

fn codes(name: &str, given: &str) -> Vec<&'static str> {
    found(&text(name), given, Weight::Stop).into_iter().map(|(code, _)| code).collect()
}

/// The last screw would be before the first.
#[test]
fn holes_along_an_edge_do_not_pass_its_middle() {
    let stops = found(&text("floor-cover.toml"), "ends = \"150 mm\"", Weight::Stop);
    let [(code, words)] = stops.as_slice() else { panic!("{stops:?}") };
    assert_eq!(*code, "hole");
    assert!(words.contains("edge `CD`, which is 261.984 mm long"), "{words}");
    assert_eq!(codes("chute-side.toml", "high = \"60 mm\", top = \"200 mm\""), ["hole"]);
    let rail = "end = \"40 mm\", nozzles = [ { x = \"40 mm\", size = \"1/2\" } ]";
    assert_eq!(codes("nozzle-rail.toml", rail), ["hole"]);
}

/// An eye so near the weld that it covers the root: the edge has a name, and no metal.
#[test]
fn an_edge_that_a_shape_covers_is_said_to_be_gone() {
    let stops = found(&text("drawbar-eye.toml"), "reach = \"40 mm\"", Weight::Stop);
    let headlines: Vec<&str> = stops.iter().map(|(_, words)| words.as_str()).collect();
    assert_eq!(headlines, ["nothing is left of edge `root` of face `plate` to bevel"]);
}

/// Both plates are square to a tube, at the middle of the brace and at the place given on the rail.
#[test]
fn plates_in_space_do_not_run_into_each_other() {
    for given in [
        "lean = \"300 mm\"",
        "lean = \"260 mm\"",
        "lean = \"280 mm\", wide = \"250 mm\"",
        "plates = [\"-120 mm\", \"110 mm\"]",
        "plates = [\"-120 mm\", \"130 mm\"]",
    ] {
        assert_eq!(codes("node-jig.toml", given), ["requirement"], "{given}");
        let free =
            text("node-jig.toml").replace("plates[2] >= lean / 2 + 50 mm", "lean > wide / 9");
        let stops = found(&free, given, Weight::Stop);
        let [(code, words)] = stops.as_slice() else { panic!("{given}: {stops:?}") };
        assert_eq!(*code, "placed-plate", "{given}");
        assert!(words.contains("`brace` and face `both` collide"), "{words}");
    }
    assert_eq!(codes("node-jig.toml", ""), [""; 0]);
    // 0.7 mm apart.
    let near = text("node-jig.toml").replace("lean / 2 + 50 mm", "lean / 2");
    assert_eq!(found(&near, "plates = [\"-120 mm\", \"150 mm\"]", Weight::Stop), []);
}

/// A value that nothing takes is not left out in silence.
#[test]
fn a_list_of_a_fixed_count_takes_no_more() {
    for (name, given) in [
        ("fender-stay.toml", "slants = [\"12 deg\", \"-18 deg\", \"5 deg\"]"),
        ("fender-stay.toml", "long = [\"60 mm\", \"90 mm\"]"),
        ("tapered-skid.toml", "widths = [\"420 mm\", \"500 mm\", \"560 mm\"]"),
        ("wheel-cover.toml", "heights = [\"25 mm\", \"40 mm\", \"10 mm\"]"),
        ("even-web-crank.toml", "arms = [\"90 mm\", \"70 mm\", \"70 mm\"]"),
    ] {
        let codes = codes(name, given);
        assert!(codes.contains(&"out-of-range"), "{name}, {given}: {codes:?}");
    }
}

/// The count may follow from other values.
#[test]
fn the_count_of_a_list_is_a_formula() {
    let plate = "about = \"x\"\n[inputs]\n\
                 holes = { kind = \"count\", default = 2, about = \"in a row\" }\n\
                 gaps = { kind = \"lengths\", default = [\"30 mm\"], count = \"holes - 1\", about = \"between them\" }\n\
                 [face.plate]\nblank = [ { add = \"rectangle\", width = \"sum(gaps) + 40 mm\", height = \"40 mm\" } ]\n";
    let stops = |given: &str| found(plate, given, Weight::Stop);
    assert_eq!(stops(""), []);
    assert_eq!(stops("holes = 3")[0].1, "`gaps` has 1 value, but it needs 2 values");
    assert_eq!(stops("holes = 3, gaps = [\"30 mm\", \"35 mm\"]"), []);
}

/// A part that is its own mirror image has no hands, in whatever orientation it is drawn.
#[test]
fn hands_that_are_alike_are_said_to_be() {
    let alike = |own: &str| {
        let found = found(own, "", Weight::Caution);
        found.into_iter().filter(|(code, _)| *code == "hands-alike").count()
    };
    let mirrored = |text: &str| text.replacen("about", "mirror = true\nabout", 1);
    assert_eq!(alike(&mirrored(&text("chute-side.toml"))), 1);
    assert_eq!(alike(&mirrored(&text("channel-on-a-tube.toml"))), 1);
    assert_eq!(alike(&text("handed-bracket.toml")), 0);
    assert_eq!(alike(&text("spring-hanger.toml")), 0);
}

/// A seam ends where the bend beside it begins, along an arc too. By hand: from the end of the bend,
/// thickness and radius below the top of the web, to the tip of the flange, round a tube of 60.3 mm
/// whose axis is 8 mm below the web.
#[test]
fn a_seam_round_a_tube_ends_at_the_bend() {
    for (thickness, wanted) in [("3 mm", 32.8), ("6 mm", 25.5)] {
        let (solved, _) = own::solve(&text("channel-on-a-tube.toml"), thickness, "laser")
            .expect("nothing stops it");
        let part = &solved[0].part;
        for face in [1, 2] {
            let seam = &part.faces[face].welds[0];
            let left = solved[0].folded.left_of(face, &seam.stretches);
            let length: f64 = left.iter().map(platewright::geom::Edge::length).sum();
            assert!((length - wanted).abs() < 0.1, "{thickness}: {length}, not {wanted}");
        }
    }
}

/// Rods and rim leave room for an opening between every two spokes, or the sizes are refused; where
/// nothing is required, the check of ribs says so.
#[test]
fn a_reel_has_all_its_openings_or_none() {
    for given in ["rim = \"160 mm\"", "rim = \"200 mm\", spokes = 3"] {
        assert_eq!(codes("reel-side.toml", given), ["requirement"], "{given}");
        let free = text("reel-side.toml").replace(">= 2 * round", "> 0 mm - rim");
        let cautions = found(&free, given, Weight::Caution);
        let codes: Vec<&str> = cautions.iter().map(|(code, _)| *code).collect();
        assert_eq!(codes, ["rib-area"], "{given}: {cautions:?}");
    }
    assert_eq!(codes("reel-side.toml", "rim = \"220 mm\", spokes = 8"), [""; 0]);
}

/// A round that does not fit says where, how wide the metal is, and which radius would do.
#[test]
fn a_round_that_does_not_fit_says_which_does() {
    for (name, given, usual) in [
        ("lever-plate.toml", "arm = \"140 mm\", wide = \"40 mm\"", "5 mm"),
        ("shock-tab.toml", "coil = \"100 mm\"", "3 mm"),
    ] {
        let round = format!("round = \"{usual}\"");
        let stops = |own: &str| {
            let all = own::solve_with(own, "3 mm", "laser", &format!("given = {{ {given} }}\n"));
            all.map_or_else(|all| all, |(_, all)| all)
        };
        let own = text(name);
        assert_eq!(own.matches(&round).count(), 1, "{name}");
        let stops_at = stops(&own);
        let stop = stops_at.iter().find(|f| f.code == "blank").expect("it does not fit");
        let start = format!("a round of {usual} would remove metal at ");
        assert!(stop.headline.starts_with(&start), "{}", stop.headline);
        let help = stop.help.as_deref().expect("it helps");
        let radius = help.strip_prefix("write `round = \"").and_then(|rest| rest.split('"').next());
        let radius = radius.expect("it gives a radius");
        let smaller = own.replace(&round, &format!("round = \"{radius}\""));
        assert!(stops(&smaller).iter().all(|f| f.code != "blank"), "{name}: {help}");
    }
}

/// Sizes that follow the inputs: what was made at one size is made at others, in its place.
#[test]
fn patterns_follow_the_size_of_their_part() {
    let places = |name: &str, given: &str, set: &str| -> Vec<(f64, f64)> {
        let given = format!("given = {{ {given} }}\n");
        let (solved, _) = own::solve_with(&text(name), "3 mm", "laser", &given)
            .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
        let holes = solved[0].part.holes().filter(|(_, hole)| hole.is_of(set));
        holes.map(|(_, hole)| (hole.at.x, hole.at.y)).collect()
    };
    let near = |is: &[(f64, f64)], wanted: &[(f64, f64)]| {
        assert_eq!(is.len(), wanted.len(), "{is:?}");
        let off = |(a, b): (&(f64, f64), &(f64, f64))| (a.0 - b.0).abs().max((a.1 - b.1).abs());
        assert!(is.iter().zip(wanted).all(|two| off(two) < 1e-9), "{is:?}, not {wanted:?}");
    };
    let third = (500.0 - 2.0 * 48.0) / 6.0;
    let wanted = [-3.0, -1.0, 1.0, 3.0].map(|n| (n * third, -45.0));
    near(&places("stiffener.toml", "long = \"500 mm\", web = \"170 mm\"", "light"), &wanted);
    // 110 mm at least: 760 mm have room for six of them, 120 for one, 240 for two.
    for (wide, count, span) in [(1000, 7, 760.0), (480, 3, 240.0), (360, 2, 120.0)] {
        let even = |i: u32| (f64::from(i) / f64::from(count - 1) - 0.5) * span;
        let wanted: Vec<(f64, f64)> = (0..count).map(|i| (even(i), -150.0)).collect();
        near(&places("floor-panel.toml", &format!("wide = \"{wide} mm\""), "light"), &wanted);
    }
    let wanted = [0.0, 60.0, 130.0].map(|x| (x, 36.0));
    near(
        &places("lug-rail.toml", "eye = \"24 mm\", pitches = [\"60 mm\", \"70 mm\"]", "lug"),
        &wanted,
    );
    // The upper plate stays in the bend.
    assert_eq!(codes("hoop-jig.toml", "outside = \"20 mm\", bend = \"40 mm\""), [""; 0]);
}

/// However large its lugs, a rail is straight below.
#[test]
fn a_rail_of_lugs_is_straight_below() {
    for eye in [8.0, 9.0, 24.0] {
        let given = format!("given = {{ eye = \"{eye} mm\", pitches = [\"60 mm\", \"70 mm\"] }}\n");
        let (solved, _) = own::solve_with(&text("lug-rail.toml"), "3 mm", "laser", &given).unwrap();
        let bounds = solved[0].flat.region.outer().bounds();
        assert!((bounds.height() - 12.0 - 2.0 * eye).abs() < 1e-6, "{eye}: {bounds:?}");
    }
}
