//! Numbers and fractions without a unit, in every kind of field; what follows from points; removals.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use crate::page::desk::set;
use serde_json::Value;
use serde_json::json;

const REST: &str = r#"
[points]
a    = ["0 in", "0 in", "0 in"]
b    = ["36 in", "0 in", "0 in"]
head = { from = { a = "20 in", b = "30 in", c = "25 in" }, side = "above" }
c    = ["0 in", "24 in", "0 in"]
mid  = ["18 in", "0 in", "0 in"]
knee = ["30 in", "12 in", "0 in"]

[[obstacle]]
name    = "rail"
shape   = "tube"
outside = "2 in"
from    = "a"
to      = "b"

[[tube]]
name = "strut"
tube = "1-1/2 x 0.095"
from = "knee"
to   = "mid"
end  = { meets = "rail" }

[[tube]]
name   = "cross"
tube   = "1-1/2 x 0.095"
length = "29-1/4 in"
start  = { main = "2 x 0.120" }

[[link]]
name    = "drag"
pins    = "24-3/8 in"
rod_end = "M10"

[[load]]
name      = "hard braking"
part      = "ear"
hole      = "eye"
force     = "400 lbf"
direction = "pull"

[[joint]]
name  = "sandwich"
bolt  = "M8"
stack = ["ear.eye", { laminate = "1/2 in" }, { spacer = "1/4 in" }]
"#;

/// The job in inches, and its shop.
fn asker() -> Asker {
    const SHOP: &str =
        "clearance = \"1/8 in\"\n\n[[cutting]]\nprocess = \"laser\"\nkerf = \"0.2 mm\"\n";
    Asker::in_shop(&format!("units = \"in\"\nshop = \"shop.toml\"\n{JOB}{REST}"), SHOP, false)
}

fn entry(asker: &Asker, kind: &str, name: &str) -> Value {
    let all = asker.get("/entries");
    let of_kind = all[kind].as_array().unwrap();
    let index = of_kind.iter().position(|of| of["name"] == name).unwrap();
    asker.get(&format!("/entry?kind={kind}&index={index}"))
}

fn field<'v>(of: &'v Value, key: &str) -> &'v Value {
    of["fields"].as_array().unwrap().iter().find(|field| field["key"] == key).unwrap()
}

fn change(of: &Value, key: &str, value: &str) -> Value {
    let set = json!({ "set": { "key": key, "value": value, "was": field(of, key)["given"] } });
    json!({ "do": "entry", "kind": of["kind"], "index": of["index"], "name": of["name"], "change": set })
}

#[test]
fn fractions_of_an_inch_need_no_unit_in_a_job_in_inches() {
    let asker = asker();
    assert_eq!(asker.get("/job")["unread"], false, "{}", asker.get("/job"));
    for (kind, name, key, typed, wanted) in [
        ("tube", "cross", "length", "30-1/2", "length = \"30-1/2 in\""),
        ("tube", "cross", "start.offset", "1/8", "offset = \"1/8 in\""),
        ("tube", "cross", "start.angle", "60", "angle = \"60 deg\""),
        ("link", "drag", "pins", "24-1/32", "pins    = \"24-1/32 in\""),
        ("link", "drag", "spacer-1", "1/16", "\"1/16 in\""),
        ("load", "hard braking", "force", "500", "force     = \"500 lbf\""),
        ("load", "hard braking", "direction", "30", "direction = \"30 deg\""),
        ("joint", "sandwich", "stack.1.laminate", "17/32", "laminate = \"17/32 in\""),
        ("joint", "sandwich", "stack.2.spacer", "5/16", "spacer = \"5/16 in\""),
        ("joint", "sandwich", "drilling", "0.004", "drilling = \"0.004 in\""),
        ("obstacle", "rail", "outside", "1-7/8", "outside = \"1-7/8 in\""),
    ] {
        asker.edit(&change(&entry(&asker, kind, name), key, typed));
        assert!(asker.text().contains(wanted), "{key} {typed}: {}", asker.text());
    }
    // A part; its value in mm keeps that unit for a plain number, and is no field for a fraction.
    asker.edit(&set("lug", "reach", None, Some("1-3/16")));
    assert!(asker.text().contains("reach = \"1-3/16 in\""), "{}", asker.text());
    asker.edit(&set("ear", "reach", Some("30 mm"), Some("32")));
    assert!(asker.text().contains("reach = \"32 mm\""), "{}", asker.text());
    let (code, why) = asker.refused(&set("ear", "reach", Some("32 mm"), Some("1-3/16")));
    assert!(code == 422 && why.ends_with("type `1-3/16 in`"), "{why}");
    // Points, by coordinates and by tape; the accuracy of the tape.
    for (path, was, typed, wanted) in [
        ("points.b.0", Some("36 in"), "36-1/2", "b = [\"36-1/2 in\""),
        ("points.head.from.a", Some("20 in"), "20-3/8", "a = \"20-3/8 in\""),
        ("tape", None, "1/16", "tape = \"1/16 in\""),
    ] {
        let set = json!({ "set": { "path": path, "was": was, "value": typed } });
        asker.edit(&json!({ "do": "machine", "change": set }));
        let text = asker.text().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(wanted), "{path} {typed}: {text}");
    }
    // The job, a sheet, its sizes, the shop.
    for (shop, path, was, typed, wanted) in [
        (false, "margin", None, "3/8", "\"3/8 in\""),
        (false, "sheet.0.bend_radius", None, "5/32", "bend_radius = \"5/32 in\""),
        (true, "clearance", Some("1/8 in"), "3/16", "clearance = \"3/16 in\""),
        (true, "cutting.0.kerf", Some("0.2 mm"), "0.3", "kerf = \"0.3 mm\""),
    ] {
        let set = json!({ "set": { "path": path, "was": was, "value": typed } });
        asker.edit(&json!({ "do": "shop", "shop": shop, "change": set }));
        let text = if shop { asker.on.shop.lock().unwrap().clone() } else { asker.text() };
        assert!(text.contains(wanted), "{path} {typed}: {text}");
    }
    asker.edit(
        &json!({ "do": "shop", "change": { "add-size": { "sheet": 0, "name": "S235 4 mm" } } }),
    );
    let set = json!({ "set": { "path": "sheet.0.stock.1.size.0", "was": "48 in", "value": "47-1/4 in" } });
    asker.edit(&json!({ "do": "shop", "change": set }));
    let set = json!({ "set": { "path": "sheet.0.stock.1.size.0", "was": "47-1/4 in", "value": "48-1/2" } });
    asker.edit(&json!({ "do": "shop", "change": set }));
    assert!(asker.text().contains("\"48-1/2 in\""), "{}", asker.text());
    // A trial fit of several readings.
    let is = json!({ "do": "measured", "part": "ear", "what": "hole", "of": ["eye"], "is": "3/8, 23/64" });
    asker.edit(&is);
    assert!(asker.text().contains("[\"3/8 in\", \"23/64 in\"]"), "{}", asker.text());
}

#[test]
fn a_fraction_in_a_job_in_mm_is_refused_with_what_to_type() {
    let asker = Asker::new(
        &format!("{JOB}\n[[link]]\nname = \"drag\"\npins = \"620 mm\"\nrod_end = \"M10\"\n"),
        false,
    );
    let pins = change(&entry(&asker, "link", "drag"), "pins", "30-1/2");
    let (code, why) = asker.refused(&pins);
    assert!(code == 422 && why.ends_with("type `30-1/2 in`"), "{why}");
    let (code, tried) = asker.post("/try", &json!({ "edit": pins }));
    assert!(code == 422 && tried["why"].as_str().unwrap().contains("`30-1/2 in`"), "{tried}");
    asker.edit(&change(&entry(&asker, "link", "drag"), "pins", "30-1/2 in"));
    // Whoever typed inches there goes on in inches.
    asker.edit(&change(&entry(&asker, "link", "drag"), "pins", "30-5/8"));
    assert!(asker.text().contains("pins = \"30-5/8 in\""), "{}", asker.text());
    let reach = set("ear", "reach", Some("30 mm"), Some("1-1/4"));
    assert!(asker.refused(&reach).1.ends_with("type `1-1/4 in`"));
    let margin = json!({ "set": { "path": "margin", "was": null, "value": "3/8" } });
    assert!(asker.refused(&json!({ "do": "shop", "change": margin })).1.ends_with("type `3/8 in`"));
    let hole =
        json!({ "do": "measured", "part": "ear", "what": "hole", "of": ["eye"], "is": "3/8" });
    assert!(asker.refused(&hole).1.ends_with("type `3/8 in`"));
}

/// By hand: from (30, 12, 0) to (18, 0, 0) in the tube is at 45 degrees to the rail, which is along x.
#[test]
fn an_end_that_meets_a_tube_shows_the_angle_that_follows_from_its_points() {
    let asker = asker();
    let strut = entry(&asker, "tube", "strut");
    let (angle, main) = (field(&strut, "end.angle"), field(&strut, "end.main"));
    let shown = angle["value"].as_str().unwrap();
    assert!(["45 deg", "135 deg"].contains(&shown), "{shown}");
    assert_eq!(angle["elsewhere"], "where it meets rail");
    assert_eq!((&main["value"], &main["as"]), (&json!("2 in"), &json!("rail")));
    // An end that is not coped follows from nothing.
    assert_eq!(field(&strut, "start.angle")["elsewhere"], Value::Null);
}

/// Every length of a side table of a job in inches is in inches, to 64ths or to a thousandth.
#[test]
fn what_follows_of_a_tube_and_a_link_is_rounded_once_in_inches() {
    let asker = asker();
    for (kind, name) in [("tube", "cross"), ("tube", "strut"), ("link", "drag")] {
        let of = entry(&asker, kind, name);
        for fact in of["facts"].as_array().unwrap() {
            let (what, value) = (fact[0].as_str().unwrap(), fact[1].as_str().unwrap());
            assert!(!value.contains(" mm"), "{name}: {what} {value}");
            let decimals = value.strip_suffix(" in").and_then(|number| number.split_once('.'));
            let is_turn = what == "Length change per turn" || what.contains('×');
            assert!(is_turn || decimals.is_none_or(|(_, rest)| rest.len() <= 3), "{what} {value}");
        }
    }
}

#[test]
fn what_is_in_use_is_not_removed_and_says_by_what() {
    let text = format!(
        "{JOB}\n[[link]]\nname = \"drag\"\npins = \"620 mm\"\nrod_end = \"M10\"\n\n[[part]]\nrecipe = \"clevis-plates\"\n\
         name = \"fork\"\nsheet = \"S235 4 mm\"\nlink = \"drag\"\nend = 1\n\n[[load]]\nname = \"tow\"\nlink = \"drag\"\n\
         force = \"1 kN\"\ndirection = \"pull\"\n\n[[joint]]\nname = \"pair\"\nbolt = \"M8\"\nstack = [\"ear.eye\", \"lug.eye\"]\n"
    );
    let asker = Asker::new(&text, false);
    let out = json!({ "do": "entry", "kind": "link", "index": 0, "name": "drag", "change": { "take-out": {} } });
    let (code, why) = asker.refused(&out);
    let wanted = "`drag` cannot be removed: part `fork` and load `tow` refer to it; change or remove those first";
    assert_eq!((code, why.as_str()), (422, wanted));
    let (code, why) = asker.refused(&json!({ "do": "take-out", "part": "lug" }));
    let wanted = "`lug` cannot be removed: joint `pair` refers to it; change or remove that first";
    assert_eq!((code, why.as_str()), (422, wanted));
    asker.edit(&json!({ "do": "take-out", "part": "box" }));
}

#[test]
fn feet_are_typed_with_their_sign() {
    let asker = asker();
    let link = entry(&asker, "link", "drag");
    asker.edit(&change(&link, "pins", "2'"));
    assert!(asker.text().contains("pins    = \"2 ft\""), "{}", asker.text());
    let link = entry(&asker, "link", "drag");
    asker.edit(&change(&link, "pins", "2' 6-1/2\""));
    assert!(asker.text().contains("pins    = \"30-1/2 in\""), "{}", asker.text());
    asker.edit(&set("ear", "foot", Some("40 mm"), Some("1'")));
    assert!(asker.text().contains("foot = \"1 ft\""), "{}", asker.text());
}

#[test]
fn a_word_is_refused_alike_in_a_part_and_in_a_link() {
    let asker = asker();
    let link = entry(&asker, "link", "drag");
    let [of_link, of_part] = [
        asker.refused(&change(&link, "pins", "abc")),
        asker.refused(&set("ear", "foot", Some("40 mm"), Some("abc"))),
    ];
    assert_eq!((of_link.0, of_part.0), (422, 422));
    for why in [&of_link.1, &of_part.1] {
        assert!(why.contains("abc"), "{why}");
    }
    assert_eq!(asker.refused(&set("ear", "foot", Some("40 mm"), Some("40,5 mm"))).0, 422);
    // A formula of the recipe is none the less taken, and a value beyond a limit is stopped, not refused.
    asker.edit(&set("ear", "foot", Some("40 mm"), Some("10 * thickness")));
}

/// The points of a machine are the same after an edit elsewhere: nothing else is solved again.
#[test]
fn an_edit_solves_one_part_of_a_job_with_points() {
    let asker = asker();
    let values = ["31 mm", "32 mm", "33 mm", "34 mm"];
    let mut was = "30 mm";
    for value in values {
        let before = asker.opened.solved();
        asker.edit(&set("ear", "reach", Some(was), Some(value)));
        // What is left of it is done beside other work.
        while asker.get("/job")["checking"].is_string() {
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        let solved = asker.opened.solved() - before;
        assert!((1..=2).contains(&solved), "{solved} of 3 parts for {value}");
        was = value;
    }
}

/// A field gives the unit of its own kind of value, whatever was in it by mistake.
#[test]
fn an_angle_is_typed_in_degrees() {
    let bent = "\n[[part]]\nrecipe = \"angle\"\nname = \"bent\"\nsheet = \"S235 4 mm\"\ngiven = { angle = \"90 mm\" }\n";
    let asker = Asker::new(&format!("{JOB}{bent}"), false);
    assert_ne!(asker.get("/part?name=bent")["state"][0], 0, "no angle is in mm");
    let (code, why) = asker.refused(&set("bent", "angle", Some("90 mm"), Some("110 mm")));
    assert_eq!(
        (code, why.as_str()),
        (422, "`110 mm` is a length, and an angle is needed here: type `110 deg`")
    );
    let part = asker.edit(&set("bent", "angle", Some("90 mm"), Some("110")))["part"].clone();
    assert!(asker.text().contains("angle = \"110 deg\""), "{}", asker.text());
    assert_eq!(part["state"][0], 0, "{}", part["findings"]);
    let (_, why) = asker.refused(&set("bent", "width", None, Some("90 deg")));
    assert!(why.ends_with("type a length in mm"), "{why}");
}
