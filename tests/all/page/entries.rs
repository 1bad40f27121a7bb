//! Links, tubes and loads on the page: their forms, their pictures, what changes the text.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use serde_json::Value;
use serde_json::json;

const REST: &str = r#"
# From box to upright.
[[link]]
name    = "drag"   # left
pins    = "620 mm"
rod_end = "M10"

[[part]]
recipe = "clevis-plates"
name   = "fork"
sheet  = "S235 4 mm"
link   = "drag"
end    = 1

# Across.
[[tube]]
name   = "cross"
tube   = "48.3 x 2.6"
length = "820 mm"
start  = { main = "60.3 x 2.9", angle = "60 deg" } # leans

[[load]]
name      = "hard braking"
part      = "ear"
hole      = "eye"
force     = "2 kN"
direction = "pull"
"#;

fn asker() -> Asker {
    Asker::new(&format!("{JOB}{REST}"), false)
}

fn get(asker: &Asker, kind: &str, index: usize) -> Value {
    asker.get(&format!("/entry?kind={kind}&index={index}"))
}

fn field<'v>(entry: &'v Value, key: &str) -> &'v Value {
    let fields = entry["fields"].as_array().unwrap();
    fields.iter().find(|field| field["key"] == key).unwrap_or(&Value::Null)
}

/// A field of an entry as the page would set it.
fn set(entry: &Value, key: &str, value: Option<&str>) -> Value {
    let change =
        json!({ "set": { "key": key, "value": value, "was": field(entry, key)["given"] } });
    changed(entry, change)
}

fn changed(entry: &Value, change: Value) -> Value {
    json!({
        "do": "entry", "kind": entry["kind"], "index": entry["index"], "name": entry["name"],
        "change": change
    })
}

#[test]
fn a_link_is_a_form_and_is_drawn_with_its_settings() {
    let asker = asker();
    let all = asker.get("/entries");
    assert_eq!(all["link"][0]["words"], "620 mm, M10");
    assert_eq!(
        (&all["tube"][0]["name"], &all["load"][0]["state"]),
        (&json!("cross"), &json!([0, 0]))
    );
    let link = get(&asker, "link", 0);
    let pins = field(&link, "pins");
    assert_eq!((&pins["given"], &pins["about"]), (&json!("620 mm"), &json!("From pin to pin")));
    let ends = ["hand-1", "hand-2"].map(|key| field(&link, key)["value"].clone());
    assert_eq!(ends, ["right", "left"]);
    assert_eq!(field(&link, "rod_end-2")["given"], "M10");
    let rows = field(&link, "rod_end-1")["options"].as_array().unwrap();
    assert!(rows.iter().any(|row| row[0] == "M12" && row[1].as_str().unwrap().contains("bore")));
    assert_eq!(link["held_by"], json!(["fork"]));
    let drawn = link["flat"].as_str().unwrap();
    // Pin to pin, and the cut length of the tube: 620 less both rod ends beyond their bungs and
    // both shoulders, which the facts give as well.
    let cut = link["facts"][0][1].as_str().unwrap().trim_end_matches(" mm");
    assert!(drawn.contains(">pins 620<") && drawn.contains(&format!("cut {cut}")), "{drawn}");
    assert!(drawn.contains("broken"), "a link of 620 mm is too long for its ends to be seen");
}

#[test]
fn one_value_of_a_link_is_changed_for_one_end_or_both() {
    let asker = asker();
    let before = asker.text();
    let answer = asker.edit(&set(&get(&asker, "link", 0), "pins", Some("640 mm")));
    assert_eq!(asker.text(), before.replacen("620 mm", "640 mm", 1));
    assert_eq!(answer["place"], "link/0");
    assert!(answer["entry"]["flat"].as_str().unwrap().contains(">pins 640<"));
    assert_eq!(answer["job"]["steps"]["undo"][0], "drag: pins 620 mm → 640 mm");
    asker.edit(&set(&get(&asker, "link", 0), "rod_end-2", Some("M8")));
    assert!(asker.text().contains("rod_end = [\"M10\", \"M8\"]\n"), "{}", asker.text());
    asker.edit(&set(&get(&asker, "link", 0), "rod_end-1", Some("M8")));
    assert!(asker.text().contains("rod_end = \"M8\"\n"), "{}", asker.text());
    // One hand alone is written with the usual one of the other end.
    asker.edit(&set(&get(&asker, "link", 0), "hand-1", Some("left")));
    assert!(asker.text().contains("hand    = \"left\"\n"), "{}", asker.text());
    asker.edit(&set(&get(&asker, "link", 0), "hand-1", None));
    assert!(!asker.text().contains("hand "), "{}", asker.text());
    for _ in 0..5 {
        let (code, answer) = asker.post("/step", &json!({ "back": true }));
        assert_eq!((code, &answer["entry"]), (200, &json!("link/0")));
    }
    assert_eq!(asker.text(), before);
}

#[test]
fn a_link_keeps_its_parts_when_it_gets_another_name() {
    let asker = asker();
    asker.edit(&set(&get(&asker, "link", 0), "name", Some("steering")));
    assert!(asker.text().contains("link   = \"steering\"\n"), "{}", asker.text());
    assert_eq!(asker.get("/job")["state"], json!([0, 0]));
    let (code, why) = asker.refused(&set(&get(&asker, "link", 0), "name", None));
    assert_eq!((code, why.as_str()), (422, "a link needs `name`"));
}

#[test]
fn an_end_of_a_tube_is_coped_or_cut_square() {
    let asker = asker();
    let tube = get(&asker, "tube", 0);
    assert_eq!(field(&tube, "start.main")["given"], "60.3 x 2.9");
    assert_eq!(field(&tube, "end.main")["value"], "square");
    assert!(tube["flat"].as_str().unwrap().contains("length 820"), "{tube}");
    asker.edit(&set(&tube, "end.main", Some("48.3 x 2.6")));
    assert!(asker.text().contains("end    = { main = \"48.3 x 2.6\" }\n"), "{}", asker.text());
    asker.edit(&set(&get(&asker, "tube", 0), "end.offset", Some("0 mm")));
    asker.edit(&set(&get(&asker, "tube", 0), "end.main", Some("square")));
    assert!(!asker.text().contains("end    = {"), "{}", asker.text());
    asker.edit(&set(&get(&asker, "tube", 0), "start.angle", None));
    assert!(
        asker.text().contains("start  = { main = \"60.3 x 2.9\" } # leans\n"),
        "{}",
        asker.text()
    );
}

#[test]
fn what_would_keep_the_job_from_being_read_is_only_tried() {
    let asker = asker();
    let link = get(&asker, "link", 0);
    let (code, tried) =
        asker.post("/try", &json!({ "edit": set(&link, "pins", Some("626,5 mm")) }));
    let found = &tried["findings"][0];
    assert_eq!((code, &found["field"]), (200, &json!("pins")), "{tried}");
    assert_eq!(found["fixes"], json!([["pins", "626.5 mm"]]));
    // One that would be stopped itself is not offered.
    let (_, short) = asker.post("/try", &json!({ "edit": set(&link, "pins", Some("6,2 mm")) }));
    assert_ne!(short["findings"][0]["fixes"], json!([["pins", "6.2 mm"]]), "{short}");
    assert_eq!((&tried["name"], &tried["flat"]), (&json!("drag"), &Value::Null));
    let (code, why) = asker.refused(&set(&link, "pins", Some("626,5 mm")));
    assert!(code == 422 && why.contains("comma"), "{why}");
    let (code, tried) =
        asker.post("/try", &json!({ "edit": set(&link, "rod_end-2", Some("M11")) }));
    assert_eq!((code, &tried["findings"][0]["field"]), (200, &json!("rod_end-2")), "{tried}");
    let (code, _) =
        asker.refused(&json!({ "do": "entry", "kind": "sheet", "change": { "new": {} } }));
    assert_eq!(code, 422);
}

#[test]
fn a_load_shows_where_it_acts_and_what_governs_on_the_folded_part() {
    let asker = asker();
    let load = &get(&asker, "load", 0)["load"];
    assert_eq!((&load["part"], &load["row"]["judged"]), (&json!("ear"), &json!(true)));
    assert_eq!(load["at"].as_array().unwrap().len(), 1);
    let way: Vec<f64> =
        load["ways"][0].as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
    let long = way.iter().map(|x| x * x).sum::<f64>();
    assert!((long - 1.0).abs() < 1e-9, "a direction: {way:?}");
    // Pulled straight away from its foot, which is the lower edge of the drawing.
    assert!((way[1] - 1.0).abs() < 1e-9, "{way:?}");
    assert_eq!(load["section"].as_array().unwrap().len(), 2);
    let whole = get(&asker, "load", 0);
    let holes = field(&whole, "hole")["options"].as_array().unwrap();
    assert!(holes.iter().any(|hole| hole[0] == "eye"), "{holes:?}");
    asker.edit(&set(&whole, "direction", Some("normal")));
    let ways = &get(&asker, "load", 0)["load"]["ways"];
    assert_eq!(ways.as_array().unwrap().len(), 2, "either way");
    asker.edit(&set(&get(&asker, "load", 0), "force", Some("900 kN")));
    let too_much = get(&asker, "load", 0);
    assert_eq!(too_much["load"]["row"]["holds"], false);
    assert_eq!(too_much["state"][0], 1, "it does not hold: {too_much}");
}

/// As in the report: a bar is the share of the load, and the allowable load is rounded down.
#[test]
fn the_limits_of_a_load_are_bars_of_what_it_takes() {
    let whole = get(&asker(), "load", 0);
    let load = &whole["load"];
    let mut limits: Vec<f64> = load["row"]["limits"]
        .as_array()
        .unwrap()
        .iter()
        .map(|limit| limit["allowable"]["kn"].as_f64().unwrap())
        .collect();
    limits.sort_by(f64::total_cmp);
    let bars = load["bars"].as_array().unwrap();
    assert!(bars.len() >= limits.len() && !limits.is_empty(), "{load}");
    for (i, (bar, kn)) in bars.iter().zip(&limits).enumerate() {
        let said = bar["allowed"].as_str().unwrap().strip_suffix(" kN").unwrap();
        let said: f64 = said.parse().unwrap();
        assert!(said <= kn + 1e-6 && said > 0.989 * kn, "{said} of {kn}");
        assert!((bar["share"].as_f64().unwrap() - 2.0 / kn).abs() < 1e-3, "{bar}");
        assert_eq!(bar["governs"], i == 0, "{bar}");
    }
    assert_eq!(load["legend"], "bars: 2 kN applied; line: allowable");
}

#[test]
fn links_tubes_and_loads_are_added_copied_and_taken_out() {
    let asker = asker();
    let before = asker.text();
    for kind in ["link", "tube", "load"] {
        let new = json!({ "do": "entry", "kind": kind, "change": { "new": {} } });
        let answer = asker.edit(&new);
        assert_eq!(answer["place"], format!("{kind}/1"));
        assert_eq!(answer["entry"]["name"], kind);
        let drawn =
            if kind == "load" { &answer["entry"]["load"] } else { &answer["entry"]["flat"] };
        assert!(!drawn.is_null(), "it stands there drawn at once: {answer}");
        let copy = asker.edit(&changed(&get(&asker, kind, 0), json!({ "copy": {} })));
        assert_eq!(copy["place"], format!("{kind}/1"));
        asker.edit(&changed(&get(&asker, kind, 1), json!({ "take-out": {} })));
        asker.edit(&changed(&get(&asker, kind, 1), json!({ "take-out": {} })));
        assert_eq!(asker.text(), before, "{kind}");
    }
    let gone = get(&asker, "tube", 0);
    asker.outside("\"cross\"", "\"brace\"");
    let (code, why) = asker.refused(&changed(&gone, json!({ "take-out": {} })));
    assert_eq!((code, why.as_str()), (409, "`cross` is no longer there"));
}

/// A load along a link shows the link and what came of all of it, not what came of an ear alone.
#[test]
fn a_load_along_a_link_is_judged_as_the_link() {
    let load = "\n[[load]]\nname  = \"full lock\"\nlink  = \"drag\"\nforce = \"3 kN\"\n";
    let asker = Asker::new(&format!("{JOB}{REST}{load}"), false);
    let of = get(&asker, "load", 1);
    assert_eq!(of["load"]["row"]["link"], "drag", "{of}");
    assert_eq!(of["load"]["row"]["judged"], false, "its rod ends have no rating: {of}");
    assert!(of["flat"].as_str().unwrap().contains(">pins 620<"));
    assert_eq!(of["state"], json!([0, 1]), "{of}");
    let keys = ["link", "direction", "part", "hole"].map(|key| !field(&of, key).is_null());
    assert_eq!(keys, [true, true, false, false]);
    asker.edit(&set(&get(&asker, "link", 0), "rating-1", Some("14 kN")));
    asker.edit(&set(&get(&asker, "link", 0), "material", Some("1020-CD")));
    let of = get(&asker, "load", 1);
    assert_eq!(of["load"]["row"]["judged"], true, "{of}");
    let governs = &of["load"]["row"]["limits"][0]["what"];
    assert_eq!(governs, "shank in compression and bending", "{of}");
    // Its link is renamed with it.
    asker.edit(&set(&get(&asker, "link", 0), "name", Some("drag-link")));
    assert_eq!(field(&get(&asker, "load", 1), "link")["given"], "drag-link");
}

#[test]
fn a_load_is_not_clear_where_its_part_is_stopped() {
    let asker = asker();
    assert_eq!(get(&asker, "load", 0)["state"], json!([0, 0]));
    asker.edit(&crate::page::desk::set("ear", "bolt", Some("M8"), Some("M7")));
    let of = get(&asker, "load", 0);
    assert!(of["state"][0].as_u64() > Some(0), "{of}");
    assert_eq!(of["load"], Value::Null);
    assert!(asker.get("/entries")["load"][0]["state"][0].as_u64() > Some(0));
}

#[test]
fn a_part_with_a_load_is_not_taken_out() {
    let asker = asker();
    let (code, why) = asker.refused(&json!({ "do": "take-out", "part": "ear" }));
    assert!(code == 422 && why.contains("`hard braking`"), "{code} {why}");
}

#[test]
fn a_load_along_a_link_is_made_new_and_is_asked_for_in_words() {
    let asker = asker();
    let new = json!({ "do": "entry", "kind": "load", "change": { "new": { "link": "drag" } } });
    let answer = asker.edit(&new);
    assert_eq!(answer["place"], "load/1");
    let load = get(&asker, "load", 1);
    assert_eq!(field(&load, "link")["given"], "drag");
    assert!(asker.text().contains("\"load\"\nlink      = \"drag\"\n"));
    let gone = json!({ "do": "entry", "kind": "load", "change": { "new": { "link": "none" } } });
    assert_eq!(asker.refused(&gone).0, 409);
    // Required keys come first, each group under its heading, in the words of the trade.
    let fields = get(&asker, "load", 0)["fields"].as_array().unwrap().clone();
    let heads: Vec<&str> = fields.iter().map(|field| field["group"].as_str().unwrap()).collect();
    assert_eq!(heads[..4], ["Loaded part", "Loaded part", heads[2], "Force and direction"]);
    let leg = fields.iter().find(|field| field["key"] == "leg").unwrap();
    assert_eq!((&leg["called"], &leg["hint"]), (&json!("weld leg"), &json!("leg")));
}

#[test]
fn a_link_that_cannot_be_made_is_not_drawn() {
    let asker = asker();
    assert!(get(&asker, "link", 0)["flat"].is_string());
    asker.edit(&set(&get(&asker, "link", 0), "pins", Some("50 mm")));
    let link = get(&asker, "link", 0);
    assert_eq!((&link["state"][0], &link["flat"]), (&json!(1), &Value::Null), "{link}");
    assert_eq!(link["facts"], json!([]), "it has no tube of less than nothing");
    asker.edit(&set(&link, "pins", Some("300 mm")));
    assert!(get(&asker, "link", 0)["flat"].is_string());
}
