//! One part described in two ways is one flat. No table of wanted figures is needed for
//! that: whatever the flat is, both descriptions must give it.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::geom::Region;
use platewright::job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::place::Search;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Ways of adding up differ in the last bits, in mm and mm².
const NEAR: f64 = 1e-7;

const SHEET: &str = "process = \"waterjet\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
    thickness = \"3 mm\"\nstock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n";

/// Solves a job whose recipe `own` is the given text. Findings are drawn, to be read.
fn solved(job_text: &str, own: &str) -> Vec<Solved> {
    let tables = Tables::shipped();
    let mut sources = Sources::default();
    let source = sources.add("job.toml", job_text);
    let shipped = Shelf::shipped(&tables);
    let recipe = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), own.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let shelf = Shelf { recipe: &recipe, ..shipped };
    let mut found = || {
        let job = job::read("job", source, job_text, &shelf, &mut sources)?;
        Ok(solve::solve(&job, &shelf, &mut sources, &|| {})?.0)
    };
    found().unwrap_or_else(|findings: Vec<Finding>| {
        let drawn: Vec<String> = findings.iter().map(|f| sources.draw(f, false)).collect();
        panic!("{}\n{own}", drawn.join("\n"))
    })
}

/// The flat of a recipe with its defaults, on 3 mm of S235.
fn flat(recipe: &str) -> Region {
    let job = format!("{SHEET}[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n");
    solved(&job, recipe).remove(0).flat.region
}

/// The flat of a shipped recipe with these values.
fn shipped(recipe: &str, given: &str) -> Region {
    let job = format!(
        "{SHEET}[[part]]\nrecipe = \"{recipe}\"\nname = \"own\"\nsheet = \"s\"\ngiven = {{ {given} }}\n"
    );
    solved(&job, "").remove(0).flat.region
}

/// A recipe of one face.
fn plate(blank: &str, holes: &str) -> String {
    format!("about = \"Plate\"\n[face.plate]\nblank = [ {blank} ]\nholes = [ {holes} ]\n")
}

fn polygon(corners: &[String]) -> String {
    format!("{{ add = \"polygon\", corners = [ {} ] }}", corners.join(", "))
}

#[track_caller]
fn near(a: f64, b: f64, what: &str) {
    assert!((a - b).abs() < NEAR, "{what}: {a} and {b}");
}

/// What does not depend on where a plate lies or how it is turned.
#[track_caller]
fn congruent(a: &Region, b: &Region) {
    near(a.area(), b.area(), "area");
    near(a.length(), b.length(), "length of the cuts");
    assert_eq!(a.holes().len(), b.holes().len(), "holes");
    assert_eq!(a.outer().vertices().len(), b.outer().vertices().len(), "corners");
    let sides = |r: &Region| {
        let (w, h) = (r.bounds().width(), r.bounds().height());
        (w.min(h), w.max(h))
    };
    near(sides(a).0, sides(b).0, "shorter side");
    near(sides(a).1, sides(b).1, "longer side");
}

/// Also in the same place.
#[track_caller]
fn same(a: &Region, b: &Region) {
    congruent(a, b);
    let (p, q) = (a.bounds(), b.bounds());
    near(p.min.x, q.min.x, "left");
    near(p.min.y, q.min.y, "bottom");
    near(p.max.x, q.max.x, "right");
    near(p.max.y, q.max.y, "top");
    for (v, w) in a.outer().vertices().iter().zip(b.outer().vertices()) {
        assert!((v.at - w.at).hypot() < NEAR, "{v:?} and {w:?}");
        near(v.bulge, w.bulge, "bulge");
    }
}

/// A plate with every kind of corner; all of its angles and sides differ.
fn corners() -> Vec<(f64, f64, &'static str)> {
    vec![
        (0.0, 0.0, ""),
        (80.0, 0.0, "round = \"9 mm\""),
        (95.0, 40.0, ""),
        (60.0, 35.0, "round = \"5 mm\""),
        (50.0, 70.0, "chamfer = \"6 mm\""),
        (5.0, 55.0, "clip = \"7 mm\""),
    ]
}

fn typed(corners: &[(f64, f64, &str)]) -> Vec<String> {
    let corner = |(x, y, what): &(f64, f64, &str)| match what.is_empty() {
        true => format!("[\"{x} mm\", \"{y} mm\"]"),
        false => format!("{{ at = [\"{x} mm\", \"{y} mm\"], {what} }}"),
    };
    corners.iter().map(corner).collect()
}

const EYE: &str = "{ name = \"eye\", diameter = \"12 mm\", at = [\"30 mm\", \"30 mm\"] }";

#[test]
fn the_first_corner_and_the_direction_do_not_matter() {
    let wanted = flat(&plate(&polygon(&typed(&corners())), EYE));
    for first in 0..corners().len() {
        let mut turned = corners();
        turned.rotate_left(first);
        same(&wanted, &flat(&plate(&polygon(&typed(&turned)), EYE)));
        turned.reverse();
        same(&wanted, &flat(&plate(&polygon(&typed(&turned)), EYE)));
    }
}

#[test]
fn a_mirrored_or_turned_plate_is_congruent() {
    let wanted = flat(&plate(&polygon(&typed(&corners())), EYE));
    let mirrored: Vec<_> = corners().into_iter().map(|(x, y, w)| (-x, y, w)).collect();
    let eye = EYE.replace("[\"30 mm\"", "[\"-30 mm\"");
    congruent(&wanted, &flat(&plate(&polygon(&typed(&mirrored)), &eye)));
    let swapped: Vec<_> = corners().into_iter().map(|(x, y, w)| (y, x, w)).collect();
    congruent(&wanted, &flat(&plate(&polygon(&typed(&swapped)), EYE)));
    for (rotation, x, y) in [("90 deg", -30, 30), ("180 deg", -30, -30), ("270 deg", 30, -30)] {
        let step = polygon(&typed(&corners()));
        let open = step.strip_suffix('}').unwrap();
        let eye =
            format!("{{ name = \"eye\", diameter = \"12 mm\", at = [\"{x} mm\", \"{y} mm\"] }}");
        congruent(&wanted, &flat(&plate(&format!("{open}, rotate = \"{rotation}\" }}"), &eye)));
    }
}

#[test]
fn units_do_not_matter() {
    let of = |w: &str, h: &str, d: &str| {
        let step = format!(
            "{{ add = \"rectangle\", width = \"{w}\", height = \"{h}\", corner = \"{d}\" }}"
        );
        flat(&plate(&step, &format!("{{ name = \"eye\", diameter = \"{d}\" }}")))
    };
    let wanted = of("76.2 mm", "38.1 mm", "6.35 mm");
    for (w, h, d) in [
        ("3 in", "1-1/2 in", "1/4 in"),
        ("3\\\"", "1.5 in", "0.25 in"),
        ("7.62 cm", "0.0381 m", "250 mil"),
        ("1/4 ft", "1/8 ft", "1/48 ft"),
        ("2 in + 25.4 mm", "3 in / 2", "sqrt(6.35 mm * 1/4 in)"),
    ] {
        same(&wanted, &of(w, h, d));
    }
}

#[test]
fn inches_given_to_a_shipped_recipe_are_the_millimetres() {
    for (recipe, metric, inches) in [
        (
            "tab",
            "reach = \"31.75 mm\", foot = \"38.1 mm\"",
            "reach = \"1-1/4 in\", foot = \"1-1/2 in\"",
        ),
        ("tab", "tube = \"50.8 mm\", angle = \"60 deg\"", "tube = \"2 in\", angle = \"60\u{b0}\""),
        (
            "gusset",
            "main = \"38.1 mm\", offset = \"6.35 mm\"",
            "main = \"1.5 in\", offset = \"1/4 in\"",
        ),
        (
            "end-cap",
            "outside = \"50.8 mm\", wall = \"3.175 mm\"",
            "outside = \"2 in\", wall = \"1/8 in\"",
        ),
        ("angle", "leg = \"50.8 mm\", radius = \"6.35 mm\"", "leg = \"2 in\", radius = \"1/4 in\""),
    ] {
        same(&shipped(recipe, metric), &shipped(recipe, inches));
    }
}

#[test]
fn the_order_of_holes_does_not_matter() {
    let holes = [
        "{ name = \"a\", diameter = \"8 mm\", at = [\"-30 mm\", \"5 mm\"] }",
        "{ name = \"b\", diameter = \"6 mm\", slot = \"20 mm\", at = [\"20 mm\", \"0\"], rotate = \"30 deg\" }",
        "{ name = \"c\", hexagon = \"13 mm\", at = [\"-5 mm\", \"-10 mm\"] }",
        "{ name = \"d\", diameter = \"5 mm\", corners = { inset = \"7 mm\" } }",
    ];
    let step = "{ add = \"rectangle\", width = \"100 mm\", height = \"60 mm\", corner = \"5 mm\" }";
    let wanted = flat(&plate(step, &holes.join(", ")));
    assert_eq!(wanted.holes().len(), 7);
    for rotation in 1..holes.len() {
        let mut order = holes;
        order.rotate_left(rotation);
        let other = flat(&plate(step, &order.join(", ")));
        same(&wanted, &other);
        let areas = |r: &Region| {
            let mut areas: Vec<f64> = r.holes().iter().map(|h| h.area()).collect();
            areas.sort_by(f64::total_cmp);
            areas
        };
        assert_eq!(areas(&wanted), areas(&other));
    }
}

#[test]
fn the_order_of_formulas_and_inputs_does_not_matter() {
    let formulas = [
        "side = \"2 * half + inset\"",
        "half = \"third + 5 mm\"",
        "third = \"inset * 3\"",
        "hole = \"half / 2\"",
    ];
    let inputs = [
        "inset = { kind = \"length\", default = \"deep / 4\", about = \"a\" }",
        "deep = { kind = \"length\", default = \"32 mm\", about = \"b\" }",
    ];
    let of = |formulas: &[&str], inputs: &[&str]| {
        let step = "{ add = \"rectangle\", width = \"side\", height = \"40 mm\" }";
        let hole = "{ name = \"eye\", diameter = \"hole\" }";
        let values =
            format!("[inputs]\n{}\n[derived]\n{}\n", inputs.join("\n"), formulas.join("\n"));
        flat(&plate(step, hole).replace("[face.plate]", &format!("{values}[face.plate]")))
    };
    let wanted = of(&formulas, &inputs);
    near(wanted.bounds().width(), 2.0 * 29.0 + 8.0, "width by hand");
    let mut other = formulas;
    for _ in 0..formulas.len() {
        other.rotate_left(1);
        same(&wanted, &of(&other, &inputs));
        let backwards: Vec<&str> = other.iter().rev().copied().collect();
        same(&wanted, &of(&backwards, &[inputs[1], inputs[0]]));
    }
}

#[test]
fn other_steps_to_the_same_plate_are_the_same_plate() {
    let same_as = |a: &str, b: &str| congruent(&flat(&plate(a, "")), &flat(&plate(b, "")));
    same_as(
        "{ add = \"rectangle\", width = \"60 mm\", height = \"40 mm\" }",
        "{ add = \"polygon\", corners = [[\"-30 mm\", \"-20 mm\"], [\"30 mm\", \"-20 mm\"], [\"30 mm\", \"20 mm\"], [\"-30 mm\", \"20 mm\"]] }",
    );
    same_as(
        "{ add = \"slot\", length = \"60 mm\", width = \"20 mm\" }",
        "{ add = \"belt\", round = [{ disc = \"10 mm\", at = [\"-20 mm\", \"0\"] }, { disc = \"10 mm\", at = [\"20 mm\", \"0\"] }] }",
    );
    same_as(
        "{ add = \"rectangle\", width = \"60 mm\", height = \"40 mm\", corner = \"8 mm\" }",
        "{ add = \"rectangle\", width = \"60 mm\", height = \"40 mm\" }, { round = \"8 mm\" }",
    );
    same_as(
        "{ add = \"slot\", length = \"60 mm\", width = \"20 mm\" }",
        "{ add = \"rectangle\", width = \"60 mm\", height = \"20 mm\", corner = \"10 mm\" }",
    );
    let pierced = flat(&plate(
        "{ add = \"disc\", radius = \"30 mm\" }, { cut = \"disc\", radius = \"6 mm\" }",
        "",
    ));
    let hole = "{ name = \"eye\", diameter = \"12 mm\" }";
    same(&pierced, &flat(&plate("{ add = \"disc\", radius = \"30 mm\" }", hole)));
}

/// A leg drawn to another line, shortened by the distance of the lines.
fn angle(leg: &str, measured: &str, side: &str) -> Region {
    flat(&format!(
        "about = \"Angle\"\n[face.base]\nblank = [ {{ add = \"polygon\", corners = [[\"-20 mm\", \"-({leg})\"], \
         [\"20 mm\", \"-({leg})\"], {{ at = [\"20 mm\", \"0\"], edge = \"heel\" }}, [\"-20 mm\", \"0\"]] }} ]\n\
         [face.leg]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"{leg}\", at = [\"0\", \"({leg}) / 2\"] }} ]\n\
         [bend.heel]\non = \"base.heel\"\nto = \"leg\"\nangle = \"90 deg\"\nradius = \"4 mm\"\n\
         measured = \"{measured}\"\nside = \"{side}\"\n"
    ))
}

#[test]
fn to_which_line_a_leg_is_drawn_and_the_side_of_the_bend_do_not_matter() {
    let wanted = angle("40 mm", "outside", "up");
    same(&wanted, &angle("40 mm", "outside", "down"));
    congruent(&wanted, &angle("40 mm - thickness", "inside", "up"));
    congruent(&wanted, &angle("40 mm - thickness - 4 mm", "tangent", "up"));
}

#[test]
fn either_face_of_an_angle_may_be_the_one_that_stands() {
    let of = |standing: &str, hung: &str| {
        let values = format!(
            "base = \"{standing}\", leg = \"{hung}\", base_holes = 0, leg_holes = 0, corner = \"2 mm\""
        );
        shipped("angle", &values)
    };
    congruent(&of("45 mm", "60 mm"), &of("60 mm", "45 mm"));
}

/// Pieces placed and left over, by part and kind of sheet.
fn nested(text: &str) -> (Made, BTreeMap<String, usize>) {
    let tables = Tables::shipped();
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let file = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/jobs").join(name);
        Some((name.to_owned(), fs::read_to_string(path).ok()?))
    };
    let shelf = Shelf { file: &file, ..Shelf::shipped(&tables) };
    let job = job::read("job", source, text, &shelf, &mut sources).unwrap();
    let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {}).unwrap();
    let made = make::make(&job, &solved, found, &sources, &Search::none()).unwrap();
    let report = serde_json::to_value(&made.report).unwrap();
    let mut counts = BTreeMap::new();
    for sheet in report["sheets"].as_array().unwrap() {
        for placed in sheet["placed"].as_array().unwrap() {
            let name = format!("{} on {}", placed["part"], sheet["stock"]);
            *counts.entry(name).or_insert(0) += 1;
        }
    }
    (made, counts)
}

/// The place of a piece may change with the order of the lines, but not its cuts.
#[test]
fn a_job_with_its_lines_in_another_order_nests_the_same_pieces() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/jobs/vineyard-cart.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let starts: Vec<usize> = text.match_indices("\n[[").map(|(at, _)| at + 1).collect();
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    let blocks: Vec<&str> = starts.iter().zip(ends).map(|(from, to)| &text[*from..to]).collect();
    assert!(blocks.len() > 15, "{} entries", blocks.len());
    let (wanted, pieces) = nested(&text);
    let mut order = blocks.clone();
    order.reverse();
    let mut shuffled: Vec<&str> = Vec::new();
    // A prime that does not divide their number leads to each of them.
    let step = [5, 7, 11, 13].into_iter().find(|step| !blocks.len().is_multiple_of(*step)).unwrap();
    for i in 0..blocks.len() {
        shuffled.push(blocks[(i * step + 3) % blocks.len()]);
    }
    assert_eq!(shuffled.iter().collect::<std::collections::BTreeSet<_>>().len(), blocks.len());
    for order in [order, shuffled] {
        let (made, counts) = nested(&format!("{}{}", &text[..starts[0]], order.concat()));
        assert_eq!(counts, pieces);
        let (a, b) = (&wanted.report.totals, &made.report.totals);
        assert_eq!(
            (a.parts, a.pieces, a.placed, a.pierces),
            (b.parts, b.pieces, b.placed, b.pierces)
        );
        near(a.mass_kg, b.mass_kg, "mass");
        near(a.cut_length_mm, b.cut_length_mm, "cut length");
        let flats = |made: &Made| -> BTreeMap<String, Vec<u8>> {
            let flats = made.files.iter().filter(|f| f.name.starts_with("flats/"));
            flats.map(|f| (f.name.clone(), f.bytes.clone())).collect()
        };
        assert_eq!(flats(&wanted), flats(&made), "the flats are byte for byte the same");
    }
}

/// Inches and millimetres of the same sheet and margin: the same pieces in the same places.
#[test]
fn a_job_in_inches_is_laid_as_in_millimetres() {
    let job = |units: &str, size: &str, margin: &str, given: &str| {
        format!(
            "units = \"{units}\"\nprocess = \"waterjet\"\nmargin = \"{margin}\"\n[[sheet]]\n\
             name = \"s\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = [ {{ size = [{size}], price = 5 }} ]\n\
             [[part]]\nrecipe = \"tab\"\nname = \"tab\"\nquantity = 9\nsheet = \"s\"\ngiven = {{ {given} }}\n\
             [[part]]\nrecipe = \"strap\"\nname = \"strap\"\nquantity = 3\nsheet = \"s\"\n"
        )
    };
    let mm =
        job("mm", "\"381 mm\", \"254 mm\"", "12.7 mm", "reach = \"38.1 mm\", foot = \"50.8 mm\"");
    let inch = job("in", "\"15 in\", \"10 in\"", "1/2 in", "reach = \"1-1/2 in\", foot = \"2 in\"");
    let placed = |text: &str| {
        let report = serde_json::to_value(nested(text).0.report).unwrap();
        let sheets = report["sheets"].as_array().unwrap().clone();
        sheets.iter().map(|sheet| sheet["placed"].to_string()).collect::<Vec<_>>()
    };
    assert_eq!(placed(&mm), placed(&inch));
    assert_eq!(nested(&mm).1.values().sum::<usize>(), 12);
}
