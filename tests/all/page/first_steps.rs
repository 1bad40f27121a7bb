//! The first steps on the page: what the README types into the demo, numbers that are clicked, new things,
//! a part that fits no sheet, what changed before anything was made.

use crate::demo;
use crate::page::desk::Asker;
use crate::page::desk::JOB;
use crate::page::desk::set;
use serde_json::json;
use std::fs;

const SHOP: &str = include_str!("../../../parts/shop.toml");
const README: &str = include_str!("../../../README.md");

/// A job with some parts of the demo, on their sheet and in its shop.
fn of_the_demo(parts: &[&str]) -> Asker {
    let demo = fs::read_to_string(demo::JOB).unwrap();
    let named = |name: &str| format!("\"{name}\"\n");
    let is_wanted = |block: &&str| {
        let name = block.lines().find(|line| line.starts_with("name ")).unwrap_or_default();
        let is = |of: &str| format!("{name}\n").ends_with(&named(of));
        let is_part = block.starts_with("part]]") && parts.iter().any(|part| is(part));
        is_part || (block.starts_with("sheet]]") && is("5052 11 ga"))
    };
    let blocks: Vec<&str> = demo.split("\n[[").filter(is_wanted).collect();
    assert_eq!(blocks.len(), parts.len() + 1, "{blocks:?}");
    let head = ["process", "coating", "margin"];
    let head = demo.lines().filter(|line| head.iter().any(|key| line.starts_with(key)));
    let head = head.take(3).collect::<Vec<_>>().join("\n");
    let blocks = blocks.join("\n[[");
    Asker::in_shop(&format!("shop = \"shop.toml\"\n{head}\n[[{blocks}\n"), SHOP, false)
}

fn key_of(asker: &Asker, part: &str, words: &str) -> String {
    let all = asker.get(&format!("/handles?name={part}&w=900&h=460"));
    let found = all.as_array().unwrap().iter().find(|row| row["words"] == words);
    let found = found.unwrap_or_else(|| panic!("no `{words}` in {all}"));
    found["key"].as_str().unwrap_or_else(|| panic!("{found}")).to_owned()
}

#[test]
fn what_the_readme_types_moves_the_holes_and_stops_nothing() {
    let (typed, _) = README.split_once(" into `inset`").expect("the README types into `inset`");
    let typed = typed.rsplit('`').nth(1).unwrap();
    let asker = of_the_demo(&["box-switch"]);
    let before = asker.get("/part?name=box-switch");
    let inset = before["inputs"].as_array().unwrap().iter().find(|of| of["key"] == "inset");
    assert_ne!(inset.unwrap()["value"], typed, "it is no change");
    asker.edit(&set("box-switch", "inset", None, Some(typed)));
    let after = asker.get("/part?name=box-switch");
    assert_eq!(after["state"], before["state"], "{}", after["findings"]);
    assert_eq!(after["state"], json!([0, 0]), "{}", after["findings"]);
    assert_ne!(after["drawn"]["flat"], before["drawn"]["flat"]);
}

#[test]
fn a_number_leads_to_the_input_that_moves_it() {
    let asker = of_the_demo(&["box-switch", "angle-lamp"]);
    assert_eq!(key_of(&asker, "angle-lamp", "2× Ø9"), "bolt");
}

#[test]
fn a_part_that_fits_no_sheet_is_stopped_where_it_is_listed() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("box", "length", Some("120 mm"), Some("900 mm")));
    let job = asker.get("/job");
    let row = job["parts"].as_array().unwrap().iter().find(|row| row["name"] == "box").unwrap();
    assert_eq!(
        (&row["state"][0], &job["state"][0], &job["answer"]),
        (&json!(1), &json!(1), &json!("No"))
    );
    let part = asker.get("/part?name=box");
    let found = part["findings"].as_array().unwrap();
    let words = "does not fit on any sheet";
    assert!(found.iter().any(|of| of["headline"].as_str().unwrap().contains(words)), "{part}");
    let why = asker.sheets()["why"].clone();
    assert!(why.as_str().unwrap().contains(words), "{why}");
    let (code, answer) = asker.post("/make", &json!({}));
    assert!(code != 200 && answer.to_string().contains(words), "{answer}");
    asker.edit(&set("box", "length", Some("900 mm"), Some("130 mm")));
    assert_eq!(asker.get("/job")["state"][0], 0);
}

#[test]
fn new_things_of_a_job_in_inches_are_in_inches() {
    let points = "\n[points]\nrail_a = [\"0 in\", \"0 in\", \"0 in\"]\nrail_b = [\"30 in\", \"0 in\", \"0 in\"]\n";
    let inches = JOB.replacen("process", "units = \"in\"\nprocess", 1);
    let asker = Asker::new(&(inches + points), false);
    let new = |kind: &str| {
        let of = json!({ "new": {} });
        asker.edit(&json!({ "do": "entry", "kind": kind, "change": of }));
    };
    let before = asker.text();
    ["link", "tube", "load", "joint", "obstacle"].into_iter().for_each(new);
    let size = json!({ "add-size": { "sheet": 0, "name": "S235 4 mm" } });
    asker.edit(&json!({ "do": "shop", "change": size }));
    asker.edit(&json!({ "do": "shop", "change": { "add-sheet": {} } }));
    let text = asker.text();
    let was: Vec<&str> = before.lines().collect();
    let new: Vec<&str> = text.lines().filter(|line| !was.contains(line)).collect();
    let new = new.join("\n");
    for value in [
        "24 in",
        "1-1/2 x .083",
        "200 lbf",
        "3/8 in",
        "1-1/2 in",
        "48 in",
        "11 ga",
        "A36",
        "A36 11 ga",
    ] {
        assert!(new.contains(&format!("\"{value}\"")), "{value} in {new}");
    }
    assert!(!new.contains("kN"), "{new}");
    let job = asker.get("/job");
    assert_eq!(job["unread"], json!(false), "{}", job["findings"]);
    // A number without a unit gets that of the job.
    let change = json!({ "set": { "key": "force", "was": "200 lbf", "value": "30" } });
    asker.edit(
        &json!({ "do": "entry", "kind": "load", "index": 0, "name": "load", "change": change }),
    );
    let change = json!({ "set": { "key": "pins", "was": "24 in", "value": "30" } });
    asker.edit(
        &json!({ "do": "entry", "kind": "link", "index": 0, "name": "link", "change": change }),
    );
    let text = asker.text();
    assert!(text.contains("\"30 lbf\"") && text.contains("\"30 in\""), "{text}");
}

#[test]
fn before_anything_is_made_changes_are_those_of_the_file_as_opened() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("33 mm")));
    let changes = asker.sheets()["changes"].clone();
    assert_eq!(changes["opened"], true, "{changes}");
    let parts = changes["parts"].as_array().unwrap();
    assert_eq!((parts.len(), &parts[0]["part"]), (1, &json!("ear")), "{changes}");
    let (code, answer) = asker.post("/make", &json!({}));
    assert_eq!(code, 200, "{answer}");
}

#[test]
fn a_page_of_no_job_that_cannot_begin_one_says_why() {
    let folder = tempfile::TempDir::new().unwrap();
    let said = |arguments: &[&str]| {
        let mut program = std::process::Command::new(env!("CARGO_BIN_EXE_platewright"));
        let program = program.current_dir(folder.path()).arg("page").args(arguments);
        let run = program.output().unwrap();
        assert!(!run.status.success());
        String::from_utf8_lossy(&run.stderr).into_owned()
    };
    let only_read = said(&["cart.toml", "--read-only"]);
    assert!(only_read.contains("there is no cart.toml"), "{only_read}");
    assert!(said(&["cart"]).contains("cart.toml"));
    assert!(said(&["none/cart.toml"]).contains("there is no folder none"));
    for name in ["a.toml", "b.toml"] {
        fs::write(folder.path().join(name), JOB).unwrap();
    }
    let several = said(&[]);
    assert!(several.contains("give one of a.toml, b.toml"), "{several}");
}
