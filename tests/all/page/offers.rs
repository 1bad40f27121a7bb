//! What the page offers beside a finding, a job that is stopped, a page that only reads, the files to save.

use crate::page::desk::Asker;
use crate::page::desk::HOST;
use crate::page::desk::JOB;
use crate::page::desk::KEY;
use crate::page::desk::PORT;
use crate::page::desk::set;
use axum::body::Body;
use axum::http::Request;
use serde_json::Value;
use serde_json::json;

/// The number of a finding is that of its ring in the flat.
#[test]
fn a_finding_has_the_number_that_it_has_in_the_picture() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("box", "inset", None, Some("8 mm")));
    let part = asker.get("/part?name=box");
    let findings = part["findings"].as_array().unwrap();
    let labels: Vec<&str> = findings.iter().filter_map(|of| of["label"].as_str()).collect();
    assert!(!labels.is_empty(), "{part}");
    let flat = part["drawn"]["flat"].as_str().unwrap();
    assert!(labels.iter().any(|label| flat.contains(&format!(">{label}<"))), "{labels:?} {flat}");
}

#[test]
fn a_stopped_part_is_named_where_sheets_and_files_are() {
    let asker = Asker::new(JOB, false);
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("8 mm")));
    assert_eq!(asker.sheets()["stopped"], json!(["ear"]));
    // One part alone, and it is stopped.
    let head = JOB.split("# The first.").next().unwrap();
    let text = format!(
        "{head}[[part]]\nrecipe = \"tab\"\nname = \"ear\"\nsheet = \"S235 4 mm\"\ngiven = {{ reach = \"8 mm\" }}\n"
    );
    let none = Asker::new(&text, false).sheets();
    assert_eq!((&none["how"], &none["stopped"]), (&json!("none"), &json!(["ear"])), "{none}");
    assert!(none["why"].as_str().unwrap().contains("stopped"), "{none}");
}

/// A value of the job, or of the shop's file, that cannot be is told at its field with what to type.
#[test]
fn a_value_of_the_shop_is_tried_and_offered_otherwise() {
    let shop = "drills = [\"3 mm\"]\n\n[[cutting]]\nprocess = \"laser\"\nkerf = \"0.2 mm\"\n";
    let asker = Asker::in_shop(&format!("shop = \"shop.toml\"\n{JOB}"), shop, true);
    let tried = |shop: bool, path: &str, was: Option<&str>, value: &str| -> Value {
        let change = json!({ "set": { "path": path, "was": was, "value": value } });
        let edit = json!({ "do": "shop", "shop": shop, "change": change });
        let (code, answer) = asker.post("/try", &json!({ "edit": edit }));
        assert_eq!(code, 200, "{answer}");
        answer["findings"].clone()
    };
    for (shop, path, was, typed) in
        [(false, "margin", None, "8,5 mm"), (false, "sheet.0.thickness", Some("4 mm"), "8,5 mm")]
    {
        let found = tried(shop, path, was, typed);
        let first = &found[0];
        assert_eq!(
            (&first["field"], &first["fixes"]),
            (&json!(path), &json!([[path, "8.5 mm"]])),
            "{found}"
        );
    }
    let kerf = tried(true, "cutting.0.kerf", Some("0.2 mm"), "8,5 mm");
    assert_eq!(kerf[0]["field"], "cutting.0.kerf", "{kerf}");
    assert_eq!(tried(true, "cutting.0.kerf", Some("0.2 mm"), "0.3"), json!([]));
    assert_eq!(tried(false, "margin", None, "12"), json!([]));
    assert_eq!(asker.on.shop.lock().unwrap().as_str(), shop, "nothing is written");
}

/// What cannot be read is offered with what to put in its place in the text.
#[test]
fn a_finding_at_no_field_says_what_to_replace_in_the_text() {
    let asker = Asker::new(&JOB.replacen("\"4 mm\"", "\"4,5 mm\"", 1), false);
    let job = asker.get("/job");
    let found = job["findings"].as_array().unwrap();
    let one = found.iter().find(|of| of["instead"] == json!(["4.5 mm"]));
    let one = one.unwrap_or_else(|| panic!("{job}"));
    let line = one["place"][0].as_u64().unwrap() as usize;
    let text = asker.text();
    let marked = one["marked"].as_str().unwrap();
    assert!(text.lines().nth(line - 1).unwrap().contains(marked), "{one}");
    assert!(marked.contains("4,5 mm"), "{one}");
}

/// What is to be sent, and the report, can be saved from the page; nothing else of the disk can.
#[test]
fn what_was_written_can_be_saved_by_the_browser() {
    let asker = Asker::new(JOB, false);
    let cookie = format!("platewright-{PORT}={KEY}");
    let saved = |name: &str| {
        let path = format!("/written?name={name}");
        let request = Request::get(path).header("host", HOST).header("cookie", &cookie);
        asker.raw(request.body(Body::empty()).unwrap())
    };
    assert_eq!(saved("report.html").0.status().as_u16(), 404, "nothing is written yet");
    let (code, answer) = asker.post("/make", &json!({}));
    assert_eq!(code, 200, "{answer}");
    let files = asker.on.files.lock().unwrap().clone();
    let zips: Vec<_> = files.iter().filter(|file| file.name.ends_with(".zip")).collect();
    assert_eq!(zips.len(), 2);
    for file in zips {
        let (head, bytes) = saved(&file.name);
        assert!(head.status().is_success() && bytes == file.bytes, "{}", file.name);
        let how = head.headers()["content-disposition"].to_str().unwrap();
        assert_eq!(how, format!("attachment; filename=\"{}\"", &file.name["order/".len()..]));
    }
    assert!(saved("report.html").0.status().is_success());
    for name in ["cart.toml", "..%2Fcart.toml", "%2Fetc%2Fpasswd", "parts.csv"] {
        assert_eq!(saved(name).0.status().as_u16(), 404, "{name}");
    }
}

/// Stops of the whole job, without their figures.
fn stops(asker: &Asker) -> Vec<String> {
    let job = asker.get("/job");
    let rows = job["parts"].as_array().unwrap().iter();
    let parts = rows.map(|row| asker.get(&format!("/part?name={}", row["name"].as_str().unwrap())));
    let mut all: Vec<String> = parts
        .flat_map(|part| part["findings"].as_array().unwrap().clone())
        .filter(|found| found["weight"] == "stop")
        .map(|found| plain(found["headline"].as_str().unwrap()))
        .collect();
    all.sort();
    all
}

fn plain(headline: &str) -> String {
    headline.chars().filter(|c| !c.is_ascii_digit() && *c != '.').collect()
}

/// Every value there is a button for clears its finding and brings no stop that was not there.
#[test]
fn a_value_that_is_offered_was_tried() {
    let (mut offered, mut refused) = (0, 0);
    for (part, from, to) in [
        ("ear", "reach = \"30 mm\"", "reach = \"33,5 mm\""),
        ("ear", "reach = \"30 mm\"", "reach = \"3,5 mm\""),
        ("ear", "reach = \"30 mm\"", "reach = \"8 mm\""),
        ("ear", "foot = \"40 mm\"", "foot = \"40 mmm\""),
        ("ear", "foot = \"40 mm\"", "foot = \"5 mm\""),
        ("ear", "bolt = \"M8\"", "bolt = \"M7\""),
        ("box", "length = \"120 mm\"", "length = \"120,5 mm\""),
        ("box", "length = \"120 mm\"", "length = \"30 mm\""),
        ("box", "width = \"90 mm\"", "width = \"90 mm\", inset = \"3 mm\""),
        ("box", "width = \"90 mm\"", "width = \"90 mm\", inset = \"41,5 mm\""),
    ] {
        assert!(JOB.contains(from), "{from}");
        let asker = Asker::new(&JOB.replacen(from, to, 1), false);
        let before = stops(&asker);
        refused += named_nowhere(&asker, part);
        let remedies = asker.get(&format!("/remedies?name={part}"));
        for row in remedies.as_array().unwrap() {
            for fix in row[1].as_array().unwrap() {
                let (field, value) = (fix[0].as_str().unwrap(), fix[1].as_str());
                let shown = asker.get(&format!("/part?name={part}"));
                let inputs = shown["inputs"].as_array().unwrap();
                let was =
                    inputs.iter().find(|input| input["key"] == field).unwrap()["given"].clone();
                asker.edit(&set(part, field, was.as_str(), value));
                let after = stops(&asker);
                let here = format!("{part} {to}: {row} {fix}: {after:?}");
                assert!(after.iter().all(|stop| before.contains(stop)), "{here}");
                let found = asker.get(&format!("/part?name={part}"))["findings"].clone();
                let left = found.as_array().unwrap().iter().filter(|of| of["headline"] == row[0]);
                assert_eq!(left.count(), 0, "{here}");
                assert_eq!(asker.post("/step", &json!({ "back": true })).0, 200);
                offered += 1;
            }
        }
    }
    assert!(offered >= 4, "only {offered} values are offered");
    assert!(refused >= 1, "no value was refused");
}

/// The number of values that were tried for a part and have no button: no help names one either.
fn named_nowhere(asker: &Asker, part: &str) -> usize {
    let shown = asker.get(&format!("/part?name={part}"));
    let remedies = asker.get(&format!("/remedies?name={part}"));
    let mut refused = 0;
    for row in remedies.as_array().unwrap() {
        let found = shown["findings"].as_array().unwrap();
        let found = found.iter().find(|of| of["headline"] == row[0]).unwrap();
        let kept = row[1].as_array().unwrap();
        for fix in found["fixes"].as_array().unwrap().iter().filter(|fix| !kept.contains(fix)) {
            let (value, help) = (fix[1].as_str().unwrap(), row[3].as_str().unwrap_or_default());
            let is_named = [format!("`{value}`"), format!("\"{value}\"")];
            assert!(is_named.iter().all(|named| !help.contains(named.as_str())), "{row}");
            assert!(row[2].as_array().is_some_and(|why| !why.is_empty()), "{row}");
            refused += 1;
        }
    }
    refused
}

/// While a value is typed, what is offered in its place is tried as well.
#[test]
fn a_value_that_is_typed_is_offered_otherwise_if_that_helps() {
    let asker = Asker::new(JOB, false);
    let tried = |value: &str| {
        let edit = set("ear", "reach", Some("30 mm"), Some(value));
        let (code, answer) = asker.post("/try", &json!({ "edit": edit }));
        assert_eq!((code, &answer["proven"]), (200, &json!(true)), "{answer}");
        answer["findings"].as_array().unwrap().clone()
    };
    let fixes = |found: &[Value]| -> Vec<Value> {
        found.iter().flat_map(|of| of["fixes"].as_array().unwrap().clone()).collect()
    };
    assert_eq!(fixes(&tried("33,5 mm")), [json!(["reach", "33.5 mm"])]);
    // The value without its comma is stopped as well: what that stop names is offered, or nothing.
    let short = fixes(&tried("8,5 mm"));
    assert!(!short.contains(&json!(["reach", "8.5 mm"])), "{short:?}");
    if !short.is_empty() {
        let passed = tried("8,5 mm")[0]["passed"].to_string();
        assert!(passed.contains("`8.5 mm` would cause another stop"), "{passed}");
    }
}

/// A link that is too short for its bungs says from which length on it is possible.
#[test]
fn a_link_that_is_too_short_says_how_long_it_must_be() {
    let asker = Asker::new(JOB, false);
    asker.edit(&json!({ "do": "entry", "kind": "link", "change": { "new": {} } }));
    let set = |was: &str, value: &str| {
        let change = json!({ "set": { "key": "pins", "was": was, "value": value } });
        json!({ "do": "entry", "kind": "link", "index": 0, "name": "link", "change": change })
    };
    asker.edit(&set("600 mm", "60 mm"));
    let link = asker.get("/entry?kind=link&index=0");
    assert_eq!((&link["state"][0], &link["flat"]), (&json!(1), &Value::Null), "{link}");
    let found = &link["findings"][0];
    // The finding does not wait for the values that are tried.
    assert_eq!(link["proven"], Value::Null);
    let tried = json!({ "edit": set("60 mm", "61 mm"), "quick": true });
    assert_eq!(asker.post("/try", &tried).1["proven"], Value::Null);
    let tried = json!({ "edit": set("60 mm", "61 mm") });
    assert_eq!(asker.post("/try", &tried).1["proven"], json!(true));
    let remedies = asker.get("/entry-remedies?kind=link&index=0");
    let row = remedies.as_array().unwrap().iter().find(|row| row[0] == found["headline"]);
    let fixes = row.unwrap()[1].as_array().unwrap();
    assert_eq!((fixes.len(), &fixes[0][0]), (1, &json!("pins")), "{remedies}");
    let long = fixes[0][1].as_str().unwrap();
    assert!(found["help"].as_str().unwrap().contains(long), "{found}");
    asker.edit(&set("60 mm", long));
    let link = asker.get("/entry?kind=link&index=0");
    assert_eq!(link["state"][0], 0, "{link}");
    assert!(link["flat"].is_string());
}
