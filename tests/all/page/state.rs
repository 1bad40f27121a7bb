//! The page agrees with the report on a job: its state, in the units of the job.

use crate::own;
use crate::page::desk::Asker;
use crate::page::desk::JOB;
use serde_json::Value;
use serde_json::json;

/// Ears whose pin has no grade: there are no findings, and a limit of their load is not judged.
const EARS: &str = r#"process = "laser"

[[sheet]]
name      = "steel"
material  = "S235"
thickness = "5 mm"
stock     = [ { size = ["600 mm", "400 mm"] } ]

[[part]]
recipe = "clevis-plates"
name   = "ears"
sheet  = "steel"

[[load]]
name      = "pull"
part      = "ears"
hole      = "eye"
force     = "1 kN"
direction = "pull"
"#;

/// Stops and cautions of an answer.
fn state(of: &Value) -> [usize; 2] {
    serde_json::from_value(of["state"].clone()).unwrap()
}

#[test]
fn limits_that_are_not_judged_are_said_as_in_the_report() {
    let asker = Asker::new(EARS, false);
    let job = asker.get("/job");
    let made = own::make("", EARS).unwrap_or_else(|found| panic!("{found:#?}"));
    let beside = made.report.beside();
    assert!(beside.limits > 0, "no grade of the pin is given: {beside:?}");
    let found = state(&job);
    assert_eq!(job["said"], beside.said(found), "{job}");
    assert_eq!(job["notes"], beside.fits + beside.limits);
    assert_eq!(job["answer"], beside.answer(found));
    assert!(job["said"].as_str().unwrap().contains("not judged"), "{job}");
    assert_ne!(job["answer"], "Yes");
    // It is the only part of the job, and the load is all that is not judged.
    let part = asker.get("/part?name=ears");
    for of in [&job["parts"][0], &part] {
        assert_eq!((&of["said"], &of["notes"]), (&job["said"], &job["notes"]), "{of}");
    }
    let load = asker.get("/entry?kind=load&index=0");
    let remarks = load["load"]["remarks"].as_array().unwrap().iter();
    let unjudged = remarks.filter(|words| words.as_str().unwrap().starts_with("Not judged"));
    assert_eq!(load["notes"], unjudged.count(), "{load}");
    assert_eq!(asker.get("/entries")["load"][0]["said"], load["said"]);
    assert!(load["said"].as_str().unwrap().contains("not judged"), "{load}");
}

#[test]
fn what_is_clear_is_said_to_be() {
    let asker = Asker::new(JOB, false);
    let job = asker.get("/job");
    assert_eq!((state(&job), &job["notes"]), ([0, 0], &json!(0)), "{job}");
    assert_eq!((&job["said"], &job["answer"]), (&json!("clear"), &json!("Yes")));
    let broken = Asker::new("process = ", false).get("/job");
    assert_eq!((&broken["said"], &broken["answer"]), (&json!("1 stop"), &json!("No")));
}

#[test]
fn a_part_of_a_job_in_inches_is_said_in_these() {
    let inches = JOB.replacen("process", "units = \"in\"\nprocess", 1);
    let part = Asker::new(&inches, false).get("/part?name=box");
    let facts = part["facts"].as_array().unwrap();
    for (name, unit) in [("Blank", " in"), ("Mass, each", " lb"), ("Cut, each", " in")] {
        let fact = facts.iter().find(|fact| fact[0] == name).unwrap();
        let words = fact[1].as_str().unwrap();
        assert!(words.ends_with(unit) && !words.contains("mm"), "{name}: {words}");
    }
    let inputs = part["inputs"].as_array().unwrap().iter();
    let limits = inputs.flat_map(|input| [&input["min"], &input["max"]]);
    let limits: Vec<&str> = limits.filter_map(Value::as_str).collect();
    let is_plain = |limit: &str| limit.chars().all(|c| "0123456789. m".contains(c));
    let metric = limits.iter().find(|limit| limit.ends_with(" mm") && is_plain(limit));
    assert_eq!(metric, None, "{limits:?}");
    assert!(limits.iter().any(|limit| limit.ends_with(" in")), "{limits:?}");
}

/// Two parts of a recipe that is not there: the finding points at the first, and neither is clear.
#[test]
fn a_part_of_an_unknown_recipe_is_not_clear() {
    let part = |name: &str| {
        format!("\n[[part]]\nrecipe = \"tabb\"\nname = \"{name}\"\nsheet = \"S235 4 mm\"\n")
    };
    let asker = Asker::new(&format!("{JOB}{}{}", part("one"), part("two")), false);
    let job = asker.get("/job");
    let rows = job["parts"].as_array().unwrap();
    for name in ["one", "two"] {
        let row = rows.iter().find(|row| row["name"] == name).unwrap();
        assert_eq!((state(row), &row["said"]), ([1, 0], &json!("1 stop")), "{row}");
        let part = asker.get(&format!("/part?name={name}"));
        let found = &part["findings"][0];
        assert_eq!((state(&part), &found["code"]), ([1, 0], &json!("unknown-recipe")), "{part}");
        assert_eq!(found["instead"], json!(["tab"]), "{found}");
    }
    assert_eq!(job["findings"], json!([]), "they are told at the parts");
    assert_eq!(job["answer"], "No");
}

/// Pieces without a place are named with the layout, and are not counted as placed.
#[test]
fn pieces_without_a_place_are_told_with_the_layout() {
    let one = JOB.replacen("price = 14 }", "price = 14, count = 1 }", 1);
    let asker = Asker::new(&one.replacen("quantity = 2 ", "quantity = 150 ", 1), false);
    let sheets = asker.sheets();
    let left = sheets["not_placed"].as_array().unwrap();
    assert_eq!(left[0]["part"], "ear", "{left:?}");
    let of = |key: &str| sheets["totals"][key].as_u64().unwrap();
    let quantity: u64 = left.iter().map(|of| of["quantity"].as_u64().unwrap()).sum();
    assert!(quantity > 0 && of("placed") + quantity == of("pieces"), "{left:?}");
}

/// Before anything was made, and after.
#[test]
fn it_is_known_whether_anything_was_made() {
    let asker = Asker::new(JOB, false);
    assert_eq!(asker.get("/job")["made"], false);
    make(&asker);
    assert_eq!(asker.get("/job")["made"], true);
}

/// Makes the job.
fn make(asker: &Asker) {
    assert_eq!(asker.post("/make", &json!({})).0, 200);
}

/// Changes are those since the last output, not those that it brought.
#[test]
fn after_every_output_nothing_has_changed_since_it() {
    let asker = Asker::new(JOB, false);
    make(&asker);
    let set = |was: &str, value: &str| json!({ "do": "set", "part": "ear", "key": "reach", "value": value, "was": was });
    asker.edit(&set("30 mm", "33 mm"));
    let changed = asker.sheets()["changes"].clone();
    assert_eq!(changed["parts"][0]["part"], "ear", "{changed}");
    make(&asker);
    // Looked at anew, with the new record.
    asker.edit(&set("33 mm", "34 mm"));
    asker.post("/step", &json!({ "back": true }));
    let changed = asker.sheets()["changes"].clone();
    assert!(!changed.is_null() && changed["parts"] == json!([]), "{changed}");
}

/// A job without a part is no error on the page, and nothing that could be ordered.
#[test]
fn a_job_that_is_only_begun_is_not_clear() {
    let begun = JOB.split("# The first.").next().unwrap();
    let asker = Asker::new(begun, false);
    let job = asker.get("/job");
    assert_eq!((&job["unread"], &job["said"]), (&json!(false), &json!("no part yet")), "{job}");
    assert_eq!((&job["answer"], &job["notes"]), (&json!("No"), &json!(1)));
    assert_eq!(asker.sheets()["how"], "none");
    assert_ne!(asker.post("/make", &json!({})).0, 200);
    asker.edit(&json!({ "do": "new", "recipe": "tab" }));
    assert_eq!(asker.get("/job")["said"], "clear");
    asker.edit(&json!({ "do": "take-out", "part": "tab" }));
    assert_eq!(asker.get("/job")["said"], "no part yet");
}
