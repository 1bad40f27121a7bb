//! The sizes on drawings, measured: each number is the distance of its feet, each defining corner
//! has its numbers, letters are at their own holes, leaders cross no other feature.

use crate::files::drawn::items;
use crate::files::drawn::notes;
use crate::files::drawn::pieces;
use crate::files::drawn::text;
use crate::files::shop_drawings::DRAWINGS;
use crate::files::shop_drawings::solve;
use platewright::drawings;
use platewright::geom::Edge;
use platewright::geom::Point;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Page;
use std::collections::BTreeMap;

/// Millimetres of a unit, and the last digit of positions and of sizes, by the title block.
fn units(page: &Page) -> (f64, f64, f64) {
    let is_inch = items(page).iter().any(|item| match item {
        Item::Words(words) => words.text == "in",
        _ => false,
    });
    if is_inch { (25.4, 0.0005 * 25.4, 0.0005 * 25.4) } else { (1.0, 0.05, 0.005) }
}

/// Rounding of the arithmetic, mm.
const NEAR: f64 = 1e-6;

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text:?} is no number"))
}

#[test]
fn every_running_number_is_the_distance_of_its_feet() {
    let mut seen = 0;
    for (name, drawing) in DRAWINGS.iter() {
        let page = &drawing.pages[0];
        let (unit, off, _) = units(page);
        for (note, _) in notes(page, &["running-x", "running-y"]) {
            let [from, to] = note.feet[..] else { panic!("{name}: {note:?}") };
            let along = if note.kind == "running-x" { to.x - from.x } else { to.y - from.y };
            let is = along / note.scale;
            let said = number(&note.text) * unit;
            assert!((is - said).abs() <= off + NEAR, "{name}: {} is {is}", note.text);
            seen += 1;
        }
    }
    assert!(seen > 500, "{seen}");
}

#[test]
fn radii_diameters_and_slots_are_as_they_are_drawn() {
    let mut seen = 0;
    for (name, drawing) in DRAWINGS.iter() {
        let page = &drawing.pages[0];
        let (unit, _, off) = units(page);
        for (note, _) in notes(page, &["radius"]) {
            let Some((_, said)) = note.text.split_once('R') else { continue };
            for arc in note.feet.chunks(3) {
                let [a, b, c] = arc else { panic!("{name}: {note:?}") };
                let is = through(*a, *b, *c) / note.scale;
                assert!((is - number(said) * unit).abs() <= off + 1e-4, "{name}: R{said} is {is}");
                seen += 1;
            }
        }
        for (note, _) in notes(page, &["diameter", "slot"]) {
            let (_, rest) = note.text.split_once('|').expect("count, sizes, words");
            let (sizes, words) = rest.split_once('|').expect("sizes, words");
            for (size, ends) in sizes.split(" × ").zip(note.feet.chunks(2)) {
                let is = (ends[1] - ends[0]).hypot() / note.scale;
                assert!((is - number(size) * unit).abs() <= off + 1e-4, "{name}: {size} is {is}");
                assert!(words.contains(size), "{name}: {size} is not said: {words}");
                seen += 1;
            }
        }
    }
    assert!(seen > 200, "{seen}");
}

/// The radius of the circle through three points.
fn through(a: Point, b: Point, c: Point) -> f64 {
    let sides = [(b - a).hypot(), (c - b).hypot(), (a - c).hypot()];
    let area = ((b - a).cross(c - a) / 2.0).abs();
    sides.iter().product::<f64>() / (4.0 * area)
}

/// Only a corner across the metal has a number on the near side already: on the far one.
#[test]
fn a_number_of_an_axis_is_given_again_only_at_another_corner() {
    let mut again = 0;
    for (name, drawing) in DRAWINGS.iter() {
        let page = &drawing.pages[0];
        let main = notes(page, &["outline"])[0].0.scale;
        for kind in ["running-x", "running-y"] {
            let all = notes(page, &[kind]);
            let all = all.iter().map(|(note, _)| note);
            let all = all.filter(|note| note.scale == main && note.text != "0");
            let mut seen: BTreeMap<&str, Vec<Point>> = BTreeMap::new();
            for note in all {
                let feet = seen.entry(note.text.as_str()).or_default();
                let apart = feet.iter().map(|foot| (*foot - note.feet[1]).hypot());
                assert!(apart.fold(f64::MAX, f64::min) > 1.0, "{name}: {kind} {}", note.text);
                feet.push(note.feet[1]);
                assert!(feet.len() <= 2, "{name}: {kind} {} thrice", note.text);
                again += feet.len() - 1;
            }
        }
    }
    assert!(again > 0, "a gusset has two corners at one distance");
}

#[test]
fn the_letter_of_a_hole_stands_nearest_to_its_own() {
    let mut seen = 0;
    for (name, drawing) in DRAWINGS.iter() {
        let letters = notes(&drawing.pages[0], &["letter"]);
        let centres: Vec<Point> = letters.iter().map(|(note, _)| note.feet[0]).collect();
        for (note, items) in &letters {
            let [Item::Words(words)] = items else { panic!("{name}: {note:?}") };
            let middle = words.at + (words.length() / 2.0, words.height / 2.0);
            let own = (middle - note.feet[0]).hypot();
            let nearest = centres.iter().map(|c| (*c - middle).hypot()).fold(f64::MAX, f64::min);
            assert!(own <= nearest + NEAR, "{name}: {} is {own}, not {nearest} off", note.text);
            seen += 1;
        }
    }
    assert!(seen > 90, "{seen}");
}

#[test]
fn leaders_cross_no_opening_but_their_own() {
    let mut seen = 0;
    for (name, drawing) in DRAWINGS.iter() {
        let page = &drawing.pages[0];
        let outlines = notes(page, &["outline", "opening"]);
        // The first outline is that of the part.
        let openings: Vec<Vec<Edge>> = outlines
            .iter()
            .skip(1)
            .filter_map(|(_, items)| match items {
                [Item::Line(_, edges)] => Some(edges.clone()),
                _ => None,
            })
            .collect();
        for (note, _) in notes(page, &["leader"]) {
            let [tip, elbow] = note.feet[..] else { panic!("{name}: {note:?}") };
            for opening in &openings {
                let is_own = opening.iter().any(|edge| (edge.nearest(tip) - tip).hypot() < 1e-3);
                let crossed = opening.iter().flat_map(pieces).any(|[a, b]| {
                    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
                    side(tip, elbow, a) * side(tip, elbow, b) < 0.0
                        && side(a, b, tip) * side(a, b, elbow) < 0.0
                });
                assert!(is_own || !crossed, "{name}: a leader from {tip:?} crosses an opening");
            }
            seen += 1;
        }
    }
    assert!(seen > 100, "{seen}");
}

/// Eight faces one above the other with seven bends, each of other ends: no line of symmetry.
fn rack() -> String {
    let faces = [
        (40, -40, 30),
        (50, -28, 30),
        (60, -33, 22),
        (36, -28, 18),
        (60, -36, 25),
        (50, -30, 29),
        (40, -26, 21),
        (30, -31, 24),
    ];
    let face = |(i, (long, left, right)): (usize, &(i32, i32, i32))| {
        format!(
            "[face.f{i}]\nblank = [ {{ add = \"polygon\", corners = [ [\"{left} mm\", \"0\"], \
             [\"{right} mm\", \"0\"], {{ at = [\"{right} mm\", \"{long} mm\"], edge = \"top\" }}, \
             [\"{left} mm\", \"{long} mm\"] ] }} ]\n"
        )
    };
    let bend = |(i, angle): (usize, &i32)| {
        let side = if [0, 3, 4].contains(&i) { "up" } else { "down" };
        format!(
            "[bend.b{i}]\non = \"f{i}.top\"\nto = \"f{}\"\nangle = \"{angle} deg\"\n\
             radius = \"2 mm\"\nside = \"{side}\"\n",
            i + 1
        )
    };
    let faces: String = faces.iter().enumerate().map(face).collect();
    let bends: String = [90, 60, 45, 90, 90, 45, 90].iter().enumerate().map(bend).collect();
    format!("about = \"Rack\"\n{faces}{bends}")
}

/// Runs of close corners look alike at both ends of each bend, but each has positions of its own.
#[test]
fn every_corner_of_a_part_without_symmetry_has_its_position_on_some_sheet() {
    let job = "process = \"laser\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"steel\"\n\
               material = \"S235\"\nthickness = \"1.5 mm\"\nstock = []\n[[part]]\n\
               recipe = \"own\"\nname = \"rack\"\nsheet = \"steel\"\n";
    let (job, all) = solve(job, &rack());
    let drawing = drawings::shop_drawing(&job, &all, &all[0], Format::A4);
    let numbers = |kind: &str| -> Vec<f64> {
        let pages = drawing.pages.iter();
        let notes = pages.flat_map(|page| notes(page, &[kind]));
        notes.map(|(note, _)| number(&note.text)).collect()
    };
    let (across, up) = (numbers("running-x"), numbers("running-y"));
    let region = &all[0].flat.region;
    let edges: Vec<Edge> = region.outer().edges().collect();
    let origin = region.bounds().min;
    let next = edges.iter().cycle().skip(1);
    let is_corner = |(a, b): &(&Edge, &Edge)| {
        let bend = (a.to - a.from).normalize().cross((b.to - b.from).normalize());
        a.is_line() && b.is_line() && bend.abs() > 0.1
    };
    let corners: Vec<Point> =
        edges.iter().zip(next).filter(is_corner).map(|(a, _)| (a.to - origin).to_point()).collect();
    assert!(corners.len() > 30, "{} corners", corners.len());
    let has = |all: &[f64], mm: f64| all.iter().any(|said| (said - mm).abs() < 0.0051);
    for at in corners {
        assert!(has(&across, at.x) && has(&up, at.y), "{at:?} is on no sheet: {across:?} {up:?}");
    }
    let text = text(&drawing);
    assert!(text.contains("5:1") && !text.contains("mirrored about"), "{text}");
}
