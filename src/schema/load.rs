//! The keys of a load.

use crate::schema::keys::count;
use crate::schema::keys::object;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

pub(super) fn load() -> Value {
    json!({ "anyOf": [on_part(), on_link()] })
}

/// A load along a link.
fn on_link() -> Value {
    let quantity = |about: &str| json!({ "$ref": "#/$defs/quantity", "description": about });
    object(
        &["name", "link", "force"],
        json!({
            "name": text("Name of the case, such as hard braking"),
            "link": text("Name of the link"),
            "force": quantity("On each link, along it"),
            "direction": { "enum": ["pull", "push"], "description": "Both when left out" },
            "grade": text("A row of the `bolt-grade` table: judges the pins in the ears"),
            "filler": text("A row of the `filler` table"),
            "leg": quantity("Leg of the fillet round each bung"),
            "method": { "const": "AISC 360", "description": "Rules it is judged by" },
        }),
    )
}

fn on_part() -> Value {
    let words = crate::strength::Direction::WORDS.map(|(word, _)| word);
    let quantity = |about: &str| json!({ "$ref": "#/$defs/quantity", "description": about });
    object(
        &["name", "part", "force", "direction"],
        json!({
            "name": text("Name of the case, such as hard braking"),
            "part": text("Name of the part"),
            "hole": text("Hole or set of holes it acts at"),
            "edge": text("Straight edge it is spread along"),
            "at": { "type": "array", "items": { "$ref": "#/$defs/quantity" }, "minItems": 2, "maxItems": 2, "description": "Or a point on a bolted plate" },
            "above": quantity("How far above that point"),
            "foot": quantity("Width of what bears on the plate at that point"),
            "bolts": text("Hole or set of holes whose bolts hold the part"),
            "bolts_grade": text("A row of the `bolt-grade` table: judges these bolts"),
            "force": quantity("Force on the whole set"),
            "direction": { "anyOf": [ { "enum": words }, quantity("Anticlockwise from a pull, in the plate") ], "description": "Relative to the support of the part" },
            "held": text("What holds the part: a welded or other edge of any face, or `holes`"),
            "shared": count("Over how many pieces it is spread; all of a set when left out"),
            "pin": quantity("Diameter of the pin; that of what goes through when left out"),
            "grade": text("A row of the `bolt-grade` table: judges the bolt itself"),
            "filler": text("A row of the `filler` table"),
            "leg": quantity("Leg of the fillet"),
            "wall": quantity("Wall of the tube under the weld"),
            "method": { "enum": ["AISC 360", "ASME BTH-1"], "description": "Rules it is judged by; AISC 360 when left out" },
            "category": { "enum": ["A", "B", "C"], "description": "Of ASME BTH-1; B when left out" },
        }),
    )
}
