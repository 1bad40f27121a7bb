//! Arcs of a radius that touch discs, against discs rolled by another library.

use crate::python;
use crate::random::Rng;
use platewright::geom::Corner;
use platewright::geom::CornerKind;
use platewright::geom::CornerSide;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Side;
use platewright::geom::Stop;
use platewright::geom::flatten;
use platewright::geom::wrapped;
use serde_json::Value;
use serde_json::json;

/// So many shapes of each kind are compared.
const SHAPES: usize = 12;

fn drawn(outline: &Outline) -> Vec<[f64; 2]> {
    flatten(outline, 1e-4, Side::On).iter().map(|p| [p.x, p.y]).collect()
}

/// Two eyes joined by two arcs, hollow or bulging; none where hollow arcs meet at the waist.
fn link(rng: &mut Rng, hollow: bool) -> Option<Value> {
    let (r, s) = (rng.between(8.0, 25.0), rng.between(8.0, 25.0));
    let far = r + s + rng.between(5.0, 60.0);
    let least = if hollow { (far - r - s) / 2.0 } else { (far + r + s) / 2.0 };
    let radius = least * rng.between(1.15, 6.0) * if hollow { -1.0 } else { 1.0 };
    let side = CornerSide::Radius(radius);
    let stops = [Stop::Disc(Point::ZERO, r, side), Stop::Disc(Point::new(far, 0.0), s, side)];
    let (outline, _) = wrapped(&stops).ok()?;
    Some(json!({
        "discs": [[0.0, 0.0, r], [far, 0.0, s]], "radius": radius,
        "area": outline.area(), "points": drawn(&outline),
    }))
}

/// An eye over a foot, joined by two hollow flanks.
fn tab(rng: &mut Rng) -> Value {
    let (eye, half) = (rng.between(12.0, 25.0), rng.between(14.0, 30.0));
    let reach = eye + rng.between(25.0, 60.0);
    let radius = -rng.between(1.0, 2.0) * reach;
    let side = CornerSide::Radius(radius);
    let corner = |x: f64, y: f64, side: CornerSide| {
        Stop::Corner(Corner { at: Point::new(x, y), kind: CornerKind::Sharp, side })
    };
    let stops = [
        corner(-half, -2.0, CornerSide::Straight),
        corner(half, -2.0, CornerSide::Straight),
        corner(half, 0.0, side),
        Stop::Disc(Point::new(0.0, reach), eye, side),
        corner(-half, 0.0, CornerSide::Straight),
    ];
    let (outline, _) = wrapped(&stops).unwrap();
    json!({
        "discs": [[0.0, reach, eye]], "foot": [half, 2.0], "radius": radius,
        "area": outline.area(), "points": drawn(&outline),
    })
}

#[test]
fn arcs_that_touch_discs_are_those_of_a_rolling_disc() {
    let mut rng = Rng(19);
    let mut shapes = Vec::new();
    for _ in 0..SHAPES {
        let hollow = std::iter::repeat_with(|| link(&mut rng, true)).flatten().next();
        shapes.extend(hollow);
        shapes.extend(link(&mut rng, false));
        shapes.push(tab(&mut rng));
    }
    let file = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(file.path(), json!(shapes).to_string()).unwrap();
    let (good, said) = python::run("check_disc_arcs.py", &[file.path().to_str().unwrap()]);
    assert!(good, "{said}");
    println!("{said}");
    let said: Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["shapes"], 3 * SHAPES);
}
