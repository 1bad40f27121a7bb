//! Random plates with fold lines, against a model that folds their points independently.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::diag::Weight;
use platewright::fold;
use platewright::fold::Folded;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::solve::Solved;
use serde_json::Value;
use serde_json::json;
use std::fmt::Write;

/// Number of plates compared, in two lots.
const PLATES: usize = 80;

/// A plate some 200 mm long and 90 mm wide about the origin.
fn blank(rng: &mut Rng) -> String {
    let (x, y) = (rng.between(90.0, 130.0), rng.between(35.0, 55.0));
    match rng.between(0.0, 4.0) as usize {
        0 => format!(
            "{{ add = \"rectangle\", width = \"{} mm\", height = \"{} mm\", corner = \"{} mm\" }}",
            2.0 * x,
            2.0 * y,
            y / 4.0
        ),
        1 => {
            format!("{{ add = \"slot\", length = \"{} mm\", width = \"{} mm\" }}", 2.0 * x, 2.0 * y)
        }
        2 => format!(
            "{{ add = \"polygon\", corners = [[\"-{x} mm\", \"-{y} mm\"], [\"{x} mm\", \"-{} mm\"], [\"{} mm\", \"{y} mm\"], [\"-{x} mm\", \"{} mm\"]] }}",
            y / 2.0,
            x * 0.8,
            y * 0.7
        ),
        _ => format!(
            "{{ add = \"polygon\", corners = [[\"-{x} mm\", \"-{y} mm\"], {{ at = [\"{x} mm\", \"-{y} mm\"], arc = {{ height = \"12 mm\" }} }}, {{ at = [\"{x} mm\", \"{y} mm\"], arc = {{ height = \"10 mm\" }} }}, [\"-{x} mm\", \"{y} mm\"]] }}"
        ),
    }
}

/// A plate with up to four lines, those towards +x nested, one perhaps towards −x.
fn plate(rng: &mut Rng) -> (String, Vec<Value>) {
    let mut text = format!("about = \"x\"\n[face.plate]\nblank = [ {} ]\n", blank(rng));
    let mut lines = Vec::new();
    let mut x = rng.between(-30.0, 0.0);
    let count = 1 + rng.between(0.0, 3.0) as usize;
    let back = rng.between(0.0, 2.0) < 1.0;
    for i in 0..count + usize::from(back) {
        let backwards = i == count;
        let at = if backwards { rng.between(-70.0, -60.0) } else { x };
        let slant =
            Angle::from_degrees(rng.between(-35.0, 35.0) + if backwards { 90.0 } else { -90.0 });
        let centre = Point::new(at, rng.between(-10.0, 10.0));
        let half = rng.between(5.0, 15.0);
        let end = |sign: f64| {
            let by = sign * half;
            Point::new(centre.x + by * slant.cos(), centre.y + by * slant.sin())
        };
        let (from, to) = (end(-1.0), end(1.0));
        let (angle, radius) = (rng.between(5.0, 75.0), rng.between(1.5, 6.0));
        let up = rng.between(0.0, 2.0) < 1.0;
        let side = if up { "up" } else { "down" };
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "[bend.b{i}]\nacross = \"plate\"\nline = [[\"{} mm\", \"{} mm\"], [\"{} mm\", \"{} mm\"]]\nto = \"f{i}\"\nangle = \"{angle} deg\"\nradius = \"{radius} mm\"\nside = \"{side}\"",
            from.x, from.y, to.x, to.y
        );
        lines.push(json!({ "from": [from.x, from.y], "to": [to.x, to.y], "angle": angle, "radius": radius, "up": up }));
        x += rng.between(28.0, 40.0);
    }
    (text, lines)
}

fn edges(outline: &Outline) -> Value {
    outline.edges().map(|e| json!([[e.from.x, e.from.y], [e.to.x, e.to.y], e.bulge])).collect()
}

/// Corners and edge middles of all faces and bends, in the flat and in space, on both sides.
fn points(solved: &Solved, folded: &Folded) -> Vec<Value> {
    let mut points = Vec::new();
    let t = solved.part.thickness;
    let of = |outline: &Outline| -> Vec<Point> {
        outline.edges().flat_map(|e| [e.from, e.point_at(0.5)]).collect()
    };
    for (face, place) in folded.faces.iter().zip(&solved.flat.places) {
        for p in of(face.region.outer()) {
            let at = place.apply(p);
            for h in [0.0, -t] {
                points.push(json!([[at.x, at.y], h, face.frame.point(p, h)]));
            }
        }
    }
    for (bend, (strip, metal)) in
        folded.bends.iter().zip(solved.flat.bends.iter().zip(&folded.strips))
    {
        let near = strip.tangents[0];
        let along = (near.from - near.to).normalize();
        let out = (strip.tangents[1].from - near.from).normalize();
        for p in of(metal.outer()) {
            let at = near.to + along * p.x + out * p.y;
            for h in [0.0, -t] {
                let space = bend.point(p.x, p.y / bend.allowance, h);
                points.push(json!([[at.x, at.y], h, space]));
            }
        }
    }
    points
}

/// The worst of either lot is printed with `--nocapture`.
#[test]
fn folded_points_are_where_another_model_has_them() {
    let mut rng = Rng(30);
    let (mut parts, mut refused) = (Vec::new(), 0);
    while parts.len() < PLATES {
        let (text, lines) = plate(&mut rng);
        let solved = match own::solve(&text, "2 mm", "waterjet") {
            Ok((mut solved, _)) => solved.remove(0),
            Err(found) => {
                let known = ["bend", "min-flange", "flange-collision"];
                let mut stops = found.iter().filter(|f| f.weight == Weight::Stop);
                assert!(stops.all(|f| known.contains(&f.code)), "{text}\n{found:?}");
                refused += 1;
                assert!(refused < 4 * PLATES, "{text}\n{found:?}");
                continue;
            }
        };
        let plain = text.split("[bend.").next().unwrap();
        let drawn = own::solve(plain, "2 mm", "waterjet").unwrap().0.remove(0);
        let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
        parts.push(json!({
            "thickness": 2.0,
            "lot": (rng.between(0.0, 2.0)) as usize,
            "drawn": edges(drawn.flat.region.outer()),
            "flat": edges(solved.flat.region.outer()),
            "lines": lines,
            "points": points(&solved, &folded),
        }));
    }
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("parts.json");
    std::fs::write(&file, json!(parts).to_string()).unwrap();
    let (good, said) = python::run("check_fold_lines.py", &[file.to_str().unwrap()]);
    assert!(good, "{said}");
    println!("{refused} refused; {said}");
    let said: Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["parts"], PLATES);
    assert!(said["points"].as_u64().unwrap() > 4000, "{said}");
}
