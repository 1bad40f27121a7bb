//! Names that are changed on the page: what refers to them follows, comments stay, and it is undone.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use serde_json::Value;
use serde_json::json;

/// What refers to the names of the job.
const REST: &str = r##"
[[part]]
from   = "#ear" # as thick
name   = "long-ear"
given  = { reach = "44 mm" }

[[family]]
recipe = "tab"
name   = "hose-{bolt}" # by its bolt
open   = { sheet = ["S235 4 mm", # first
  "S235 2 mm"] }
each   = { bolt = ["M6", "M8"] }

[[load]]
name      = "towing" # measured
part      = "hose-M8"
force     = "1 kN"
direction = "pull"
hole      = "eye"

[[load]]
name      = "lifting"
part      = "ear" # both
force     = "1 kN"
direction = "pull"
hole      = "eye"

[[as_built]]
part = "ear"
what = "hole"
of   = "eye"
is   = "9.1 mm"
"##;

fn asker() -> Asker {
    Asker::new(&format!("{JOB}{REST}"), false)
}

fn rename(part: &str, name: &str) -> Value {
    json!({ "do": "rename", "part": part, "name": name })
}

fn sheet(index: usize, was: &str, name: Option<&str>) -> Value {
    let path = format!("sheet.{index}.name");
    let set = json!({ "set": { "path": path, "value": name, "was": was } });
    json!({ "do": "shop", "change": set })
}

fn undo(asker: &Asker, before: &str) {
    let (code, answer) = asker.post("/step", &json!({ "back": true }));
    assert_eq!((code, asker.text().as_str()), (200, before), "{answer}");
}

#[test]
fn a_sheet_takes_its_parts_along() {
    let asker = asker();
    let before = asker.text();
    assert_eq!(asker.get("/job")["unread"], false);
    asker.edit(&sheet(0, "S235 4 mm", Some("plate")));
    assert_eq!(asker.text(), before.replace("\"S235 4 mm\"", "\"plate\""), "and nothing else");
    assert_eq!(asker.get("/part?name=ear")["sheet"]["name"], "plate");
    for (name, code) in [(Some("S235 2 mm"), 422), (None, 422)] {
        assert_eq!(asker.refused(&sheet(0, "plate", name)).0, code);
    }
    assert_eq!(asker.refused(&sheet(0, "S235 4 mm", Some("x"))).0, 409);
    undo(&asker, &before);
    let long = "x".repeat(300);
    let (code, why) = asker.refused(&sheet(0, "S235 4 mm", Some(&long)));
    assert!(code == 422 && !why.is_empty(), "{why}");
}

#[test]
fn a_part_takes_along_what_is_said_of_it() {
    let asker = asker();
    let before = asker.text();
    let answer = asker.edit(&rename("ear", "lug-2"));
    assert_eq!(answer["part"]["name"], "lug-2");
    let wanted = before.replace("= \"ear\"", "= \"lug-2\"").replace("\"#ear\"", "\"#lug-2\"");
    assert_eq!(asker.text(), wanted);
    assert_eq!(asker.get("/job")["state"][0], 0, "nothing is without its part");
    undo(&asker, &before);
}

#[test]
fn a_family_takes_its_members_along_and_keeps_what_varies() {
    let asker = asker();
    let before = asker.text();
    let part = asker.get("/part?name=hose-M8");
    assert_eq!(part["called"], "hose-{bolt}");
    let (code, why) = asker.refused(&rename("hose-M8", "clip-M8"));
    assert!(code == 422 && why.contains("`{bolt}`"), "{why}");
    let answer = asker.edit(&rename("hose-M8", "{bolt}-clip"));
    assert_eq!(answer["part"]["name"], "M8-clip");
    let wanted =
        before.replace("\"hose-{bolt}\"", "\"{bolt}-clip\"").replace("\"hose-M8\"", "\"M8-clip\"");
    assert_eq!(asker.text(), wanted);
    undo(&asker, &before);
}

#[test]
fn loads_and_sizes_in_stock_have_names_to_change() {
    let asker = asker();
    let before = asker.text();
    let set = json!({ "set": { "key": "name", "value": "pulling", "was": "towing" } });
    asker.edit(
        &json!({ "do": "entry", "kind": "load", "index": 0, "name": "towing", "change": set }),
    );
    assert_eq!(asker.text(), before.replace("\"towing\"", "\"pulling\""));
    undo(&asker, &before);
    let set = json!({ "set": { "key": "name", "value": "lifting", "was": "towing" } });
    let (code, why) = asker.refused(
        &json!({ "do": "entry", "kind": "load", "index": 0, "name": "towing", "change": set }),
    );
    assert!(code == 422 && why.contains("already a load"), "{why}");
    let path = "sheet.0.stock.0.name";
    let set = json!({ "set": { "path": path, "value": "the rack", "was": null } });
    asker.edit(&json!({ "do": "shop", "change": set }));
    assert!(asker.text().contains("price = 14, name = \"the rack\" }"), "{}", asker.text());
    assert_eq!(asker.get("/shop")["sheets"][0]["stock"][0]["name"], "the rack");
    undo(&asker, &before);
}

/// Renames points with the entries at them, measurements from them and holes drilled through a
/// part.
const MACHINE: &str = r#"
[points]
rail  = ["0 mm", "0 mm", "0 mm"] # the corner
front = ["900 mm", "0 mm", "0 mm"]
side  = ["0 mm", "500 mm", "0 mm"]
head  = { from = { rail = "600 mm", front = "700 mm", side = "600 mm" }, side = "above" }

[[link]]
name    = "drag"
rod_end = "M10"
from    = "rail" # below
to      = "head"
travel  = ["side"]

[[tube]]
name     = "post"
material = "S235"
tube     = "38 x 2"
length   = "420 mm"

[[part]]
recipe = "end-cap"
name   = "cap"
sheet  = "S235 4 mm"
given  = { tube = "38 x 2", nut = "M10" }

[[tube_end]]
tube = "post" # both sides
cap  = "cap"

[[joint]]
name  = "pair"
bolt  = "M8"
stack = ["ear.eye", { spacer = "9 mm" }, "lug.eye"] # through both
"#;

#[test]
fn a_point_takes_along_what_is_measured_from_it_and_what_stands_at_it() {
    let asker = Asker::new(&format!("{JOB}{MACHINE}"), false);
    let before = asker.text();
    let rename = |name: &str, to: &str| {
        let rename = json!({ "rename": { "name": name, "to": to } });
        json!({ "do": "machine", "change": rename })
    };
    assert_eq!(asker.get("/job")["unread"], false, "{}", asker.get("/job"));
    let answer = asker.edit(&rename("rail", "corner_1"));
    assert_eq!(answer["place"], "machine");
    let wanted = before
        .replace("rail  =", "corner_1  =")
        .replace("{ rail =", "{ corner_1 =")
        .replace("\"rail\"", "\"corner_1\"");
    assert_eq!(asker.text(), wanted, "and nothing else");
    assert_eq!(asker.get("/machine")["points"][0]["name"], "corner_1");
    for (name, to, code) in [
        ("corner_1", "head", 422),
        ("corner_1", "left rail", 422),
        ("corner_1", "", 422),
        ("rail", "x", 409),
    ] {
        assert_eq!(asker.refused(&rename(name, to)).0, code, "{name} to {to}");
    }
    undo(&asker, &before);
}

#[test]
fn joints_and_ends_of_tubes_follow_their_parts_and_their_tube() {
    let asker = Asker::new(&format!("{JOB}{MACHINE}"), false);
    let before = asker.text();
    asker.edit(&rename("ear", "eye-plate"));
    let part = before.replace("\"ear\"", "\"eye-plate\"").replace("\"ear.eye", "\"eye-plate.eye");
    assert_eq!(asker.text(), part);
    undo(&asker, &before);
    asker.edit(&rename("cap", "lid"));
    assert_eq!(asker.text(), before.replace("\"cap\"", "\"lid\""));
    undo(&asker, &before);
    let set = json!({ "set": { "key": "name", "value": "mast", "was": "post" } });
    let tube = json!({ "do": "entry", "kind": "tube", "index": 0, "name": "post", "change": set });
    asker.edit(&tube);
    assert_eq!(asker.text(), before.replace("\"post\"", "\"mast\""));
    undo(&asker, &before);
}
