//! Tubes in space cut out of plates that lie on three points, against a model in Python.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::geom::Point;
use platewright::geom::Side;
use platewright::geom::flatten;
use platewright::num::Angle;
use serde_json::json;

/// So many plates are compared, in two lots.
const PLATES: usize = 40;

type Space = [f64; 3];

fn plus(a: Space, b: Space, by: f64) -> Space {
    [0, 1, 2].map(|i| a[i] + b[i] * by)
}

fn cross(a: Space, b: Space) -> Space {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: Space) -> Space {
    let long = a.iter().map(|c| c * c).sum::<f64>().sqrt();
    a.map(|c| c / long)
}

/// A direction at an angle from the plane of x and y.
fn leaning(rng: &mut Rng, lean: f64) -> Space {
    let (lean, way) = (Angle::from_degrees(lean), Angle::from_degrees(rng.between(0.0, 360.0)));
    [lean.cos() * way.cos(), lean.cos() * way.sin(), lean.sin()]
}

/// The points of a tube in the drawing of the plate, z above its top side, and the plate's middle:
/// a straight one across it, a bent one whose first leg crosses it, a bent one along its edge.
fn tube(kind: usize, rng: &mut Rng) -> (Vec<Space>, Point) {
    let cross = [rng.between(-15.0, 15.0), rng.between(-15.0, 15.0), -2.0];
    match kind {
        0 => {
            let lean = rng.between(20.0, 90.0);
            let along = leaning(rng, lean);
            (vec![plus(cross, along, -260.0), plus(cross, along, 260.0)], Point::ZERO)
        }
        1 => {
            let lean = rng.between(50.0, 90.0);
            let along = leaning(rng, lean);
            let lean = rng.between(-10.0, 60.0);
            let next = unit(plus(leaning(rng, lean), along, 1.0));
            let corner = plus(cross, along, 140.0);
            (vec![plus(cross, along, -200.0), corner, plus(corner, next, 160.0)], Point::ZERO)
        }
        _ => {
            let (z, down) = (rng.between(-9.0, 5.0), rng.between(60.0, 160.0));
            let path = vec![[-200.0, -down, z], [0.0, 0.0, z], [220.0, -down - 10.0, z]];
            (path, Point::new(0.0, 60.0))
        }
    }
}

/// The worst of either lot is printed with `--nocapture`.
#[test]
fn no_metal_is_left_in_a_tube_in_space_and_no_gap_beside_it() {
    let mut rng = Rng(41);
    let mut plates = Vec::new();
    for i in 0..PLATES {
        let (path, middle) = tube(i % 3, &mut rng);
        // A bend rounds off its corner: the plate reaches down into it.
        let (outside, clearance) = (rng.between(20.0, 40.0), rng.between(0.0, 0.3));
        let radius = rng.between(30.0, 60.0);
        let origin = [0, 1, 2].map(|_| rng.between(-300.0, 300.0));
        let x = unit([0, 1, 2].map(|_| rng.between(-1.0, 1.0)));
        let z = unit(cross(x, [0, 1, 2].map(|_| rng.between(-1.0, 1.0))));
        let y = cross(z, x);
        let space = |p: Space| {
            let at = plus(plus(plus(origin, x, p[0]), y, p[1]), z, p[2]);
            format!("[\"{} mm\", \"{} mm\", \"{} mm\"]", at[0], at[1], at[2])
        };
        let points: Vec<String> = path.iter().map(|p| space(*p)).collect();
        let tube = match points.as_slice() {
            [from, to] => format!("from = {from}\nto = {to}"),
            all => format!("through = [{}]\nradius = \"{radius} mm\"", all.join(", ")),
        };
        let low = if i % 3 == 2 { -12.0 } else { -130.0 };
        let text = format!(
            "about = \"x\"\n[tube.one]\noutside = \"{outside} mm\"\n{tube}\n[face.plate]\n\
             on = {{ origin = {}, x = {}, side = {} }}\nblank = [\n  {{ add = \"polygon\", corners = [ [\"-40 mm\", \"{low} mm\"], [\"40 mm\", \"{low} mm\"], [\"140 mm\", \"130 mm\"], [\"-140 mm\", \"130 mm\"] ] }},\n  \
             {{ cut = \"tube\", tube = \"one\", clearance = \"{clearance} mm\" }},\n]\n",
            space([0.0; 3]),
            space([50.0, 0.0, 0.0]),
            space([20.0, 30.0, 0.0]),
        );
        let solved = match own::solve(&text, "4 mm", "waterjet") {
            Ok((mut solved, _)) => solved.remove(0),
            Err(found) => panic!("{}: {:?}\n{text}", found[0].headline, found[0].help),
        };
        let region = &solved.part.faces[0].blank;
        let outlines: Vec<Vec<[f64; 2]>> = [region.outer()]
            .into_iter()
            .chain(region.holes())
            .map(|o| flatten(o, 1e-4, Side::On).iter().map(|p| [p.x, p.y]).collect())
            .collect();
        assert!(region.contains(Point::new(middle.x, 125.0)));
        plates.push(json!({
            "lot": usize::from(rng.between(0.0, 2.0) >= 1.0), "path": path, "bend": radius,
            "radius": outside / 2.0 + clearance, "thickness": 4.0, "outlines": outlines,
            "corners": [[-40.0, low], [40.0, low], [140.0, 130.0], [-140.0, 130.0]],
        }));
    }
    let file = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(file.path(), json!(plates).to_string()).unwrap();
    let (good, said) = python::run("check_space_tubes.py", &[file.path().to_str().unwrap()]);
    assert!(good, "{said}");
    println!("{said}");
    let said: serde_json::Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["plates"], PLATES);
}
