//! An edit is answered at once with the part's picture; slower results follow as messages.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use crate::page::desk::set;
use serde_json::Value;
use serde_json::json;
use std::time::Duration;

const SHOP: &str = include_str!("../../../parts/shop.toml");

const LOAD: &str = "\n[[load]]\nname = \"tow\"\npart = \"ear\"\nforce = \"2 kN\"\ndirection = \"pull\"\n\
                    hole = \"eye\"\n";

fn asker() -> Asker {
    let job = JOB.replacen("# A cart.\n", "# A cart.\nshop = \"shop.toml\"\n", 1);
    Asker::in_shop(&(job + LOAD), SHOP, false)
}

fn quick(asker: &Asker, edit: &Value) -> Value {
    let (code, answer) = asker.post("/edit", &json!({ "edit": edit, "quick": true }));
    assert_eq!(code, 200, "{answer}");
    answer
}

/// The job once everything of it has been checked.
fn finished(asker: &Asker) -> Value {
    for _ in 0..3000 {
        let job = asker.get("/job");
        if job["checking"].is_null() {
            return job;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    panic!("the bends are looked at for ever");
}

fn row<'v>(job: &'v Value, name: &str) -> &'v Value {
    job["parts"].as_array().unwrap().iter().find(|row| row["name"] == name).unwrap()
}

#[test]
fn the_picture_is_answered_at_once_and_the_bends_follow() {
    let asker = asker();
    assert_eq!(asker.get("/job")["checking"], Value::Null, "an opened job is whole");
    let heard = asker.heard();
    let before = asker.get("/part?name=box");
    let answer = quick(&asker, &set("box", "length", Some("120 mm"), Some("124 mm")));
    let part = &answer["part"];
    assert_ne!(part["drawn"]["flat"], before["drawn"]["flat"], "the flat is the new one");
    assert_eq!(part["checking"], "bends being checked");
    let steps = part["drawn"]["steps"].as_array().unwrap();
    assert!(steps.iter().all(|step| step["lines"] == json!(["bends being checked"])), "{steps:?}");
    assert_eq!(row(&answer["job"], "box")["checking"], "bends being checked");
    assert_eq!(row(&answer["job"], "lug")["checking"], Value::Null, "the others stay clear");
    let job = finished(&asker);
    let version = |of: &Value| of["version"].as_u64().unwrap();
    assert!(version(&job) > version(&answer["job"]), "it is another state of the job");
    let told = heard.told();
    assert!(told.iter().any(|event| event["version"] == job["version"]), "it is told: {told:?}");
    // The result is the same as when everything is calculated from the start.
    let anew = Asker::in_shop(&asker.text(), SHOP, false);
    assert_eq!(asker.get("/part?name=box"), anew.get("/part?name=box"));
    assert_eq!(job["parts"], anew.get("/job")["parts"]);
    // Undone, everything is known already.
    let (code, undone) = asker.post("/step", &json!({ "back": true, "quick": true }));
    assert_eq!((code, &undone["job"]["checking"]), (200, &Value::Null));
}

#[test]
fn a_load_is_judged_after_the_picture_and_not_called_clear_before() {
    let asker = asker();
    let before = asker.get("/entry?kind=load&index=0");
    assert!(before["load"].is_object() && before["checking"].is_null(), "{before}");
    let edit = json!({ "edit": set("ear", "reach", Some("30 mm"), Some("38 mm")), "quick": true });
    let (code, tried) = asker.post("/try", &edit);
    assert_eq!((code, &tried["checking"]), (200, &json!("strength being checked")), "{tried}");
    let answer = quick(&asker, &edit["edit"]);
    assert_eq!(answer["part"]["checking"], "strength being checked");
    let found = &answer["part"]["findings"];
    assert!(!found.to_string().contains("tow"), "what is not judged yet is not found: {found}");
    finished(&asker);
    let anew = Asker::in_shop(&asker.text(), SHOP, false);
    let load = "/entry?kind=load&index=0";
    assert_eq!(asker.get(load), anew.get(load));
    assert_eq!(asker.get("/part?name=ear"), anew.get("/part?name=ear"));
}

/// Changes that come faster than their bends are checked: only the last one is checked.
#[test]
fn of_several_changes_the_last_is_finished() {
    let asker = asker();
    let lengths = ["120 mm", "121 mm", "122 mm", "123 mm", "124 mm"];
    for pair in lengths.windows(2) {
        quick(&asker, &set("box", "length", Some(pair[0]), Some(pair[1])));
    }
    finished(&asker);
    let anew = Asker::in_shop(&asker.text(), SHOP, false);
    assert!(asker.text().contains("124 mm"));
    let [own, anew] = [&asker, &anew].map(|asker| asker.get("/part?name=box"));
    for key in ["drawn", "facts", "state", "inputs", "checking"] {
        assert_eq!(own[key], anew[key], "{key}");
    }
}
