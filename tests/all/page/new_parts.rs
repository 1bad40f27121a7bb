//! New parts of a job in inches: hardware of inch sizes and round inch sizes.

use crate::page::desk::Asker;
use serde_json::Value;
use serde_json::json;

const INCHES: &str = r#"units   = "in"
process = "laser"

[[sheet]]
name      = "A36 3/16"
material  = "A36"
thickness = "3/16 in"
stock     = [ { size = ["48 in", "48 in"] } ]

# Kept.
[[part]]
recipe = "tab"
name   = "first"
sheet  = "A36 3/16"
given  = { bolt = "3/8" }
"#;

fn of_input(part: &Value, key: &str) -> String {
    let found = part["inputs"].as_array().unwrap().iter().find(|input| input["key"] == key);
    let found = found.unwrap_or_else(|| panic!("no {key}: {}", part["inputs"]));
    found["value"].as_str().unwrap_or_else(|| panic!("{found}")).to_owned()
}

#[test]
fn a_new_box_in_inches_has_inch_bolts_and_round_sides() {
    let asker = Asker::new(INCHES, false);
    let answer = asker.edit(&json!({ "do": "new", "recipe": "box-bracket" }));
    let part = &answer["part"];
    let values = ["bolt", "length", "width"].map(|key| of_input(part, key));
    assert_eq!(values, ["3/8", "4 in", "3-1/4 in"]);
    assert_eq!(part["state"][0], 0, "{}", part["findings"]);
    let text = asker.text();
    assert!(text.starts_with(INCHES), "{text}");
    let new = &text[INCHES.len()..];
    for given in ["bolt = \"3/8\"", "length = \"4 in\"", "width = \"3-1/4 in\""] {
        assert!(new.contains(given), "{given} in {new}");
    }
    // Undone in one step.
    let (code, _) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, asker.text()), (200, INCHES.to_owned()));
}

/// Whether a row is metric: `M8`, `16 W`, `38 x 2`.
fn is_metric(row: &str) -> bool {
    row.starts_with('M') && row[1..].starts_with(|c: char| c.is_ascii_digit())
        || row == "38 x 2"
        || row == "16 W"
}

#[test]
fn every_recipe_begins_in_inches_without_a_new_stop() {
    let asker = Asker::new(INCHES, false);
    let plain = Asker::new(&INCHES.replace("units   = \"in\"\n", ""), false);
    let names: Vec<String> = asker
        .get("/recipes")
        .as_array()
        .unwrap()
        .iter()
        .map(|of| of["name"].as_str().unwrap().to_owned())
        .collect();
    let (mut hardware, mut sides) = (0, 0);
    for name in &names {
        let new = json!({ "do": "new", "recipe": name });
        let part = asker.edit(&new)["part"].clone();
        let metric = plain.edit(&new)["part"].clone();
        let stops = [&part, &metric].map(|part| part["state"][0].as_u64().unwrap());
        assert!(stops[0] <= stops[1], "{name}: {}", part["findings"]);
        assert!(
            part["drawn"].is_null() <= metric["drawn"].is_null(),
            "{name}: {}",
            part["findings"]
        );
        for input in part["inputs"].as_array().unwrap() {
            let (kind, value) = (input["kind"].as_str().unwrap(), input["value"].as_str());
            let Some(value) = value else { continue };
            if kind == "row" {
                assert!(!is_metric(value), "{name}: {} is {value}", input["key"]);
                hardware += usize::from(!input["given"].is_null());
            }
            sides += usize::from(input["given"].as_str().is_some_and(|of| of.ends_with(" in")));
            let is_odd = ["3.937 in", "3.1496 in", "2.3622 in", "4.7244 in"].contains(&value);
            assert!(!is_odd, "{name}: {} is {value}", input["key"]);
        }
        assert!(metric["inputs"].to_string().contains("\"given\":null"), "{metric}");
        asker.post("/step", &json!({ "back": true }));
        plain.post("/step", &json!({ "back": true }));
        assert_eq!(asker.text(), INCHES, "{name}");
    }
    assert!(hardware > 10 && sides > 20, "{hardware} rows and {sides} lengths of {}", names.len());
}

/// A list of lengths is one field with commas, in the units of the job.
#[test]
fn a_hose_comb_in_inches_has_hoses_of_inch_sizes() {
    let asker = Asker::new(INCHES, false);
    let part = asker.edit(&json!({ "do": "new", "recipe": "hose-comb" }))["part"].clone();
    assert_eq!(part["state"], json!([0, 0]), "{}", part["findings"]);
    let hoses = |part: &Value| {
        let all = part["inputs"].as_array().unwrap().iter();
        all.clone().find(|input| input["key"] == "hoses").unwrap().clone()
    };
    let given = "5/8 in, 5/8 in, 7/8 in, 3/8 in, 1-1/8 in";
    assert_eq!(hoses(&part)["given"], given);
    let default = hoses(&part)["default"].as_str().unwrap().to_owned();
    assert!(!default.contains("mm") && default.matches(" in").count() == 5, "{default}");
    let set = crate::page::desk::set("hose-comb", "hoses", Some(given), Some("5/8, 7/8, 1 in"));
    let part = asker.edit(&set)["part"].clone();
    assert_eq!(hoses(&part)["given"], "5/8 in, 7/8 in, 1 in");
    assert!(
        asker.text().contains("hoses = [\"5/8 in\", \"7/8 in\", \"1 in\"]"),
        "{}",
        asker.text()
    );
    assert_eq!(part["state"], json!([0, 0]), "{}", part["findings"]);
}
