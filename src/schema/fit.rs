//! The keys of clevises, captured nuts and links, and of what is beside a part.

use crate::schema::keys::count;
use crate::schema::keys::object;
use crate::schema::keys::reference;
use crate::schema::keys::text;
use crate::schema::machine;
use serde_json::Value;
use serde_json::json;

/// The part of a recipe round a rod end.
pub(super) fn clevis() -> Value {
    object(
        &["rod_end", "gap", "eye", "floor"],
        json!({
            "rod_end": reference("The rod end"),
            "gap": reference("Between the bare ears"),
            "spacer": reference("Thickness of the spacer on each side of the ball"),
            "eye": text("Face and hole for the pin: ear.eye"),
            "ears": { "type": "integer", "minimum": 1, "maximum": 2, "description": "Ears of one piece, which share the load on the pin" },
            "floor": reference("From the pin down to the mounting surface of the ear"),
            "weld": reference("Leg of a fillet between the ears, along the foot"),
            "direction": reference("Direction in which the rod end points: 0 is directly away from the foot, anticlockwise positive"),
            "swing": reference("Misalignment angle to either side"),
            "rotation": reference("How far it must rotate about its pin to either side"),
            "tube": reference("Outside diameter of the tube the ears stand on"),
            "bridge": object(&["width", "height"], json!({
                "at": crate::schema::keys::place(),
                "width": reference("Along x of the ear"),
                "height": reference("Along y of the ear"),
            })),
            "varies": object(&[], json!({
                "thickness": reference("How often the sheet's thickness enters the gap"),
                "cut": reference("How often a cut edge enters the gap"),
                "bend": reference("How often the position of a bend enters the gap"),
                "angle": reference("How often the angle of a bend enters the gap"),
                "weld": reference("How often weld distortion enters the gap"),
            })),
        }),
    )
}

/// The nut that a recipe captures in the bore of a tube.
pub(super) fn captured() -> Value {
    object(
        &["nut", "seat", "bore", "wall"],
        json!({
            "nut": reference("The nut"),
            "seat": text("Face and hole it sits in or behind: plate.seat"),
            "bore": reference("Inside width of the tube"),
            "wall": reference("Thickness of its wall"),
            "root": reference("How far the root of its weld, or a backing ring, projects into the bore"),
            "weld": reference("Leg of a fillet round the nut"),
            "shift": reference("How far the nut may sit off the centre of its seat"),
        }),
    )
}

pub(super) fn link() -> Value {
    let both = |about: &str| {
        json!({
            "type": ["string", "array"], "items": { "type": "string" }, "minItems": 2, "maxItems": 2,
            "description": format!("{about}: for both ends, or a list of two"),
        })
    };
    let mut link = object(
        &["name", "rod_end"],
        json!({
            "name": text("Name by which parts refer to it"),
            "quantity": count("How many"),
            "pins": { "$ref": "#/$defs/quantity", "description": "From pin to pin" },
            "rod_end": both("Row of the `rod-end` table"),
            "hand": both("Of the thread: right or left"),
            "bung": both("Row of the `bung` table, set by the thread when left out; `turned`: the row of the thread, with its spigot turned to suit the tube"),
            "spacer": both("Thickness on each side of the ball"),
            "rating": both("Manufacturer's static load rating of the rod end, for loads"),
            "engagement": { "$ref": "#/$defs/quantity", "description": "Of the shank in its bung; three quarters of the bung when left out" },
            "min_engagement": { "$ref": "#/$defs/quantity", "description": "Minimum; one diameter when left out" },
            "tube": {
                "type": ["string", "array"], "items": { "type": "string" }, "minItems": 1,
                "description": "Row of the `tube` table; set by the bung when left out. From a list, the lightest that carries the loads along the link and clears the machine",
            },
            "material": text("Row of the `material` table, for the mass of the tube and for loads"),
        }),
    );
    between(&mut link, machine::link(), "pins");
    link
}

/// Adds the keys of items that may be placed between two points instead of being given a length.
pub(super) fn between(of: &mut Value, keys: Value, length: &str) {
    if let (Some(Value::Object(all)), Value::Object(keys)) = (of.get_mut("properties"), keys) {
        all.extend(keys);
    }
    of["anyOf"] = json!([{ "required": [length] }, { "required": ["from", "to"] }]);
}

pub(super) fn near() -> Value {
    object(
        &["name"],
        json!({
            "name": text("What it is"),
            "face": text("In the drawing of which face; the first when left out"),
            "diameter": { "$ref": "#/$defs/quantity", "description": "Its diameter" },
            "at": { "type": "array", "items": { "$ref": "#/$defs/quantity" }, "minItems": 2, "maxItems": 2, "description": "Its centre, or the pivot of the arm" },
            "arm": object(&["radius", "width", "from", "to"], json!({
                "radius": { "$ref": "#/$defs/quantity", "description": "From the pivot, `at`, to the centre of its round end" },
                "width": { "$ref": "#/$defs/quantity", "description": "Across" },
                "from": { "$ref": "#/$defs/quantity", "description": "Direction in which it begins, anticlockwise from x" },
                "to": { "$ref": "#/$defs/quantity", "description": "Direction in which it ends" },
            })),
            "corners": { "type": "array", "minItems": 3, "description": "Its corners instead, [x, y] each" },
            "clearance": { "$ref": "#/$defs/quantity", "description": "Required between it and the part" },
        }),
    )
}
