//! Flanges as wide as their edges, bends that are repeated, joggles, and faces square to a tube.

use crate::own;
use platewright::geom::Space;
use platewright::geom::minus;
use platewright::solve::Solved;

fn made(own: &str) -> Solved {
    let (mut solved, _) = own::solve(own, "3 mm", "laser")
        .unwrap_or_else(|found| panic!("{}: {:?}", found[0].headline, found[0].help));
    assert_eq!(solved.len(), 1);
    solved.swap_remove(0)
}

fn near(is: f64, wanted: f64) {
    assert!((is - wanted).abs() < 1e-6, "{is}, not {wanted}");
}

/// A plate of 100 by 60 with a slanting right side, of which a round of 10 mm takes from the upper
/// end, and a flange on it and on that.
fn tray(first: &str, second: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"polygon\", corners = [ [\"0\", \"0\"], {{ at = [\"100 mm\", \"0\"], edge = \"side\" }}, {{ at = [\"80 mm\", \"60 mm\"], round = \"10 mm\" }}, [\"0\", \"60 mm\"] ] }} ]\n\
         [face.second]\nblank = [ {second} ]\n\
         [face.first]\nblank = [ {first} ]\n\
         [bend]\nfirst = {{ on = \"plate.side\", to = \"first\", angle = \"90 deg\" }}\nsecond = {{ on = \"first.top\", to = \"second\", angle = \"90 deg\" }}\n"
    )
}

/// The side is √(20² + 60²) long; of the corner at its upper end, of 180° − 108.435°, the round takes
/// 10 / tan(108.435° / 2) mm. The face on it is as wide as the rest, and so is the face on that,
/// whatever order they are in.
#[test]
fn a_flange_is_as_wide_as_what_is_left_of_its_edge() {
    let whole = 4000.0_f64.sqrt();
    let turn = platewright::num::Angle::from_degrees(54.217_47);
    let left = whole - 10.0 * turn.cos() / turn.sin();
    let part = made(&tray(
        "{ add = \"flange\", height = \"30 mm\" }",
        "{ add = \"flange\", height = \"25 mm\", corner = \"5 mm\", rounded = [\"top-left\"] }",
    ));
    let face = |name: &str| {
        let face = part.part.faces.iter().find(|face| face.name == name);
        face.expect("it has that face").blank.outer().bounds()
    };
    for (name, high) in [("first", 30.0), ("second", 25.0)] {
        let bounds = face(name);
        assert!((bounds.width() - left).abs() < 1e-4, "{name}: {bounds:?}, not {left}");
        near(bounds.min.y, 0.0);
        near(bounds.max.y, high);
    }
    // Nothing is lost at its lower end.
    near(face("first").max.x.max(-face("first").min.x), whole / 2.0);
}

/// Two lugs of one drawing, each with its own angle: each is bent by that, and its hole is there.
#[test]
fn a_repeated_bend_carries_a_face_of_its_own_for_each_value() {
    let own = "about = \"x\"\n[inputs]\nangles = { kind = \"angles\", default = [\"30 deg\", \"75 deg\"], about = \"of the lugs\" }\n\
               [face.plate]\nblank = [ { add = \"polygon\", corners = [ { at = [\"0\", \"0\"], edge = \"lug 1\" }, [\"40 mm\", \"0\"], { at = [\"50 mm\", \"0\"], edge = \"lug 2\" }, [\"90 mm\", \"0\"], [\"90 mm\", \"50 mm\"], [\"0\", \"50 mm\"] ] }, { cut = \"rectangle\", width = \"10 mm\", height = \"30 mm\", at = [\"45 mm\", \"0\"] } ]\n\
               [face.lug]\nblank = [ { add = \"flange\", height = \"30 mm\" } ]\nholes = [ { name = \"eye\", at = [\"0\", \"18 mm\"], diameter = \"8 mm\" } ]\n\
               [bend.lug]\neach = { a = \"angles\" }\non = \"plate.lug {number}\"\nto = \"lug\"\nangle = \"a\"\nradius = \"number * 3 mm\"\n";
    let part = made(own).part;
    let bends: Vec<(&str, f64, f64)> = part
        .bends
        .iter()
        .map(|bend| (bend.name.as_str(), bend.bend.angle().degrees(), bend.bend.radius()))
        .collect();
    assert_eq!(bends, [("lug 1", 30.0, 3.0), ("lug 2", 75.0, 6.0)]);
    let faces: Vec<&str> = part.faces.iter().map(|face| face.name.as_str()).collect();
    assert_eq!(faces, ["plate", "lug-1", "lug-2"]);
    assert_eq!(part.holes().count(), 2);
    // One of them is bent by a measured figure where the job says so for all.
    let keys = "bends = { lug = 0.5 }\n";
    let (solved, _) = own::solve_with(own, "3 mm", "laser", keys).expect("nothing stops it");
    assert!(solved[0].part.bends.iter().all(|bend| (bend.bend.k() - 0.5).abs() < 1e-12));
}

/// The top sides before and behind a joggle are as far apart as it says, at any angle.
#[test]
fn a_joggle_rises_by_its_offset() {
    for degrees in [30, 45, 75, 90] {
        let own = format!(
            "about = \"x\"\n[face.foot]\nblank = [ {{ add = \"rectangle\", width = \"50 mm\", height = \"60 mm\", at = [\"0\", \"-30 mm\"] }} ]\n\
             [face.ramp]\nblank = [ {{ add = \"flange\", height = \"joggle(25 mm, {degrees} deg, thickness)\" }} ]\n\
             [face.pad]\nblank = [ {{ add = \"flange\", height = \"60 mm\" }} ]\n\
             [bend]\nup = {{ on = \"foot.top\", to = \"ramp\", angle = \"{degrees} deg\" }}\ndown = {{ on = \"ramp.top\", to = \"pad\", angle = \"{degrees} deg\", side = \"down\" }}\n"
        );
        let of = made(&own);
        let [foot, .., pad] = of.folded.faces.as_slice() else { panic!("it has three faces") };
        let up = minus(pad.frame.origin, foot.frame.origin);
        let rise: f64 = (0..3).map(|i| up[i] * foot.frame.z[i]).sum();
        near(rise, 25.0);
        let alike: f64 = (0..3).map(|i| pad.frame.z[i] * foot.frame.z[i]).sum();
        near(alike, 1.0);
    }
}

/// A plate square to a tube lies as one on three points that are worked out, at a slant and upright.
#[test]
fn a_face_square_to_a_tube_lies_as_on_points_that_are_worked_out() {
    let plate = |on: &str, to: [f64; 3]| {
        let [x, y, z] = to;
        let own = format!(
            "about = \"x\"\n[tube.post]\nfrom = [\"0\", \"0\", \"0\"]\nto = [\"{x} mm\", \"{y} mm\", \"{z} mm\"]\noutside = \"30 mm\"\n\
             [face.plate]\non = {{ origin = [\"{} mm\", \"{} mm\", \"{} mm\"], {on} }}\n\
             blank = [ {{ add = \"rectangle\", width = \"120 mm\", height = \"80 mm\", at = [\"10 mm\", \"5 mm\"] }}, {{ cut = \"tube\", tube = \"post\" }} ]\n",
            x / 2.0,
            y / 2.0,
            z / 2.0,
        );
        let of = made(&own);
        let hole = of.flat.region.holes()[0].bounds();
        (of.flat.region.area(), [hole.min.x, hole.min.y, hole.max.x, hole.max.y])
    };
    // x is level, to the left of where the tube runs; upright, x is that of space.
    for (to, x, side) in [
        ([300.0, 0.0, 0.0], [150.0, 1.0, 0.0], [150.0, 0.0, 1.0]),
        ([0.0, 0.0, 300.0], [1.0, 0.0, 150.0], [0.0, 1.0, 150.0]),
        ([300.0, 0.0, 400.0], [150.0, 1.0, 200.0], [146.0, 0.0, 203.0]),
    ] {
        let point = |p: Space| format!("[\"{} mm\", \"{} mm\", \"{} mm\"]", p[0], p[1], p[2]);
        let by_points = plate(&format!("x = {}, side = {}", point(x), point(side)), to);
        let across = plate("across = \"post\"", to);
        near(across.0, by_points.0);
        across.1.iter().zip(by_points.1).for_each(|(is, wanted)| near(*is, wanted));
    }
}
