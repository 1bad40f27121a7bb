//! The machine on the page: its points by coordinates and by tapes, the bodies between them, its
//! picture.

use crate::page::desk::Asker;
use serde_json::Value;
use serde_json::json;

/// Four points of a frame, a rail, a strut that still has a length of its own, and a part.
const JOB: &str = r#"process = "laser"
tape    = "2 mm" # folding rule

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["500 mm", "400 mm"] } ]

[points]
a    = ["0 mm", "0 mm", "0 mm"] # the corner
b    = ["900 mm", "0 mm", "0 mm"]
c    = ["0 mm", "500 mm", "0 mm"]
head = ["300 mm", "200 mm", "400 mm"]

[[obstacle]]
name    = "rail"
shape   = "tube"
outside = "48.3 mm"
from    = "a"
to      = "b"

[[link]]
name    = "drag"
pins    = "620 mm" # eye to eye
rod_end = "M10"

[[tube]]
name   = "strut"
tube   = "38 x 2"
length = "700 mm"

[[part]]
recipe = "tab"
name   = "ear"
sheet  = "S235 4 mm"
"#;

fn asker() -> Asker {
    Asker::new(JOB, false)
}

fn machine(asker: &Asker) -> Value {
    asker.get("/machine?w=900&h=460")
}

fn change(change: Value) -> Value {
    json!({ "do": "machine", "change": change })
}

fn set(path: &str, was: Option<&str>, value: Option<&str>) -> Value {
    change(json!({ "set": { "path": path, "value": value, "was": was } }))
}

fn point<'v>(of: &'v Value, name: &str) -> &'v Value {
    of["points"].as_array().unwrap().iter().find(|point| point["name"] == name).unwrap()
}

/// A field of an entry changed to a value, whatever its old value.
fn field(asker: &Asker, kind: &str, key: &str, value: Option<&str>) -> Value {
    let entry = asker.get(&format!("/entry?kind={kind}&index=0"));
    let fields = entry["fields"].as_array().unwrap();
    let found = fields.iter().find(|field| field["key"] == key);
    let was = found.unwrap_or_else(|| panic!("{kind} has no {key}: {entry}"))["given"].clone();
    json!({ "do": "entry", "kind": kind, "index": 0, "name": entry["name"],
        "change": { "set": { "key": key, "value": value, "was": was } } })
}

fn undo(asker: &Asker, steps: usize, before: &str) {
    for _ in 0..steps {
        let (code, answer) = asker.post("/step", &json!({ "back": true }));
        assert_eq!(code, 200, "{answer}");
    }
    assert_eq!(asker.text(), before);
}

#[test]
fn points_are_fields_and_the_picture_follows_them() {
    let asker = asker();
    let first = machine(&asker);
    let head = point(&first, "head");
    let keys: Vec<&str> =
        head["fields"].as_array().unwrap().iter().map(|f| f["called"].as_str().unwrap()).collect();
    assert_eq!((keys, &head["how"]), (vec!["x", "y", "z"], &json!("coordinates")));
    assert_eq!(head["at"], "300 mm, 200 mm, 400 mm");
    // Each of the three views says along which axis it looks, and names the two that are seen.
    let drawn = first["picture"].as_str().unwrap();
    for words in [">along +Y<", ">along −Z<", ">X<", ">Y<", ">Z<"] {
        assert!(drawn.contains(words), "{words}: {drawn}");
    }
    let answer = asker.edit(&set("points.head.2", Some("400 mm"), Some("450 mm")));
    assert_eq!(answer["place"], "machine");
    let wanted = JOB.replace("\"200 mm\", \"400 mm\"", "\"200 mm\", \"450 mm\"");
    assert_eq!(asker.text(), wanted);
    let moved = machine(&asker);
    assert_ne!(moved["picture"], first["picture"], "the picture follows");
    assert!(moved["picture"].as_str().unwrap().contains("head"), "points have their names");
    let stands = moved["entries"].as_array().unwrap();
    assert_eq!((stands.len(), &stands[0]["place"]), (1, &json!("obstacle/0")));
    // A comma is reported at its field, and nothing is written.
    let comma = set("points.head.2", Some("450 mm"), Some("45,5 mm"));
    let (code, tried) = asker.post("/try", &json!({ "edit": comma }));
    assert_eq!((code, &tried["findings"][0]["field"]), (200, &json!("points.head.2")), "{tried}");
    assert_eq!(asker.refused(&comma).0, 422);
    assert_eq!(asker.refused(&set("points.head.2", Some("1 mm"), Some("2 mm"))).0, 409);
    asker.edit(&set("centre_plane", None, Some("a, b, c")));
    assert!(asker.text().contains("centre_plane = [\"a\", \"b\", \"c\"]\n"), "{}", asker.text());
    asker.edit(&set("tape", Some("2 mm"), None));
    assert!(!asker.text().contains("folding rule"), "{}", asker.text());
    undo(&asker, 3, JOB);
}

#[test]
fn a_point_is_measured_by_tapes_and_stays_where_it_is() {
    let asker = asker();
    asker.edit(&change(json!({ "by-tapes": { "name": "head" } })));
    // By hand: the distances of (300, 200, 400) to the corners of the frame.
    let far = |x: f64, y: f64| (x * x + y * y + 400.0_f64.powi(2)).sqrt();
    let [a, b, c] = [far(300.0, 200.0), far(600.0, 200.0), far(300.0, 300.0)];
    let rule = format!(
        "head = {{ from = {{ a = \"{a:.1} mm\", b = \"{b:.1} mm\", c = \"{c:.1} mm\" }}, side = \"above\" }}"
    );
    assert!(asker.text().contains(&rule), "{rule}: {}", asker.text());
    let head = point(&machine(&asker), "head").clone();
    assert_eq!(head["how"], "tapes");
    let at: Vec<f64> = head["at"]
        .as_str()
        .unwrap()
        .split(", ")
        .map(|word| word.trim_end_matches(" mm").parse().unwrap())
        .collect();
    for (is, was) in at.iter().zip([300.0, 200.0, 400.0]) {
        assert!((is - was).abs() < 0.2, "{at:?}");
    }
    // The same three tapes meet below as well.
    asker.edit(&set("points.head.side", Some("above"), Some("below")));
    assert!(point(&machine(&asker), "head")["at"].as_str().unwrap().contains("-4"));
    asker.edit(&set("points.head.side", Some("below"), Some("above")));
    // One more point, and a tape from it, misread by a hand's width: the tape is named.
    asker.edit(&change(json!({ "new": { "name": "d" } })));
    asker.edit(&set("points.d.1", Some("0 mm"), Some("700 mm")));
    asker.edit(&change(json!({ "tape": { "name": "head", "from": "d" } })));
    let long = (300.0_f64.powi(2) + 500.0_f64.powi(2) + 400.0_f64.powi(2)).sqrt();
    let tape = format!("{long:.1} mm");
    assert!(asker.text().contains(&format!("d = \"{tape}\"")), "{}", asker.text());
    assert_eq!(machine(&asker)["findings"], json!([]));
    let (code, tried) = asker
        .post("/try", &json!({ "edit": set("points.head.from.d", Some(&tape), Some("790 mm")) }));
    assert_eq!(code, 200);
    let found = tried["findings"].as_array().unwrap();
    assert!(
        found.iter().any(|f| f["field"].as_str().unwrap_or("").starts_with("points.head")),
        "{tried}"
    );
    asker.edit(&change(json!({ "by-coordinates": { "name": "head" } })));
    assert_eq!(point(&machine(&asker), "head")["how"], "coordinates");
    undo(&asker, 7, JOB);
}

#[test]
fn points_are_added_and_one_in_use_is_not_removed() {
    let asker = asker();
    let (code, why) = asker.refused(&change(json!({ "take-out": { "name": "a" } })));
    assert!(code == 422 && why.contains("`a` is in use"), "{why}");
    asker.edit(&change(json!({ "take-out": { "name": "head" } })));
    assert!(!asker.text().contains("head") && asker.text().contains("# the corner"));
    for name in ["a", "1st", "left rail", ""] {
        assert_eq!(asker.refused(&change(json!({ "new": { "name": name } }))).0, 422, "{name}");
    }
    undo(&asker, 1, JOB);
    // The first point of a job without points makes their table.
    let bare = Asker::new(crate::page::desk::JOB, false);
    assert_eq!(machine(&bare)["picture"], Value::Null);
    bare.edit(&change(json!({ "new": { "name": "post" } })));
    assert!(
        bare.text().contains("\n[points]\npost = [\"0 mm\", \"0 mm\", \"0 mm\"]\n"),
        "{}",
        bare.text()
    );
    assert!(machine(&bare)["picture"].as_str().unwrap().contains("post"));
    undo(&bare, 1, crate::page::desk::JOB);
}

#[test]
fn a_link_is_put_between_points_and_taken_off_them() {
    let asker = asker();
    asker.edit(&field(&asker, "link", "from", Some("head")));
    let text = asker.text();
    assert!(
        text.contains("from    = \"head\"\nto      = \"a\"\n") && !text.contains("pins"),
        "{text}"
    );
    let link = asker.get("/entry?kind=link&index=0");
    let pins = link["fields"].as_array().unwrap().iter().find(|f| f["key"] == "pins").unwrap();
    // By hand: the root of 300² + 200² + 400².
    assert_eq!((&pins["given"], &pins["value"]), (&Value::Null, &json!("538.5 mm")));
    asker.edit(&field(&asker, "link", "to", Some("c")));
    asker.edit(&field(&asker, "link", "travel", Some("b, a")));
    assert!(asker.text().contains("travel  = [\"b\", \"a\"]\n"), "{}", asker.text());
    asker.edit(&field(&asker, "link", "both_sides", Some("false")));
    let (code, why) = asker.refused(&field(&asker, "link", "travel", Some("b, nowhere")));
    assert!(code == 422 && why.contains("nowhere"), "{why}");
    // Its row is found where the machine is seen.
    let stands = machine(&asker)["entries"].clone();
    assert!(stands.to_string().contains("link/0"), "{stands}");
    asker.edit(&field(&asker, "link", "from", None));
    let text = asker.text();
    assert!(text.contains("pins    = \"583.1 mm\"") && !text.contains("travel"), "{text}");
    undo(&asker, 5, JOB);
}

#[test]
fn a_tube_is_coped_to_what_stands_there() {
    let asker = asker();
    asker.edit(&field(&asker, "tube", "from", Some("head")));
    // Its other end is moved to another point alone.
    assert!(asker.text().contains("to     = \"a\"\n"), "{}", asker.text());
    asker.edit(&field(&asker, "tube", "end.meets", Some("rail")));
    assert!(asker.text().contains("end    = { meets = \"rail\" }\n"), "{}", asker.text());
    let tube = asker.get("/entry?kind=tube&index=0");
    assert!(tube["flat"].as_str().unwrap().contains("length"), "it is drawn with its cope");
    let (code, why) = asker.refused(&field(&asker, "tube", "from", None));
    assert!(code == 422 && why.contains("coped"), "{why}");
    // The obstacle that it meets is renamed: the tube follows.
    asker.edit(&field(&asker, "obstacle", "name", Some("bar")));
    assert!(asker.text().contains("end    = { meets = \"bar\" }\n"), "{}", asker.text());
    asker.edit(&field(&asker, "tube", "end.main", Some("square")));
    assert!(!asker.text().contains("meets"), "{}", asker.text());
    undo(&asker, 4, JOB);
}

#[test]
fn an_obstacle_is_drawn_at_once_in_every_shape() {
    let asker = asker();
    let new = json!({ "do": "entry", "kind": "obstacle", "change": { "new": {} } });
    assert_eq!(asker.edit(&new)["place"], "obstacle/1");
    let set = |key: &str, was: &Value, value: &str| {
        json!({ "do": "entry", "kind": "obstacle", "index": 1, "name": "obstacle",
            "change": { "set": { "key": key, "value": value, "was": was } } })
    };
    let mut was = json!("tube");
    for shape in ["panel", "box", "torus", "cylinder"] {
        let answer = asker.edit(&set("shape", &was, shape));
        let flat = answer["entry"]["flat"].as_str().unwrap_or_default().to_owned();
        assert!(flat.contains("ink-accent"), "{shape} is lit in the picture: {answer}");
        was = json!(shape);
    }
    asker.edit(&set("through", &Value::Null, "a, b, head"));
    assert!(asker.text().contains("radius") && asker.text().contains("through"));
    let keys = asker.text();
    let own = keys.split("name    = \"obstacle\"").nth(1).unwrap_or_default();
    assert!(!own.split("[[").next().unwrap().contains("corners"), "{keys}");
    undo(&asker, 6, JOB);
}

#[test]
fn a_part_stands_by_three_points() {
    let asker = asker();
    let set = |key: &str, was: Option<&str>, value: Option<&str>| {
        crate::page::desk::set("ear", key, was, value)
    };
    asker.edit(&set("on.origin", None, Some("head")));
    let on = "on     = { origin = \"head\", x = \"a\", side = \"b\" }\n";
    assert!(asker.text().contains(on), "{}", asker.text());
    let part = asker.get("/part?name=ear");
    let inputs = part["inputs"].as_array().unwrap();
    let x = inputs.iter().find(|input| input["key"] == "on.x").unwrap();
    assert_eq!((&x["given"], &x["group"]), (&json!("a"), &json!("In the machine")));
    let (code, why) = asker.refused(&set("on.x", Some("a"), Some("head")));
    assert!(code == 422 && !why.is_empty(), "its origin cannot be on its x: {why}");
    asker.edit(&set("on.x", Some("a"), Some("c")));
    assert!(machine(&asker)["picture"].as_str().unwrap().contains("ink-black"));
    asker.edit(&set("on.side", Some("b"), None));
    assert!(!asker.text().contains("on     ="), "{}", asker.text());
    undo(&asker, 3, JOB);
    // A job without points needs none.
    let bare = Asker::new(crate::page::desk::JOB, false).get("/part?name=ear");
    assert!(!bare["inputs"].to_string().contains("on.origin"));
}

/// A part that has a place can be on both sides; without a place it is on none.
#[test]
fn a_part_with_a_place_can_be_on_both_sides() {
    let asker = asker();
    asker.edit(&set("centre_plane", None, Some("a, b, c")));
    let own = |key: &str, was: Option<&str>, value: Option<&str>| {
        crate::page::desk::set("ear", key, was, value)
    };
    let sides = |asker: &Asker| {
        let part = asker.get("/part?name=ear");
        let inputs = part["inputs"].as_array().unwrap();
        inputs.iter().find(|input| input["key"] == "on.both_sides").cloned()
    };
    assert_eq!(sides(&asker), None);
    asker.edit(&own("on.origin", None, Some("head")));
    assert_eq!(sides(&asker).unwrap()["given"], Value::Null);
    asker.edit(&own("on.both_sides", None, Some("true")));
    assert_eq!(sides(&asker).unwrap()["given"], "true");
    assert!(asker.text().contains("both_sides = true\n"), "{}", asker.text());
    asker.edit(&own("on.both_sides", Some("true"), Some("false")));
    assert!(!asker.text().contains("both_sides"), "{}", asker.text());
    assert_eq!(sides(&asker).unwrap()["given"], Value::Null);
    asker.edit(&own("on.both_sides", None, Some("true")));
    asker.edit(&own("on.origin", Some("head"), None));
    assert_eq!(sides(&asker), None);
    undo(&asker, 6, JOB);
}
