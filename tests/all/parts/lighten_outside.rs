//! Openings of random plates that lighten them, against what shapely makes of the same walls.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::geom::Outline;
use platewright::geom::Point;
use serde_json::Value;
use serde_json::json;
use std::fmt::Write;

/// Number of plates compared.
const PLATES: usize = 104;

/// The blank of a plate, some 160 mm wide and 100 mm high.
fn blank(rng: &mut Rng) -> String {
    let (w, h) = (rng.between(130.0, 180.0), rng.between(80.0, 120.0));
    let (x, y) = (w / 2.0, h / 2.0);
    match rng.between(0.0, 4.0) as usize {
        0 => format!(
            "{{ add = \"rectangle\", width = \"{w} mm\", height = \"{h} mm\", corner = \"{} mm\" }}",
            y / 3.0
        ),
        1 => format!(
            "{{ add = \"belt\", round = [ {{ disc = \"{y} mm\", at = [\"-40 mm\", \"0\"] }}, {{ disc = \"{} mm\", at = [\"{x} mm\", \"8 mm\"] }} ] }}",
            y / 2.0
        ),
        2 => format!(
            "{{ add = \"polygon\", corners = [[\"-{x} mm\", \"-{y} mm\"], [\"{x} mm\", \"-{y} mm\"], [\"{x} mm\", \"5 mm\"], [\"20 mm\", \"12 mm\"], [\"9 mm\", \"{y} mm\"], [\"-{x} mm\", \"{y} mm\"]] }}"
        ),
        _ => format!(
            "{{ add = \"polygon\", corners = [[\"-{x} mm\", \"-{y} mm\"], {{ at = [\"{x} mm\", \"-{y} mm\"], arc = {{ height = \"12 mm\" }} }}, [\"{x} mm\", \"{y} mm\"], {{ at = [\"-{x} mm\", \"{y} mm\"], arc = {{ height = \"-15 mm\" }} }}] }}"
        ),
    }
}

/// A plate with a few holes and most often a rib from each of them downwards; and its walls.
fn plate(rng: &mut Rng) -> (String, Value) {
    let (wall, radius) = (rng.between(4.0, 11.0), rng.between(2.0, 9.0));
    let mut text = format!("about = \"x\"\n[face.plate]\nblank = [ {} ]\nholes = [\n", blank(rng));
    let mut at: Vec<[f64; 2]> = Vec::new();
    for _ in 0..(rng.between(0.0, 6.0) as usize) {
        let place = [rng.between(-60.0, 60.0), rng.between(-32.0, 32.0)];
        let point = |[x, y]: [f64; 2]| Point::new(x, y);
        let apart = |other: &[f64; 2]| (point(place) - point(*other)).hypot() > 32.0;
        if at.iter().all(apart) {
            let (name, size) = (at.len(), rng.between(8.0, 20.0));
            let slot = if rng.between(0.0, 3.0) < 1.0 { ", slot = \"24 mm\"" } else { "" };
            // Writing to a string cannot fail.
            let _ = writeln!(
                text,
                "{{ name = \"h{name}\", at = [\"{} mm\", \"{} mm\"], diameter = \"{size} mm\"{slot} }},",
                place[0], place[1]
            );
            at.push(place);
        }
    }
    let width = rng.between(0.6, 1.4) * wall;
    let mut ribs = Vec::new();
    if rng.between(0.0, 3.0) < 2.0 {
        ribs.extend(at.iter().map(|[x, y]| [[*x, *y], [*x + rng.between(-20.0, 20.0), -90.0]]));
    }
    let rib = |[[a, b], [c, d]]: &[[f64; 2]; 2]| {
        format!(
            "{{ from = [\"{a} mm\", \"{b} mm\"], to = [\"{c} mm\", \"{d} mm\"], width = \"{width} mm\" }}"
        )
    };
    let list: Vec<String> = ribs.iter().map(rib).collect();
    let _ = writeln!(
        text,
        "]\nlighten = [ {{ wall = \"{wall} mm\", round = \"{radius} mm\", ribs = [ {} ] }} ]",
        list.join(", ")
    );
    (text, json!({ "wall": wall, "radius": radius, "ribs": ribs, "width": width }))
}

fn edges(outline: &Outline) -> Value {
    outline.edges().map(|e| json!([[e.from.x, e.from.y], [e.to.x, e.to.y], e.bulge])).collect()
}

#[test]
fn openings_are_those_of_another_geometry() {
    let mut rng = Rng(15);
    let mut plates = Vec::new();
    let mut round_metal = 0;
    while plates.len() < PLATES {
        let (text, mut plate) = plate(&mut rng);
        match own::solve(&text, "2 mm", "waterjet") {
            Ok((solved, _)) => {
                let flat = &solved[0].flat;
                plate["outer"] = edges(flat.region.outer());
                plate["holes"] = flat.holes.iter().map(|hole| edges(&hole.outline)).collect();
                plate["openings"] = flat.gaps().iter().map(edges).collect();
                plates.push(plate);
            }
            Err(found) if found.iter().all(|f| f.code == "lighten") => {
                assert!(found[0].headline.contains("would run right round"), "{text}\n{found:?}");
                // The same without openings has the outlines.
                let bare = text.split("lighten").next().expect("it has a beginning");
                let Ok((solved, _)) = own::solve(bare, "2 mm", "waterjet") else { continue };
                let flat = &solved[0].flat;
                plate["outer"] = edges(flat.region.outer());
                plate["holes"] = flat.holes.iter().map(|hole| edges(&hole.outline)).collect();
                round_metal += 1;
                plates.push(plate);
            }
            // A hole too near an edge is no error of openings.
            Err(found) => assert!(found.iter().all(|f| f.code != "lighten"), "{text}\n{found:?}"),
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plates.json");
    std::fs::write(&file, json!(plates).to_string()).unwrap();
    let (good, said) = python::run("check_lighten.py", &[file.to_str().unwrap()]);
    assert!(good, "{said}");
    let said: Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["plates"], PLATES);
    assert_eq!(said["round_metal"], round_metal);
    assert!(round_metal >= 10 && said["same"].as_u64().unwrap() >= 40, "{said}");
    assert!(said["parted"].as_u64().unwrap() >= 2, "{said}");
}
