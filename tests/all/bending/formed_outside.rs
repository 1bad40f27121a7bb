//! Random rolled bends and hems against sections drawn by another program and a solid kernel.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::diag::Weight;
use platewright::fold;
use platewright::solid;
use platewright::solve::Solved;
use platewright::write;
use serde_json::Value;
use serde_json::json;
use std::path::Path;

/// Number of parts of each sort compared, in two lots.
const PARTS: usize = 40;

/// A strip with one bend between two straight ends: its recipe, thickness and figures.
fn strip(rng: &mut Rng, sort: usize) -> (String, f64, Value) {
    let rolled = sort == 0;
    let thickness = if sort == 2 { rng.between(0.8, 2.0) } else { rng.between(1.0, 5.0) };
    let thickness = (thickness * 20.0).round() / 20.0;
    let angle = if rolled { rng.between(30.0, 330.0) } else { 180.0 };
    let radius = match sort {
        0 => thickness * rng.between(2.0, 25.0),
        1 => thickness * rng.between(1.0, 3.0),
        // The sides of a closed hem lie on each other.
        _ => 0.0,
    };
    let far = if angle > 200.0 { 3.0 } else { 8.0 };
    let after = thickness * rng.between(2.5, far) + if rolled { 0.0 } else { 2.0 * thickness };
    let (before, width) = (rng.between(12.0, 80.0), rng.between(20.0, 90.0));
    let side = if rng.between(0.0, 2.0) < 1.0 { "up" } else { "down" };
    let form = match sort {
        0 => format!("form = \"rolled\"\nangle = \"{angle} deg\"\nradius = \"{radius} mm\""),
        1 => format!(
            "form = \"open-hem\"\nopening = \"{} mm\"\nmeasured = \"tangent\"",
            2.0 * radius
        ),
        _ => "form = \"closed-hem\"".to_owned(),
    };
    // The legs of a closed hem are measured to the outside of its fold, a thickness beyond.
    let fold = if sort == 2 { thickness } else { 0.0 };
    let [base, tail] = [before + fold, after + fold];
    let text = format!(
        "about = \"x\"\n[face.base]\nblank = [ {{ add = \"rectangle\", width = \"{width} mm\", height = \"{base} mm\", at = [\"0\", \"-{} mm\"] }} ]\n\
         [face.tail]\nblank = [ {{ add = \"rectangle\", width = \"{width} mm\", height = \"{tail} mm\", at = [\"0\", \"{} mm\"] }} ]\n\
         [bend.one]\non = \"base.top\"\nto = \"tail\"\nside = \"{side}\"\n{form}\n",
        base / 2.0,
        tail / 2.0
    );
    let name = ["rolled", "open-hem", "closed-hem"][sort];
    let figures = json!({
        "form": name, "thickness": thickness, "radius": radius, "angle": angle,
        "before": before, "after": after, "width": width, "lot": rng.between(0.0, 2.0) as usize,
    });
    (text, thickness, figures)
}

/// The figures with the program's results, and its STEP file in the folder of its lot.
fn row(mut figures: Value, solved: &Solved, folder: &Path, name: &str) -> (Value, Value) {
    let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
    let solid = solid::solid(&solved.part, &solved.flat, &folded).unwrap();
    let bounds = solved.flat.region.bounds();
    figures["height"] = json!(bounds.height());
    figures["volume"] = json!(solid.volume);
    let over = folded.faces[0].frame.seen(folded.faces[1].frame.origin);
    figures["over"] = json!(over[2]);
    figures["gap"] = json!(fold::eye_gap(&solved.part, &solved.flat, 0));
    let file = format!("{name}.step");
    std::fs::write(folder.join(&file), write::step(name, &solid)).unwrap();
    let [planes, cylinders, cones, tori] = solid.kinds();
    let step = json!({
        "name": name, "file": file, "volume_mm3": solid.volume, "planes": planes,
        "cylinders": cylinders, "cones": cones, "tori": tori, "approximate": solid.approximate,
    });
    (figures, step)
}

/// The worst of either lot is printed with `--nocapture`.
#[test]
fn sections_and_solids_are_those_of_another_model() {
    let mut rng = Rng(41);
    let folders = [(); 2].map(|()| tempfile::tempdir().unwrap());
    let (mut rows, mut steps, mut refused) = (Vec::new(), [Vec::new(), Vec::new()], 0);
    for sort in 0..3 {
        let mut count = 0;
        while count < PARTS {
            let (text, thickness, figures) = strip(&mut rng, sort);
            let solved = match own::solve(&text, &format!("{thickness} mm"), "waterjet") {
                Ok((mut solved, _)) => solved.remove(0),
                Err(found) => {
                    let known = ["flange-collision", "rolled-bend", "min-radius"];
                    let mut stops = found.iter().filter(|f| f.weight == Weight::Stop);
                    assert!(stops.all(|f| known.contains(&f.code)), "{text}\n{found:?}");
                    refused += 1;
                    assert!(refused < 2 * PARTS, "{text}\n{found:?}");
                    continue;
                }
            };
            count += 1;
            let lot = figures["lot"].as_u64().unwrap() as usize;
            let name = format!("{sort}-{count}");
            let (figures, step) = row(figures, &solved, folders[lot].path(), &name);
            rows.push(figures);
            steps[lot].push(step);
        }
    }
    let file = folders[0].path().join("parts.json");
    std::fs::write(&file, json!(rows).to_string()).unwrap();
    let (good, said) = python::run("check_rolled.py", &[file.to_str().unwrap()]);
    assert!(good, "{said}");
    println!("{refused} refused; {said}");
    let lots: Value = serde_json::from_str(said.trim()).unwrap();
    for (lot, (folder, steps)) in folders.iter().zip(&steps).enumerate() {
        assert_eq!(lots[lot]["parts"], steps.len());
        assert!(lots[lot]["eyes"].as_u64().unwrap() >= 5, "{said}");
        std::fs::write(folder.path().join("solids.json"), json!(steps).to_string()).unwrap();
        let passed = python::accepted("check_solids.py", folder.path());
        println!("lot {lot}: {passed} facts of {} solids", steps.len());
        assert!(passed >= 4 * steps.len(), "{passed} facts");
    }
}
