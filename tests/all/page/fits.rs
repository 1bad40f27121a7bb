//! Trial fits and handles: the measurement, and the field behind a number of the drawing.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use serde_json::Value;
use serde_json::json;

const BENT: &str = r#"
# Bent at 90 degrees.
[[part]]
recipe = "angle"
name   = "bent"
sheet  = "S235 4 mm"
given  = { width = "60 mm", base = "40 mm", leg = "50 mm", bolt = "M8" } # ours
"#;

fn asker() -> Asker {
    Asker::new(&format!("{JOB}{BENT}"), false)
}

fn outside(face: &str, bend: &str, is: &str) -> Value {
    json!({ "do": "measured", "part": "bent", "what": "outside", "of": [face, bend], "is": is })
}

fn tried(asker: &Asker, edit: &Value) -> Value {
    let before = asker.text();
    let (code, answer) = asker.post("/try", &json!({ "edit": edit }));
    assert_eq!((code, asker.text()), (200, before), "{answer}");
    answer
}

#[test]
fn what_can_be_measured_on_a_part_is_offered_with_what_is_drawn() {
    let asker = asker();
    let all = asker.get("/measurable?name=bent");
    let rows = all["all"].as_array().unwrap();
    let of = |what: &str| rows.iter().filter(|row| row["what"] == what).collect::<Vec<_>>();
    let legs: Vec<&Value> = of("outside").iter().map(|row| &row["drawn"]).collect();
    assert_eq!(legs, ["50 mm", "40 mm"]);
    assert_eq!(of("angle")[0]["drawn"], "90°");
    assert_eq!(of("thickness")[0]["drawn"], "4 mm");
    assert!(of("hole").iter().all(|row| row["drawn"] == "9 mm"), "{rows:?}");
    assert_eq!((&all["coated"], &all["measured"]), (&json!(false), &json!([])));
    // Every one of them can be measured as offered.
    for row in rows {
        let unit = if row["angle"] == true { "deg" } else { "mm" };
        let drawn = row["drawn"].as_str().unwrap().trim_end_matches('°').trim_end_matches(" mm");
        let is = format!("{drawn} {unit}");
        let edit = json!({ "do": "measured", "part": "bent", "what": row["what"], "of": row["of"], "is": is });
        let answer = tried(&asker, &edit);
        assert!(
            answer["words"].as_str().is_some_and(|words| words.contains("nominal")),
            "{answer}"
        );
        assert_eq!(answer["instead"], Value::Null, "as drawn, nothing is to be changed: {answer}");
    }
}

#[test]
fn a_reading_shows_what_to_ask_for_and_is_taken_in_one_step() {
    let asker = asker();
    let (face, bend) = ("leg", "bend");
    let rows = asker.get("/measurable?name=bent");
    let of: Vec<&Value> = rows["all"].as_array().unwrap().iter().map(|row| &row["of"]).collect();
    let named = of.iter().find(|of| of[0] == face).expect("the leg is measured");
    let bend = named[1].as_str().unwrap_or(bend);
    asker.edit(&outside("base", bend, "40.8 mm"));
    assert!(
        asker.text().contains("[[as_built]]\npart = \"bent\"\nwhat = \"outside\"\n"),
        "{}",
        asker.text()
    );
    let answer = tried(&asker, &outside(face, bend, "50.8, 50.82, 50.78 mm"));
    assert_eq!(answer["off"], "+0.8 mm", "{answer}");
    let by = &answer["bends"];
    assert_eq!((&by["bends"], &answer["why"]), (&json!([[bend, null]]), &Value::Null), "{answer}");
    let number =
        |of: &Value| -> f64 { of.as_str().unwrap().trim_end_matches(" mm").parse().unwrap() };
    // Both legs are 0.8 mm too long: the bend takes twice that more.
    let more = number(&by["deduction"][1]) - number(&by["deduction"][0]);
    assert!((1.2..1.65).contains(&more), "{answer}");
    assert!(!answer["causes"].as_array().unwrap().is_empty());
    let before = asker.text();
    let blank = |asker: &Asker| asker.get("/part?name=bent")["facts"][0].clone();
    let wanted = |asker: &Asker| -> Vec<Value> {
        let rows = asker.get("/measurable?name=bent")["all"].clone();
        rows.as_array().unwrap().iter().map(|row| row["drawn"].clone()).collect()
    };
    let told = |asker: &Asker| -> Vec<String> {
        let lines = asker.get("/part?name=bent")["drawn"]["steps"][0]["lines"].clone();
        let lines = lines.as_array().unwrap().iter().map(|line| line.as_str().unwrap().to_owned());
        lines.filter(|line| line.starts_with("Check ")).collect()
    };
    let (cut, drawn, lines) = (blank(&asker), wanted(&asker), told(&asker));
    let k = number(&by["k"][1]);
    let mut taken = outside(face, bend, "50.8, 50.82, 50.78 mm");
    taken["instead"] = json!({ "k": k, "bends": by["bends"] });
    asker.edit(&taken);
    let text = asker.text();
    // Its piece was cut to the other flat, and would be judged by this one.
    assert!(!text.contains("50.82 mm"), "{text}");
    assert!(
        text.contains("leg = \"50 mm\", bolt = \"M8\" } # ours\n")
            && text.contains(&format!("bends  = {{ {bend} = {k} }}")),
        "{text}"
    );
    // The flat has changed; the nominal dimension, also after bending, has not.
    assert_ne!(blank(&asker), cut);
    assert_eq!(wanted(&asker), drawn);
    assert_eq!(told(&asker), lines, "the leg to check is the wanted one");
    assert!(!lines.is_empty());
    assert_eq!(asker.get("/measurable?name=bent")["measured"].as_array().unwrap().len(), 1);
    let (code, _) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, asker.text()), (200, before), "the deduction is undone");
    let out = json!({
        "do": "entry", "kind": "as_built", "index": 0, "name": "bent", "change": { "take-out": {} }
    });
    asker.edit(&out);
    assert!(!asker.text().contains("as_built"), "{}", asker.text());
}

/// A deviation that no bend deduction explains is corrected where it arises: the nominal dimension
/// does not change.
#[test]
fn an_angle_that_is_off_is_corrected_at_the_brake() {
    let asker = asker();
    let bend = asker.get("/measurable?name=bent")["all"][0]["of"][1].clone();
    let edit = json!({
        "do": "measured", "part": "bent", "what": "angle", "of": [bend],
        "is": "86 deg, 86 deg, 86 deg, 86 deg",
    });
    let answer = tried(&asker, &edit);
    assert_eq!(answer["bends"], Value::Null, "{answer}");
    let why = answer["why"].as_str().unwrap_or_default();
    assert!(why.starts_with("Correct it at the brake"), "{answer}");
}

#[test]
fn a_reading_that_cannot_be_is_told_and_not_written() {
    let asker = asker();
    let comma = tried(&asker, &outside("leg", "heel", "50,3 mm"));
    assert_eq!(comma["findings"][0]["fixes"], json!([["is", "50.3 mm"]]), "{comma}");
    let (code, why) = asker.refused(&outside("leg", "bend", "50,3 mm"));
    assert!(code == 422 && why.contains("comma"), "{why}");
    let far = tried(
        &asker,
        &json!({ "do": "measured", "part": "bent", "what": "thickness", "of": [], "is": "40 mm" }),
    );
    assert!(far["findings"][0]["headline"].as_str().unwrap().contains("cannot be 40 mm"), "{far}");
    let (code, _) = asker.refused(
        &json!({ "do": "measured", "part": "none", "what": "thickness", "of": [], "is": "4 mm" }),
    );
    assert_eq!(code, 409);
}

#[test]
fn a_number_of_the_drawing_names_the_field_that_makes_it() {
    let asker = asker();
    let of = |name: &str| -> Vec<[String; 3]> {
        let all = asker.get(&format!("/handles?name={name}&w=600&h=460"));
        let flat = asker.get(&format!("/part?name={name}&w=600&h=460"))["drawn"]["flat"].clone();
        let words = flat.as_str().unwrap().matches("<text").count();
        assert_eq!(all.as_array().unwrap().len(), words, "one for each word of the drawing");
        let text = |row: &Value, key: &str| row[key].as_str().unwrap_or_default().to_owned();
        let row = |row: &Value| ["words", "key", "told"].map(|key| text(row, key));
        all.as_array().unwrap().iter().map(row).collect()
    };
    let ear = of("ear");
    let key = |all: &[[String; 3]], words: &str| {
        let found = all.iter().find(|[is, ..]| is == words);
        found.map(|[_, key, _]| key.clone()).unwrap_or_else(|| panic!("no `{words}` in {all:?}"))
    };
    // The foot is 40 wide, the eye 30 above it, its hole that of the bolt.
    assert_eq!(key(&ear, "40"), "foot");
    assert_eq!(key(&ear, "30"), "reach");
    let hole = ear.iter().find(|[words, ..]| words.contains("Ø9")).unwrap();
    assert_eq!(hole[1], "bolt", "{ear:?}");
    let bent = of("bent");
    assert_eq!(key(&bent, "60"), "width");
    // The length of the blank follows from both legs and the bend: one of them makes it.
    let whole = bent.iter().filter(|[_, key, _]| key == "leg" || key == "base").count();
    assert!(whole >= 2, "{bent:?}");
    let says_nothing = bent.iter().filter(|[words, key, told]| {
        words.parse::<f64>().is_ok() && key.is_empty() && told.is_empty()
    });
    assert_eq!(says_nothing.count(), 0, "each number says where it comes from: {bent:?}");
}

#[test]
fn two_holes_of_one_face_are_measured_as_they_were_cut() {
    let asker = asker();
    asker.edit(&crate::page::desk::set("bent", "base_holes", None, Some("2")));
    let all = asker.get("/measurable?name=bent");
    let rows = all["all"].as_array().unwrap();
    let row = rows.iter().find(|row| row["of"] == json!(["base 1", "base 2"]));
    let row = row.unwrap_or_else(|| panic!("{all}"));
    let drawn = row["drawn"].as_str().unwrap();
    let mm: f64 = drawn.trim_end_matches(" mm").parse().unwrap();
    let read = |by: f64| {
        let is = format!("{} mm", mm + by);
        let of =
            json!({ "do": "measured", "part": "bent", "what": "holes", "of": row["of"], "is": is });
        tried(&asker, &of)
    };
    let right = read(0.0);
    assert_eq!((&right["findings"], &right["instead"]), (&json!([]), &Value::Null), "{right}");
    // No bend is between them: none is corrected.
    let off = read(0.6);
    assert_eq!((&off["off"], &off["bends"]), (&json!("+0.6 mm"), &Value::Null), "{off}");
    let headline = off["findings"][0]["headline"].as_str().unwrap();
    assert!(headline.contains("no likely cause explains"), "{off}");
    // What is not explained is not called right.
    assert_eq!(off["head"], "No correction is calculated: measure it again first.", "{off}");
    assert!(right["head"].as_str().unwrap().starts_with("Nothing to change"), "{right}");
    let one = json!({
        "do": "measured", "part": "bent", "what": "holes", "of": ["base 1", "base 1"], "is": "30 mm"
    });
    let found = tried(&asker, &one)["findings"].clone();
    assert!(found[0]["headline"].as_str().unwrap().contains("is one hole"), "{found}");
}

/// Bends that are calculated from a measured row of the shop file: which row that is, is said.
#[test]
fn the_row_to_correct_is_named() {
    let shop = include_str!("../../../parts/shop.toml");
    let asker = Asker::in_shop(&format!("shop = \"shop.toml\"\n{JOB}{BENT}"), shop, false);
    let rows = asker.get("/measurable?name=bent");
    let all = rows["all"].as_array().unwrap();
    let legs: Vec<&Value> = all.iter().filter(|row| row["what"] == "outside").collect();
    let of = legs[0]["of"].clone();
    let drawn = legs[0]["drawn"].as_str().unwrap().trim_end_matches(" mm");
    let mm: f64 = drawn.parse().unwrap();
    let is = [0.78, 0.8, 0.82].map(|by| format!("{} mm", mm + by)).join(", ");
    let answer = tried(
        &asker,
        &json!({ "do": "measured", "part": "bent", "what": "outside", "of": of, "is": is }),
    );
    assert_eq!(answer["bends"], Value::Null, "{answer}");
    let why = answer["why"].as_str().unwrap_or_else(|| panic!("{answer}"));
    let row = "S235, 4 mm over a V of ";
    assert!(why.contains("shop.toml") && why.contains(row), "{why}");
    // It is to be replaced only where another is given.
    let is_given = answer["rows"].as_array().unwrap().iter().any(|row| row["toml"].is_string());
    assert_eq!(why.contains("replace the row by the one below"), is_given, "{answer}");
}
