//! Changes of a job: their effect on its text, their names, the parts they affect.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use crate::page::desk::set;
use serde_json::Value;
use serde_json::json;

fn field<'v>(part: &'v Value, key: &str) -> &'v Value {
    let inputs = part["inputs"].as_array().unwrap();
    inputs.iter().find(|input| input["key"] == key).unwrap()
}

#[test]
fn the_form_is_what_the_recipe_asks_for() {
    let asker = Asker::new(JOB, false);
    let ear = asker.get("/part?name=ear&w=500&h=400");
    assert_eq!((&ear["state"], &ear["quantity"]["given"]), (&json!([0, 0]), &json!("2")));
    let bolt = field(&ear, "bolt");
    assert_eq!((&bolt["given"], &bolt["kind"]), (&json!("M8"), &json!("row")));
    let options = bolt["options"].as_array().unwrap();
    let m10 = options.iter().find(|option| option[0] == "M10").unwrap();
    assert!(m10[1].as_str().unwrap().starts_with("M10: "), "{m10}");
    // A default that is a formula is shown as its value.
    let eye = field(&ear, "eye");
    assert_eq!(eye["given"], Value::Null);
    assert!(eye["default"].as_str().unwrap().contains("hole"), "{eye}");
    assert_eq!(eye["value"], "13.5 mm");
    assert_eq!(eye["min"], "2 mm");
    let flat = ear["drawn"]["flat"].as_str().unwrap();
    assert!(flat.starts_with("<svg") && flat.contains(">30<"), "{flat}");
    assert!(!flat.contains("style="), "the page allows no style within it");
    // Metal is tinted, heads of arrows are inked.
    assert!(
        flat.contains("class=\"metal\"") && flat.contains("<path class=\"ink-black\""),
        "{flat}"
    );
    let boxed = asker.get("/part?name=box");
    assert_eq!(boxed["drawn"]["steps"].as_array().unwrap().len(), 4);
    let said = asker.get("/job");
    let names: Vec<&Value> = said["parts"].as_array().unwrap().iter().map(|p| &p["name"]).collect();
    assert_eq!(names, ["ear", "lug", "box"]);
}

#[test]
fn a_change_touches_one_value_of_the_text_and_solves_one_line() {
    let asker = Asker::new(JOB, false);
    assert_eq!(asker.opened.solved(), 3);
    let answer = asker.edit(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    assert_eq!(asker.text(), JOB.replacen("30 mm", "34 mm", 1));
    assert_eq!(asker.opened.solved(), 4, "the others are as they were");
    assert_eq!(field(&answer["part"], "reach")["value"], "34 mm");
    assert_eq!(answer["job"]["steps"]["undo"], json!(["ear: reach 30 mm → 34 mm", "ear"]));
    // Back to the default: the key is removed.
    asker.edit(&set("ear", "foot", Some("40 mm"), None));
    assert!(asker.text().contains("given    = { bolt = \"M8\", reach = \"34 mm\" }\n"));
    asker.edit(&set("lug", "bolt", None, Some("M6")));
    assert!(
        asker
            .text()
            .contains("name   = \"lug\"\nsheet  = \"S235 4 mm\"\ngiven  = { bolt = \"M6\" }\n")
    );
    asker.edit(&set("ear", "quantity", Some("2"), Some("5")));
    assert!(asker.text().contains("quantity = 5   # pairs\n"));
    asker.edit(&set("lug", "sheet", Some("S235 4 mm"), Some("S235 2 mm")));
    assert_eq!(asker.get("/part?name=lug")["sheet"]["name"], "S235 2 mm");
}

/// A kept result must equal one solved again: places of findings move with the text.
#[test]
fn what_is_kept_is_what_would_be_solved_anew() {
    let job = JOB.replacen("bolt = \"M8\"", "bolt = \"M7\"", 1).replacen("90 mm", "90", 1);
    let asker = Asker::new(&job, false);
    let edits = [
        json!({ "do": "new", "recipe": "strap" }),
        json!({ "do": "copy", "part": "lug" }),
        set("lug", "reach", None, Some("44 mm")),
        json!({ "do": "take-out", "part": "lug" }),
        json!({ "do": "rename", "part": "box", "name": "crate" }),
    ];
    for edit in edits {
        asker.edit(&edit);
        let anew = Asker::new(&asker.text(), false);
        for of in anew.get("/job")["parts"].as_array().unwrap() {
            let path = format!("/part?name={}", of["name"].as_str().unwrap());
            assert_eq!(asker.get(&path), anew.get(&path), "{edit}: {path}");
        }
        assert_eq!(asker.get("/job")["parts"], anew.get("/job")["parts"], "{edit}");
    }
    let ear = asker.get("/part?name=ear");
    assert_eq!(ear["findings"][0]["field"], "bolt");
    let line = ear["findings"][0]["place"][0].as_u64().unwrap() as usize;
    assert!(asker.text().lines().nth(line - 1).unwrap().contains("M7"), "line {line}");
}

#[test]
fn what_is_wrong_stands_at_its_field_with_the_value_to_type() {
    let asker = Asker::new(JOB, false);
    let tried = |key: &str, was: Option<&str>, value: &str| {
        let (code, part) =
            asker.post("/try", &json!({ "edit": set("ear", key, was, Some(value)) }));
        assert_eq!(code, 200, "{part}");
        part["findings"][0].clone()
    };
    let comma = tried("reach", Some("30 mm"), "33,5mm");
    assert_eq!((&comma["field"], &comma["weight"]), (&json!("reach"), &json!("stop")));
    assert_eq!(comma["fixes"], json!([["reach", "33.5mm"]]));
    let bare = tried("reach", Some("30 mm"), "12");
    assert!(!bare["headline"].to_string().contains("unit"), "it is in mm, as 30 mm is: {bare}");
    let unit = tried("foot", Some("40 mm"), "40 mmm");
    assert_eq!(unit["field"], "foot");
    assert_eq!(unit["fixes"], json!([["foot", "40 mm"]]), "the whole value, not the unit alone");
    let row = tried("bolt", Some("M8"), "M7");
    assert_eq!(row["field"], "bolt");
    // A finding caused by a default of the recipe is at that input.
    let low = tried("reach", Some("30 mm"), "5 mm");
    assert!(low["field"] == "reach" || low["field"] == "eye", "{low}");
    assert_eq!(asker.text(), JOB, "nothing of this was written");
    let (code, why) = asker.refused(&set("ear", "quantity", Some("2"), Some("a few")));
    assert_eq!((code, why.contains("whole number")), (422, true), "{why}");
}

#[test]
fn several_values_open_an_input_and_one_closes_it() {
    let asker = Asker::new(JOB, false);
    let answer = asker.edit(&set("ear", "reach", Some("30 mm"), Some("26, 30, 34 mm")));
    assert!(
        asker.text().contains("open    = { reach = [\"26 mm\", \"30 mm\", \"34 mm\"] }")
            || asker.text().contains("open     = { reach = [\"26 mm\", \"30 mm\", \"34 mm\"] }"),
        "{}",
        asker.text()
    );
    let open = &field(&answer["part"], "reach")["open"];
    assert_eq!((&open["chosen"], &open["tried"]), (&json!("26 mm"), &json!(3)), "{open}");
    asker.edit(&set("ear", "reach", None, Some("30 mm")));
    assert!(!asker.text().contains("open"), "{}", asker.text());
    assert_eq!(field(&asker.get("/part?name=ear"), "reach")["given"], "30 mm");
}

#[test]
fn parts_are_added_copied_renamed_and_taken_out() {
    let asker = Asker::new(JOB, false);
    let answer = asker.edit(&json!({ "do": "new", "recipe": "strap" }));
    assert_eq!(answer["part"]["name"], "strap");
    assert!(answer["part"]["drawn"]["flat"].is_string(), "it stands there drawn at once");
    let answer = asker.edit(&json!({ "do": "copy", "part": "ear" }));
    assert_eq!(answer["part"]["name"], "ear-2");
    assert_eq!(field(&answer["part"], "reach")["given"], "30 mm");
    asker.edit(&json!({ "do": "rename", "part": "ear-2", "name": "Öhr" }));
    asker.edit(&json!({ "do": "take-out", "part": "ear" }));
    assert!(!asker.text().contains("# The first."), "its comment goes with it");
    for _ in 0..4 {
        asker.post("/step", &json!({ "back": true }));
    }
    assert_eq!(asker.text(), JOB);
    for name in ["", "lug", "a/b", "con", &"x".repeat(300), "<script>"] {
        let (code, why) = asker.refused(&json!({ "do": "rename", "part": "ear", "name": name }));
        assert_eq!(code, 422, "{why}");
    }
    let recipes = asker.get("/recipes");
    let recipes = recipes.as_array().unwrap();
    assert!(recipes.len() > 20 && recipes.iter().all(|r| r["about"].is_string()), "{recipes:?}");
    assert!(recipes.iter().filter(|r| r["flat"].is_string()).count() > 20);
}

#[test]
fn changes_are_undone_by_name_also_beside_what_was_changed_outside() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    asker.edit(&set("box", "width", Some("90 mm"), Some("95 mm")));
    asker.outside("# A cart.", "# Another cart.");
    let (code, answer) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, &answer["name"]), (200, &json!("box: width 90 mm → 95 mm")));
    let now = JOB.replacen("# A cart.", "# Another cart.", 1).replacen("30 mm", "34 mm", 1);
    assert_eq!(asker.text(), now);
    asker.post("/step", &json!({ "back": false }));
    assert!(asker.text().contains("95 mm"), "done again");
    asker.post("/step", &json!({ "back": true }));
    asker.outside("34 mm", "36 mm");
    let (code, answer) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, answer["why"].as_str().unwrap().contains("in the file")), (409, true));
    assert!(asker.text().contains("36 mm"), "what was typed outside stays");
}

/// A change whose lines were changed outside since cannot be undone: the older ones can.
#[test]
fn a_change_that_cannot_be_undone_is_no_bar_to_older_ones() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("box", "width", Some("90 mm"), Some("95 mm")));
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    asker.outside("34 mm", "36 mm");
    let (code, answer) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, answer["why"].as_str().unwrap().contains("left out")), (409, true));
    let (code, answer) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, &answer["name"]), (200, &json!("box: width 90 mm → 95 mm")));
    assert_eq!(asker.text(), JOB.replacen("30 mm", "36 mm", 1));
}

#[test]
fn an_outside_edit_is_merged_and_wins_at_the_same_value() {
    let asker = Asker::new(JOB, false);
    asker.outside("foot = \"40 mm\"", "foot = \"44 mm\"");
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    assert!(asker.text().contains("reach = \"34 mm\", foot = \"44 mm\""), "both stand");
    asker.outside("34 mm", "50 mm");
    let (code, why) = asker.refused(&set("ear", "reach", Some("34 mm"), Some("36 mm")));
    assert_eq!(code, 409);
    assert!(why.contains("`reach`") && why.contains("50 mm"), "{why}");
    assert_eq!(field(&asker.get("/part?name=ear"), "reach")["given"], "50 mm");
    let (code, why) = asker.refused(&json!({ "do": "text", "text": "", "was": JOB }));
    assert_eq!((code, why.contains("the file was changed")), (409, true));
    asker.outside("[[part]]\nrecipe = \"tab\"\nname   = \"lug\"\nsheet  = \"S235 4 mm\"\n\n", "");
    let (code, _) = asker.refused(&set("lug", "reach", None, Some("34 mm")));
    assert_eq!(code, 409, "it is no longer there");
}

#[test]
fn a_broken_job_opens_and_is_mended_as_text() {
    let broken = JOB.replacen("[[part]]", "[[part]", 1);
    let asker = Asker::new(&broken, false);
    let job = asker.get("/job");
    assert_eq!((&job["unread"], &job["state"]), (&json!(true), &json!([1, 0])));
    assert_eq!(job["findings"][0]["place"][0], 17);
    assert_eq!(asker.get("/text")["text"], broken.as_str());
    assert_eq!(asker.get("/sheets")["how"], "coming");
    let (code, _) = asker.refused(&set("ear", "reach", None, Some("1 mm")));
    assert_eq!(code, 422);
    let answer = asker.edit(&json!({ "do": "text", "text": JOB, "was": broken }));
    assert_eq!(answer["job"]["unread"], false);
    assert_eq!(answer["job"]["parts"].as_array().unwrap().len(), 3);
    // A part that cannot be developed does not affect the others.
    asker.edit(&set("ear", "bolt", Some("M8"), Some("M7")));
    let job = asker.get("/job");
    assert_eq!(job["parts"][0]["state"], json!([1, 0]));
    assert_eq!(job["parts"][1]["state"], json!([0, 0]));
    assert_eq!(asker.get("/part?name=ear")["drawn"], Value::Null);
    // A name of 300 letters is no file's: it is found, shown, and put right.
    let long = "n".repeat(300);
    let asker = Asker::new(&JOB.replacen("\"lug\"", &format!("\"{long}\""), 1), false);
    assert!(asker.get("/job")["state"][0].as_u64().unwrap() > 0);
}

#[test]
fn a_box_is_folded_bend_by_bend_as_closed_patches() {
    let asker = Asker::new(JOB, false);
    let high = |done: f64| {
        let folded = asker.get(&format!("/folded?name=box&done={done}"));
        let patches = folded["patches"].as_array().unwrap().clone();
        let points = patches.iter().flat_map(|p| p["rings"].as_array().unwrap().clone());
        let z: Vec<f64> = points
            .flat_map(|ring| ring.as_array().unwrap().clone())
            .map(|p| p[2].as_f64().unwrap())
            .collect();
        // Each patch beside an edge is there.
        for edge in folded["edges"].as_array().unwrap() {
            for of in edge["of"].as_array().unwrap() {
                assert!((of.as_u64().unwrap() as usize) < patches.len());
            }
        }
        z.iter().copied().fold(f64::MIN, f64::max) - z.iter().copied().fold(f64::MAX, f64::min)
    };
    let [flat, half, one, all] = [0.0, 0.5, 1.0, 4.0].map(high);
    assert!((flat - 2.0).abs() < 0.5, "a sheet of 2 mm lies flat: {flat}");
    assert!(flat < half && half < one, "{flat} {half} {one}");
    assert!((one - all).abs() < 0.1, "all four flanges are as high: {one} {all}");
    let (code, _) = asker.post("/step", &json!({ "back": true }));
    assert_eq!(code, 422);
}

#[test]
fn a_part_of_which_none_is_ordered_stays_in_the_list() {
    let asker = Asker::new(JOB, false);
    let answer = asker.edit(&set("ear", "quantity", Some("2"), Some("0")));
    let rows = answer["job"]["parts"].as_array().unwrap().clone();
    let names: Vec<&Value> = rows.iter().map(|row| &row["name"]).collect();
    assert_eq!(names, ["ear", "lug", "box"]);
    assert_eq!((&rows[0]["pieces"], &rows[0]["state"]), (&json!(0), &json!([0, 0])));
    assert_eq!(answer["part"]["quantity"]["none"], true, "{answer}");
    asker.edit(&set("ear", "quantity", Some("0"), Some("2")));
    assert_eq!(asker.text(), JOB);
}

/// A hole too near an edge follows from its place, its bolt and the outline: the change that
/// introduced it is its cause; in a job without changes, a size before a row of a table.
#[test]
fn a_finding_of_a_hole_stands_at_the_field_that_caused_it() {
    let job = JOB.replacen("foot = \"40 mm\" }", "foot = \"40 mm\", eye = \"13.5 mm\" }", 1);
    let asker = Asker::new(&job, false);
    let at = |part: &Value| {
        assert_eq!(part["findings"][0]["code"], "hole-edge", "{}", part["findings"]);
        part["findings"][0]["field"].clone()
    };
    let eye = set("ear", "eye", Some("13.5 mm"), Some("6 mm"));
    let (code, tried) = asker.post("/try", &json!({ "edit": eye }));
    assert_eq!((code, at(&tried)), (200, json!("eye")));
    assert_eq!(at(&asker.edit(&eye)["part"]), "eye");
    asker.edit(&set("ear", "quantity", Some("2"), Some("3")));
    assert_eq!(at(&asker.get("/part?name=ear")), "eye", "it was there before the last change");
    let anew = Asker::new(&asker.text(), false);
    assert_eq!(at(&anew.get("/part?name=ear")), "reach", "of bolt and reach the size");
    asker.edit(&set("ear", "eye", Some("6 mm"), Some("13.5 mm")));
    let answer = asker.edit(&set("ear", "bolt", Some("M8"), Some("M16")));
    assert_eq!(at(&answer["part"]), "bolt");
}

/// While nothing passes all checks, no sheet is chosen, and none is reported.
#[test]
fn a_sheet_that_is_not_chosen_yet_is_not_named() {
    let open = "open     = { sheet = [\"S235 2 mm\", \"S235 4 mm\"] }\n                given    = { bolt = \"M8\", reach = \"30 mm\", foot = \"40 mm\", eye = \"5 mm\" }";
    let given = "sheet    = \"S235 4 mm\"\ngiven    = { bolt = \"M8\", reach = \"30 mm\", foot = \"40 mm\" }";
    assert!(JOB.contains(given));
    let asker = Asker::new(&JOB.replacen(given, open, 1), false);
    let ear = asker.get("/part?name=ear");
    assert!(ear["state"][0].as_u64().unwrap() > 0, "{ear}");
    assert_eq!(ear["sheet"]["name"], Value::Null, "{ear}");
    assert_eq!(ear["sheet"]["open"]["chosen"], Value::Null);
    assert_eq!(asker.get("/job")["parts"][0]["sheet"], Value::Null);
    let fixed = asker.text().replacen("eye = \"5 mm\"", "eye = \"14 mm\"", 1);
    let chosen = Asker::new(&fixed, false).get("/part?name=ear");
    assert!(chosen["sheet"]["name"].is_string(), "{chosen}");
}

/// An opened job in which a value is too small for its rod end: nobody changed it here, and the
/// finding is at that value all the same.
#[test]
fn a_finding_of_an_opened_job_stands_at_the_value_that_made_it() {
    let given = "given    = { bolt = \"M8\", reach = \"30 mm\", foot = \"40 mm\" }";
    let with = |values: &str| JOB.replacen(given, &format!("given    = {{ {values} }}"), 1);
    for (values, key) in [
        ("bolt = \"M8\", reach = \"30 mm\", foot = \"40 mm\", eye = \"3 mm\"", "eye"),
        ("reach = \"30 mm\", eye = \"7 mm\"", "eye"),
        ("bolt = \"M8\", reach = \"12 mm\"", "reach"),
    ] {
        let asker = Asker::new(&with(values), false);
        let part = asker.get("/part?name=ear");
        let stops = |part: &Value| -> Vec<Value> {
            let all = part["findings"].as_array().unwrap().iter();
            all.filter(|found| found["weight"] == "stop").map(|f| f["field"].clone()).collect()
        };
        assert!(!stops(&part).is_empty(), "{values}: {part}");
        let caused = asker.get("/causes?name=ear");
        let own = part["findings"].as_array().unwrap().iter().any(|f| f["field"] == key);
        let tried = caused.as_array().unwrap().iter().any(|of| of[1] == key);
        assert!(own || tried, "{values}: {caused} {part}");
        // From then on it is known.
        assert_eq!(stops(&asker.get("/part?name=ear")), vec![json!(key)], "{values}");
        let solved = asker.opened.solved();
        assert_eq!(asker.get("/causes?name=ear"), caused, "it stays known");
        assert_eq!(asker.opened.solved(), solved, "tried once");
        // The value that is offered mends it.
        let of = caused.as_array().unwrap().iter().find(|of| of[1] == key);
        let Some(instead) = of.map(|of| of[2].as_str().unwrap_or_default()) else { continue };
        let was = part["inputs"].as_array().unwrap().iter().find(|input| input["key"] == key);
        let was = was.unwrap()["given"].as_str();
        let mended = asker.edit(&set("ear", key, was, Some(instead)));
        assert_eq!(stops(&mended["part"]), Vec::<Value>::new(), "{values}: {key} = {instead}");
    }
}
