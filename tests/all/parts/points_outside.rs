//! Points fitted to measurements with errors, against the least squares of numpy.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::formula::Value;
use serde_json::json;
use std::fmt::Write;

const NAMES: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// A recipe of random points, each measured from those before it, with errors of up to 3 mm;
/// and the same for the outside check, without the places that are found.
fn network(rng: &mut Rng) -> (String, serde_json::Value) {
    let count = 4 + (rng.between(0.0, 3.0) as usize).min(2);
    let at: Vec<[f64; 2]> = (0..count)
        .map(|i| {
            let angle = std::f64::consts::TAU * i as f64 / count as f64 + rng.between(0.0, 0.5);
            let far = rng.between(200.0, 400.0);
            let angle = platewright::num::Angle::from_degrees(angle.to_degrees());
            [far * angle.cos(), far * angle.sin()]
        })
        .collect();
    let error = |rng: &mut Rng| rng.between(-3.0, 3.0);
    let apart = |a: [f64; 2], b: [f64; 2]| ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2)).sqrt();
    let coordinates = |at: [f64; 2]| format!("[\"{} mm\", \"{} mm\"]", at[0], at[1]);
    let mut text = format!(
        "about = \"x\"\ntape = \"60 mm\"\n[points]\nA = {}\nB = {}\n",
        coordinates(at[0]),
        coordinates(at[1])
    );
    let mut measures = Vec::new();
    for i in 2..count {
        let mut line = String::new();
        for j in 0..i {
            let value = apart(at[i], at[j]) + error(rng);
            // Writing to a string cannot fail.
            let _ = write!(line, "{} = \"{value} mm\", ", NAMES[j]);
            measures.push(json!(["distance", [NAMES[i], NAMES[j]], value]));
        }
        let turn = at[1][0] - at[0][0];
        let across = (at[1][0] - at[0][0]) * (at[i][1] - at[0][1])
            - (at[1][1] - at[0][1]) * (at[i][0] - at[0][0]);
        let left = across / apart(at[0], at[1]) + error(rng);
        measures.push(json!(["left", [NAMES[i], "A", "B"], left]));
        let more = if i == 2 && turn != 0.0 {
            let angle = platewright::num::Angle::of(at[i][0] - at[1][0], at[i][1] - at[1][1]);
            measures.push(json!(["direction", [NAMES[i], "B"], angle.degrees() + 0.2]));
            format!(", direction = {{ B = \"{} deg\" }}", angle.degrees() + 0.2)
        } else {
            String::new()
        };
        let side = if across > 0.0 { "left" } else { "right" };
        let _ = writeln!(
            text,
            "{} = {{ from = {{ {} }}, left = {{ of = [\"A\", \"B\"], by = \"{left} mm\" }}, side = \"{side}\"{more} }}",
            NAMES[i],
            line.trim_end_matches(", ")
        );
    }
    text += "[face.plate]\nblank = [ { add = \"disc\", radius = \"50 mm\" } ]\n";
    let places: serde_json::Map<String, serde_json::Value> =
        (0..count).map(|i| (NAMES[i].to_owned(), json!(at[i]))).collect();
    (text, json!({ "places": places, "free": &NAMES[2..count], "measures": measures }))
}

#[test]
fn points_are_those_of_another_least_squares() {
    let mut rng = Rng(20);
    let mut networks = Vec::new();
    for _ in 0..60 {
        let (text, mut network) = network(&mut rng);
        let (solved, _) = own::one(&text);
        let found: serde_json::Map<String, serde_json::Value> = NAMES
            .iter()
            .filter_map(|name| match solved.params.get(name) {
                Some(Value::Point(at)) => Some(((*name).to_owned(), json!(at))),
                _ => None,
            })
            .collect();
        network["found"] = json!(found);
        networks.push(network);
    }
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("networks.json");
    std::fs::write(&file, json!(networks).to_string()).unwrap();
    let (good, said) = python::run("check_points.py", &[file.to_str().unwrap()]);
    assert!(good, "{said}");
    let said: serde_json::Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["networks"], 60);
    // It measures its slopes, and so ends within some millionths of a millimetre.
    assert!(said["worst"].as_f64().unwrap() < 1e-5, "{said}");
}
