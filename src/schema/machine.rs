//! The keys of a job that position items in its machine.

use crate::job::OBSTACLE_SHAPES;
use crate::schema::keys::flag;
use crate::schema::keys::list;
use crate::schema::keys::object;
use crate::schema::keys::reference;
use crate::schema::keys::table;
use crate::schema::keys::text;
use serde_json::Map;
use serde_json::Value;
use serde_json::json;

/// Three points by name.
fn three(about: &str) -> Value {
    json!({ "type": "array", "items": { "type": "string" }, "minItems": 3, "maxItems": 3, "description": about })
}

/// The keys of a job itself.
pub(super) fn job() -> Value {
    json!({
        "tape": reference("Likely error of one measurement of a point; 1 mm when left out"),
        "points": table("Points of the machine by name, in space", "#/$defs/named_point"),
        "centre_plane": three("Three points in the plane of symmetry of the machine"),
        "obstacle": list("Existing parts of the machine", "#/$defs/obstacle"),
    })
}

fn length(about: &str) -> Value {
    json!({ "$ref": "#/$defs/quantity", "description": about })
}

fn points(min: usize, about: &str) -> Value {
    json!({ "type": "array", "items": { "type": "string" }, "minItems": min, "description": about })
}

fn with(keys: Value, more: Value) -> Value {
    let mut all = Map::new();
    for keys in [keys, more] {
        if let Value::Object(keys) = keys {
            all.extend(keys);
        }
    }
    Value::Object(all)
}

/// What every body may ask for.
fn asked() -> Value {
    json!({
        "clearance": length("Clearance required round it in the machine"),
        "touches": points(0, "What it is welded or bolted to in the machine"),
        "both_sides": flag("Also on the other side, mirrored in the centre plane"),
    })
}

fn ends() -> Value {
    json!({ "from": text("The point where it begins"), "to": text("The point where it ends") })
}

/// The keys of a link between points.
pub(super) fn link() -> Value {
    let own = json!({
        "travel": points(1, "Points to which its pin at `to` moves"),
        "swing": length("How far it swings to either side"),
    });
    with(with(ends(), own), asked())
}

/// The keys of a tube between points.
pub(super) fn tube() -> Value {
    with(ends(), asked())
}

fn axes() -> Value {
    json!({
        "origin": text("The point of the origin of its drawing"),
        "x": text("A point on its x"),
        "side": text("A point on the side to which y points"),
    })
}

/// The keys of a part that is in the machine.
pub(super) fn part() -> Value {
    let holes = json!({ "type": "object", "minProperties": 3, "additionalProperties": { "type": "string" }, "description": "Points by the names of its holes" });
    let own = json!({ "holes": holes, "face": text("Which plate of several it is") });
    let on = object(&[], with(axes(), own));
    let on = json!({ "anyOf": [ on, { "type": "array", "items": on } ], "description": "Where its pieces are in the machine" });
    let through = points(0, "The tubes that it passes right through, each in a slot");
    with(json!({ "on": on, "through": through }), asked())
}

/// Something that is there.
pub(super) fn obstacle() -> Value {
    let own = json!({
        "name": text("What it is"),
        "shape": { "enum": OBSTACLE_SHAPES, "description": "Its shape, which says what else is needed" },
        "moves": flag("It moves"),
        "outside": length("Outside diameter"),
        "tube": text("Row of the table `tube`, in place of `outside`"),
        "through": points(3, "Of a bent tube: where its axis begins, turns its corners and ends"),
        "radius": length("Of its centre line in the bends"),
        "at": text("The point at the centre of a torus"),
        "axis": text("Another point of its axis"),
        "section": length("Diameter of the section of a torus"),
        "on": object(&["origin", "x", "side"], axes()),
        "size": { "type": "array", "items": { "$ref": "#/$defs/quantity" }, "minItems": 3, "maxItems": 3, "description": "Of a box, along x, along y and up" },
        "corners": points(3, "Points of a panel, in order"),
        "thickness": length("Of a panel"),
    });
    object(&["name", "shape"], with(with(own, ends()), asked()))
}
