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
use std::time::Duration;

/// The layout, as soon as it is there.
fn sheets(asker: &Asker) -> Value {
    for _ in 0..2400 {
        let sheets = asker.get("/sheets");
        if sheets["how"] != "coming" {
            return sheets;
        }
        std::thread::sleep(Duration::from_millis(25));
    }
    panic!("no layout comes");
}

#[test]
fn the_first_layout_comes_by_itself_and_anew_after_a_change() {
    let asker = Asker::new(JOB, false);
    let first = sheets(&asker);
    assert_eq!((&first["how"], &first["totals"]["sheets"]), (&json!("first"), &json!(2)));
    assert_eq!(first["changes"], Value::Null, "nothing was made yet");
    let placed = |sheets: &Value| -> usize {
        let all = sheets["sheets"].as_array().unwrap().iter();
        all.map(|sheet| sheet["placed"].as_array().unwrap().len()).sum()
    };
    assert_eq!(placed(&first), 4);
    asker.edit(&set("ear", "quantity", Some("2"), Some("6")));
    let next = sheets(&asker);
    assert_eq!(placed(&next), 8);
    assert!(next["version"].as_u64() > first["version"].as_u64());
    // One part that is stopped is left out; the others are laid out.
    asker.edit(&set("ear", "bolt", Some("M8"), Some("M7")));
    let without = sheets(&asker);
    assert_eq!((placed(&without), &without["stopped"]), (2, &json!(["ear"])));
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
fn a_job_that_is_stopped_as_a_whole_writes_nothing() {
    let asker = Asker::new(&JOB.replace("\"lug\"", "\"ear\""), false);
    assert_eq!(sheets(&asker)["how"], "none");
    let (code, answer) = asker.post("/make", &json!({}));
    assert_eq!(code, 422, "{answer}");
    assert!(asker.on.files.lock().unwrap().is_empty());
}
