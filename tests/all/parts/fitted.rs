//! Shapes fitted to what passes through them: keyways, keyholes, obstacles, features side by side.

use crate::own;
use platewright::diag::Weight;
use platewright::geom::Point;

/// A disc of 200 mm with a step more.
fn disc(step: &str, more: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"disc\", radius = \"100 mm\" }}, {step} ]\n{more}"
    )
}

/// The height of the only opening, mm, and its width beside its top.
fn keyway(step: &str) -> (f64, f64) {
    let (made, _) = own::one(&disc(&format!("{{ cut = \"keyway\", {step} }}"), ""));
    let [opening] = made.flat.region.holes() else { panic!("it has one opening") };
    let top = opening.bounds().max.y;
    let beside: Vec<f64> =
        opening.vertices().iter().filter(|v| (v.at.y - top).abs() < 1e-9).map(|v| v.at.x).collect();
    (opening.bounds().height(), (beside[0] - beside[1]).abs())
}

/// DIN 6885-1: from 17 to 22 mm a key of 6 with 2.8 beyond the shaft, from 22 to 30 one of 8 with 3.3.
#[test]
fn a_keyway_is_that_of_its_shaft() {
    for (shaft, key, beyond) in
        [(20.0, 6.0, 2.8), (22.0, 6.0, 2.8), (22.5, 8.0, 3.3), (30.0, 8.0, 3.3), (60.0, 18.0, 4.4)]
    {
        let (high, wide) = keyway(&format!("diameter = \"{shaft} mm\""));
        assert!((high - shaft - beyond).abs() < 1e-6, "{shaft}: {high}");
        assert!((wide - key).abs() < 1e-6, "{shaft}: {wide}");
    }
    // A narrower key, with the depth of its own keyway.
    let (high, wide) = keyway("diameter = \"25 mm\", key = \"6 mm\"");
    assert!((high - 27.8).abs() < 1e-6 && (wide - 6.0).abs() < 1e-6, "{high} {wide}");
}

#[test]
fn a_key_too_wide_for_its_shaft_is_refused() {
    let step = "{ cut = \"keyway\", diameter = \"20 mm\", key = \"8 mm\", depth = \"23.3 mm\" }";
    let wanted = "a shaft of 20 mm takes a key of 6 mm (DIN 6885-1), not of 8 mm";
    assert_eq!(own::stopped(&disc(step, "")), [("blank", wanted.to_owned())]);
}

/// An arm beside the middle of the disc: the area it sweeps, and 4 mm beside it, is removed.
#[test]
fn an_obstacle_is_cut_out_with_its_clearance() {
    let arm = |at: &str, clear: &str| {
        format!(
            "obstacles = [ {{ name = \"lever\", shape = \"arm\", radius = \"60 mm\", width = \"20 mm\", from = \"20 deg\", to = \"60 deg\", at = [\"{at}\", \"0\"], clearance = \"{clear}\" }} ]\n"
        )
    };
    let step = "{ cut = \"obstacle\", obstacle = \"lever\" }";
    let swept = |width: &str, at: &str| {
        let cut = format!(
            "{{ cut = \"arm\", radius = \"60 mm\", width = \"{width}\", from = \"20 deg\", to = \"60 deg\", at = [\"{at}\", \"0\"] }}"
        );
        own::one(&disc(&cut, "")).0.flat.region.area()
    };
    // In the metal, and over its edge; with room beside it, and without.
    for (at, clear, width) in [
        ("-20 mm", "4 mm", "28 mm"),
        ("60 mm", "4 mm", "28 mm"),
        ("-20 mm", "0 mm", "20 mm"),
        ("60 mm", "0 mm", "20 mm"),
    ] {
        let (made, found) = own::one(&disc(step, &arm(at, clear)));
        assert_eq!(found, [], "{at} {clear}");
        let (is, wanted) = (made.flat.region.area(), swept(width, at));
        assert!((is - wanted).abs() < 1e-6, "{at} {clear}: {is}, not {wanted}");
    }
    // Beside the metal there is nothing to cut.
    let (made, _) = own::one(&disc(step, &arm("200 mm", "4 mm")));
    assert!(made.flat.region.holes().is_empty());
    // Metal that is not cut still obstructs.
    let stopped = own::stopped(&disc("{ round = \"0 mm\" }", &arm("-20 mm", "4 mm")));
    assert_eq!(stopped, [("obstacle", "the part overlaps `lever`".to_owned())]);
}

/// A pipe through an opening, 3 mm all round.
#[test]
fn what_goes_through_an_opening_is_clear_of_its_edge() {
    let pipe = |clear: &str| {
        let cut = "{ cut = \"disc\", radius = \"23 mm\" }";
        disc(
            cut,
            &format!(
                "obstacles = [ {{ name = \"pipe\", shape = \"disc\", radius = \"20 mm\", clearance = \"{clear}\" }} ]\n"
            ),
        )
    };
    own::one(&pipe("3 mm"));
    let wanted = "`pipe` is 3 mm from the part, but 4 mm is required";
    assert_eq!(own::stopped(&pipe("4 mm")), [("obstacle", wanted.to_owned())]);
}

/// Widths of 10, 20 and 30 with gaps of 5 are 70 long: centres at -30, -10 and 20.
#[test]
fn things_side_by_side_have_their_gaps() {
    let (made, found) = own::one(
        "about = \"x\"\n[inputs]\nd = { kind = \"lengths\", default = [\"10 mm\", \"20 mm\", \"30 mm\"], about = \"x\" }\n\
         [face.plate]\nblank = [ { add = \"rectangle\", width = \"120 mm\", height = \"60 mm\" } ]\n\
         holes = [ { name = \"h\", each = { x = \"spaced(d, 5 mm)\", w = \"d\" }, at = [\"x\", \"0\"], diameter = \"w\" } ]\n",
    );
    assert!(found.iter().all(|f| f.weight != Weight::Stop));
    let places: Vec<Point> = made.part.faces[0].holes.iter().map(|hole| hole.at).collect();
    for (at, x) in places.iter().zip([-30.0, -10.0, 20.0]) {
        assert!((at.x - x).abs() < 1e-9 && at.y.abs() < 1e-9, "{places:?}");
    }
    assert_eq!(places.len(), 3);
}
