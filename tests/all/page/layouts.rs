//! Sheets, and files that are those of `make`.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use crate::page::desk::set;
use platewright::history::Past;
use platewright::job::Shelf;
use platewright::place::Search;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use serde_json::Value;
use serde_json::json;
use std::sync::Arc;
use std::time::Duration;

#[test]
fn the_first_layout_comes_by_itself_and_anew_after_a_change() {
    let asker = Asker::new(JOB, false);
    let first = asker.sheets();
    assert_eq!((&first["how"], &first["totals"]["sheets"]), (&json!("first"), &json!(2)));
    let changes = &first["changes"];
    assert_eq!(changes["opened"], true, "nothing was made yet: {changes}");
    assert_eq!((&changes["parts"], &changes["job"]), (&json!([]), &json!([])));
    let placed = |sheets: &Value| -> usize {
        let all = sheets["sheets"].as_array().unwrap().iter();
        all.map(|sheet| sheet["placed"].as_array().unwrap().len()).sum()
    };
    assert_eq!(placed(&first), 4);
    asker.edit(&set("ear", "quantity", Some("2"), Some("6")));
    let next = asker.sheets();
    assert_eq!(placed(&next), 8);
    assert!(next["version"].as_u64() > first["version"].as_u64());
    // One part that is stopped is left out; the others are laid out.
    asker.edit(&set("ear", "bolt", Some("M8"), Some("M7")));
    let without = asker.sheets();
    assert_eq!((placed(&without), &without["stopped"]), (2, &json!(["ear"])));
}

#[test]
fn sheets_of_a_job_in_inches_are_said_in_these() {
    let inches = JOB.replacen("process", "units = \"in\"\nprocess", 1);
    let all = Asker::new(&inches, false).sheets();
    let sheet = &all["sheets"][0];
    assert_eq!(sheet["size"], "19.685 × 15.748 in");
    assert!(sheet["cut"].as_str().unwrap().ends_with(" ft"), "{sheet}");
    let [side, _] = [0, 1].map(|i| sheet["remnant_mm"][i].as_f64().unwrap() / 25.4);
    let said = sheet["remnant"].as_str().unwrap();
    let first: f64 = said.split(' ').next().unwrap().parse().unwrap();
    assert!(said.ends_with(" in") && first <= side && first > side - 0.011, "{said} of {side}");
}

#[test]
fn what_the_page_makes_is_what_make_makes() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    asker.edit(&json!({ "do": "copy", "part": "box" }));
    let (code, answer) = asker.post("/make", &json!({}));
    assert_eq!(code, 200, "{answer}");
    assert_eq!(answer["folder"], "out/cart");
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let mut asked = workshop.read("cart", "cart.toml", &asker.text()).unwrap();
    asked.job.past = Some(Past::default());
    let made = asked.solve_the_good(&|| ()).unwrap().make(&Search::usual()).unwrap();
    let files = asker.on.files.lock().unwrap();
    let names = |files: &[platewright::write::NamedFile]| -> Vec<String> {
        files.iter().map(|file| file.name.clone()).collect()
    };
    assert_eq!(names(&files), names(&made.files));
    for (own, theirs) in files.iter().zip(&made.files) {
        assert!(own.bytes == theirs.bytes, "{} differs", own.name);
    }
    assert_eq!(answer["files"].as_array().unwrap().len(), files.len());
}

#[test]
fn what_is_kept_is_not_sent_and_what_was_sent_is_compared() {
    let asker = Asker::new(JOB, false);
    let order = asker.get("/order");
    let names: Vec<&Value> =
        order["packages"].as_array().unwrap().iter().map(|package| &package["name"]).collect();
    assert_eq!(names, ["S235-4mm", "S235-2mm"]);
    let of = |order: &Value, package: usize, part: usize| {
        order["packages"][package]["parts"][part]["since"].as_str().unwrap().to_owned()
    };
    assert_eq!(of(&order, 0, 0), "not sent yet");
    let (code, answer) = asker.post("/sent", &json!({ "to": "the cutter" }));
    assert_eq!((code, &answer["why"]), (422, &json!("nothing was made")));
    asker.post("/keep", &json!({ "name": "S235-2mm", "keep": true }));
    assert_eq!(asker.get("/order")["packages"][1]["kept"], true);
    assert_eq!(asker.post("/make", &json!({})).0, 200);
    let (code, answer) = asker.post("/sent", &json!({ "to": "the cutter" }));
    assert!(code == 200 && answer["words"].as_str().unwrap().contains("S235-2mm"), "{answer}");
    let order = asker.get("/order");
    assert_eq!([of(&order, 0, 0), of(&order, 1, 0)], ["as it was sent", "not sent yet"]);
    assert_eq!(order["sent"][0]["words"], "no. 1, 2026-03-31, to the cutter");
    for (was, pieces, word) in
        [("2", "1", "fewer than were sent"), ("1", "3", "more than were sent")]
    {
        asker.edit(&set("ear", "quantity", Some(was), Some(pieces)));
        let order = asker.get("/order");
        let ear = &order["packages"][0]["parts"][0];
        assert_eq!((of(&order, 0, 0).as_str(), &ear["sent_pieces"]), (word, &json!(2)), "{ear}");
        assert_eq!(order["gone"], json!([]));
    }
    asker.edit(&set("ear", "quantity", Some("3"), Some("0")));
    assert_eq!(asker.get("/order")["gone"], json!(["ear"]), "what was sent is not forgotten");
    asker.edit(&set("ear", "quantity", Some("0"), Some("2")));
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    let order = asker.get("/order");
    assert_eq!([of(&order, 0, 0), of(&order, 0, 1)], ["changed since", "as it was sent"]);
    asker.post("/keep", &json!({ "name": "S235-4mm", "keep": true }));
    let (code, why) = asker.post("/sent", &json!({ "to": "the cutter" }));
    assert_eq!(code, 422, "all is kept: {why}");
}

/// Layouts found during the search are reported and shown before it ends.
#[test]
fn better_layouts_are_shown_while_they_are_looked_for() {
    let gussets = "\n[[part]]\nrecipe = \"gusset\"\nname = \"gusset\"\nquantity = 9\nsheet = \"S235 4 mm\"\n\
                   given = { main = \"48.3 mm\", branch = \"38 mm\" }\n";
    let job = JOB.replacen("quantity = 2 ", "quantity = 24 ", 1) + gussets;
    let asker = Asker::new(&job, false);
    let first = asker.sheets();
    let heard = asker.heard();
    let opened = Arc::clone(&asker.opened);
    let search = std::thread::spawn(move || opened.search());
    let mut on_the_way = first.clone();
    while on_the_way["how"] == "first" && !search.is_finished() {
        std::thread::sleep(Duration::from_millis(20));
        on_the_way = asker.get("/sheets");
    }
    assert!(heard.told().iter().any(|event| event["kind"] == "sheets"), "every page is told");
    asker.post("/stop", &json!({}));
    search.join().unwrap().unwrap();
    let last = asker.get("/sheets");
    let used = |sheets: &Value| -> f64 {
        let all = sheets["sheets"].as_array().unwrap().iter();
        all.map(|sheet| sheet["used_length_mm"].as_f64().unwrap()).sum()
    };
    assert_eq!((&first["how"], &on_the_way["how"]), (&json!("first"), &json!("searching")));
    assert!(used(&on_the_way) < used(&first), "{} {}", used(&first), used(&on_the_way));
    assert!(used(&last) <= used(&on_the_way) + 1e-9, "{} {}", used(&on_the_way), used(&last));
    assert!(last["how"] == "stopped" || last["how"] == "done", "{last}");
}

#[test]
fn a_job_that_is_stopped_as_a_whole_writes_nothing() {
    let asker = Asker::new(&JOB.replace("\"lug\"", "\"ear\""), false);
    assert_eq!(asker.sheets()["how"], "none");
    let (code, answer) = asker.post("/make", &json!({}));
    assert_eq!(code, 422, "{answer}");
    assert!(asker.on.files.lock().unwrap().is_empty());
}

#[test]
fn a_remnant_becomes_a_line_of_the_stock() {
    let asker = Asker::new(JOB, false);
    let sheet = asker.sheets()["sheets"][0].clone();
    let stock = sheet["remnant_stock"].as_str().unwrap();
    let change = json!({ "add-remnant": { "sheet": sheet["kind_index"], "name": sheet["kind"], "stock": stock, "from": { "row": sheet["stock_index"], "count": sheet["stock_count"] } } });
    let edit = json!({ "do": "shop", "change": change });
    assert_eq!(sheet["stock_count"], Value::Null, "as many as are needed");
    asker.edit(&edit);
    assert!(asker.text().contains(&format!("price = 14 }}, {stock} ]")), "{}", asker.text());
    let used = asker.sheets();
    let names: Vec<&str> = used["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|of| of["remnant_used"].as_str())
        .collect();
    assert_eq!(names.len(), 1, "it is used first: {used}");
    let (code, why) = asker.refused(&edit);
    assert!(code == 422 && why.contains("in the stock already"), "{why}");
    let other =
        json!({ "add-remnant": { "sheet": 0, "name": "S235 4 mm", "stock": "7", "from": {} } });
    assert_eq!(asker.refused(&json!({ "do": "shop", "change": other })).0, 422);
}

/// The metal is counted once: the sheet that the remnant is from is one fewer, in the same step.
#[test]
fn the_sheet_of_a_remnant_is_taken_off_its_count() {
    for (count, left) in [(3, Some("count = 2")), (1, None)] {
        let counted = format!("price = 14, count = {count} }}");
        let text = JOB.replacen("price = 14 }", &counted, 1);
        assert_ne!(text, JOB);
        let asker = Asker::new(&text, false);
        let sheet = asker.sheets()["sheets"][0].clone();
        assert_eq!((&sheet["stock_index"], &sheet["stock_count"]), (&json!(0), &json!(count)));
        let add = |count: u32| {
            let from = json!({ "row": sheet["stock_index"], "count": count });
            let change = json!({ "add-remnant": { "sheet": sheet["kind_index"], "name": sheet["kind"], "stock": sheet["remnant_stock"], "from": from } });
            json!({ "do": "shop", "change": change })
        };
        // Of a stock that has been changed since, nothing is taken off.
        assert_eq!(asker.refused(&add(count + 1)).0, 409);
        asker.edit(&add(count));
        let after = asker.text();
        let first = after.split("[[sheet]]").nth(1).unwrap();
        assert!(first.contains("name = \"remnant of"), "{first}");
        match left {
            Some(left) => assert!(first.contains(left), "{first}"),
            None => assert!(!first.contains("500 mm"), "{first}"),
        }
        assert_eq!(asker.post("/step", &json!({ "back": true })).0, 200);
        assert_eq!(asker.text(), text, "one step back");
    }
}

/// The page and the report say the same of a remnant and of what the sheets cost.
#[test]
fn the_page_and_the_report_say_the_same_of_the_sheets() {
    let job = JOB.replacen("price = 14", "price = 14.5", 1);
    let asker = Asker::new(&job, false);
    let sheets = asker.sheets();
    assert_eq!(sheets["price"], "14.50 for the 1 that has a price", "{sheets}");
    assert_eq!(asker.post("/make", &json!({})).0, 200);
    let all = asker.sheets();
    let files = asker.on.files.lock().unwrap();
    let report = files.iter().find(|file| file.name == "report.html").unwrap();
    let report = String::from_utf8_lossy(&report.bytes);
    for sheet in all["sheets"].as_array().unwrap() {
        let remnant = sheet["remnant"].as_str().unwrap();
        assert!(report.contains(&format!(">{remnant}<")), "{remnant}");
    }
    assert!(report.contains(all["price"].as_str().unwrap()), "{}", all["price"]);
}
