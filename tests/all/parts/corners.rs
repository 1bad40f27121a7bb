//! Corners of a rectangle and edges of a face, by their names.

use crate::own;
use platewright::geom::Point;

fn plate(keys: &str, holes: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\n\
         blank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"60 mm\", {keys} }} ]\n\
         holes = [ {holes} ]\n"
    )
}

/// Each round corner of radius 10 leaves (1 - pi / 4) * 100 mm² off; the edges are as drawn.
#[test]
fn the_corners_that_are_named_are_rounded() {
    let at = [(-50.0, -30.0), (50.0, -30.0), (50.0, 30.0), (-50.0, 30.0)];
    for (keys, round) in [
        ("corner = \"10 mm\"", "1111"),
        ("corner = \"10 mm\", rounded = [\"top\"]", "0011"),
        ("corner = \"10 mm\", rounded = [\"bottom-left\"]", "1000"),
        ("corner = \"10 mm\", rounded = [\"right\", \"top-left\"]", "0111"),
        ("corner = \"0 mm\", rounded = [\"left\"]", "0000"),
    ] {
        let (made, _) = own::one(&plate(keys, ""));
        let face = &made.part.faces[0];
        let outline = face.blank.outer();
        let sharp: String = at
            .iter()
            .map(|(x, y)| {
                let near =
                    outline.vertices().iter().any(|v| (v.at - Point::new(*x, *y)).hypot() < 1e-9);
                if near { '0' } else { '1' }
            })
            .collect();
        assert_eq!(sharp, round, "{keys}");
        let rounds = round.matches('1').count() as f64;
        let area = 6000.0 - rounds * 100.0 * (1.0 - std::f64::consts::FRAC_PI_4);
        assert!((outline.area() - area).abs() < 1e-6, "{keys}: {}", outline.area());
        let names: Vec<&str> = face.edges.iter().map(|edge| edge.name.as_str()).collect();
        assert_eq!(names, ["bottom", "right", "top", "left"], "{keys}");
    }
}

/// Three on each edge, 8 mm from it; the first on the first edge, and numbered on.
#[test]
fn holes_stand_along_each_edge_that_is_named() {
    let set = "{ name = \"rivet\", diameter = \"4 mm\", along = { edge = [\"left\", \"right\"], count = \"3\", inset = \"8 mm\", ends = \"10 mm\" }, without = [2] }";
    let (made, _) = own::one(&plate("corner = \"2 mm\"", set));
    let holes = &made.part.faces[0].holes;
    let places: Vec<(&str, i64, i64)> = holes
        .iter()
        .map(|hole| (hole.name.as_str(), hole.at.x.round() as i64, hole.at.y.round() as i64))
        .collect();
    // What remains of an edge is 56 mm long, 2 mm less at both ends.
    assert_eq!(
        places,
        [
            ("rivet 1", -42, 18),
            ("rivet 3", -42, -18),
            ("rivet 4", 42, -18),
            ("rivet 5", 42, 0),
            ("rivet 6", 42, 18),
        ]
    );
}

/// Beside the relief at the end of a bend narrow metal is left where the corner is rounded: it is
/// said at which bend, and what cures it.
#[test]
fn a_corner_that_is_rounded_at_its_bend_is_told_apart() {
    let found = |rounded: &str| {
        let text = format!(
            "about = \"x\"\n\
             [face.base]\nblank = [ {{ add = \"rectangle\", width = \"180 mm\", height = \"190 mm\", at = [\"0\", \"-95 mm\"], corner = \"8 mm\"{rounded} }} ]\n\
             [face.leg]\nblank = [ {{ add = \"rectangle\", width = \"180 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] }} ]\n\
             [bend]\nheel = {{ on = \"base.top\", to = \"leg\", angle = \"90 deg\" }}\n"
        );
        match own::solve(&text, "5 mm", "waterjet") {
            Ok((_, found)) | Err(found) => found,
        }
    };
    let narrow = found("").into_iter().find(|f| f.code == "narrow-metal");
    let notes = narrow.expect("it is too narrow").notes;
    let words = "it is beside bend `heel`: where a face is rounded at its bend";
    assert!(notes.iter().any(|note| note.starts_with(words)), "{notes:?}");
    let mended = found(", rounded = [\"bottom\"]");
    assert!(mended.is_empty(), "{mended:?}");
}
