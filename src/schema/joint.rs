//! The keys of a joint, in a job and in the report.

use crate::schema::keys::count;
use crate::schema::keys::object;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

fn quantity(about: &str) -> Value {
    json!({ "$ref": "#/$defs/quantity", "description": about })
}

/// A joint of a job.
pub(super) fn joint() -> Value {
    let washer = json!({ "type": "string" });
    object(
        &["name", "bolt", "stack"],
        json!({
            "name": text("Its name"),
            "bolt": text("A row of the `bolt` table"),
            "stack": { "type": "array", "minItems": 2, "items": layer(), "description": "What lies between, from the head of the bolt on" },
            "quantity": count("How many of it; as many as the pieces of its first part make when left out"),
            "washers": { "type": "array", "items": washer, "minItems": 2, "maxItems": 2, "description": "Under the head and under the nut: `plain`, `none`, or rows of the `washer` table" },
            "pilot": text("The bolt that holds it while it is drilled: a row of the `bolt` table"),
            "guide": text("The part whose holes guide the drill"),
            "engagement": quantity("How far the bolt is screwed into a thread"),
            "room": quantity("How far the bolt may stand out behind its nut or thread"),
            "shear": quantity("On the hardest loaded bolt"),
            "position": quantity("Diameter of the zone in which the axis of a hole that is cut lies"),
            "drilling": quantity("How far a drilled hole wanders from its guide; 0.1 mm when left out"),
        }),
    )
}

fn layer() -> Value {
    let tolerance = quantity("How much thicker or thinner it may be");
    let laminate = object(
        &["laminate"],
        json!({
            "laminate": quantity("Thickness"),
            "tolerance": tolerance,
            "fibre": { "enum": ["carbon", "glass", "aramid"] },
            "hole": quantity("Diameter of its holes"),
            "edge": quantity("from the centre of a hole to the nearest edge"),
            "min_edge": quantity("What that must be"),
            "bearing": quantity("Allowable bearing stress"),
            "sleeve": object(&["outside"], json!({
                "outside": quantity("Outside diameter"),
                "less": quantity("By how much it is shorter than the laminate"),
            })),
        }),
    );
    let rubber = object(
        &["rubber"],
        json!({
            "rubber": quantity("Thickness"),
            "tolerance": tolerance,
            "squeeze": quantity("By how much it gives when it is clamped"),
        }),
    );
    let of = |key: &str| {
        let mut layer = object(&[key], json!({ "tolerance": tolerance }));
        layer["properties"][key] = quantity("Thickness");
        layer
    };
    json!({ "anyOf": [
        { "type": "string", "description": "A hole, or a set of holes, of a part: PART.HOLE" },
        laminate, rubber, of("spacer"), of("barrier"),
    ] })
}

/// The joints of a report.
pub(super) fn report() -> Value {
    let name = json!({ "type": "string", "minLength": 1 });
    let names = json!({ "type": "array", "items": name });
    let whole = json!({ "type": "integer", "minimum": 0 });
    let number = json!({ "type": "number" });
    json!({ "type": "array", "minItems": 1, "description": "Bolted joints", "items": {
        "type": "object",
        "required": ["name", "quantity", "bolts", "bolt", "parts", "holes", "stack", "grip_mm"],
        "properties": {
            "name": name, "quantity": whole, "bolts": whole, "bolt": name, "parts": names,
            "holes": names, "stack": name, "grip_mm": number, "needed_mm": number, "sum": name,
            "stands_out_mm": number, "into": name, "drilling": names, "not_judged": names,
            "lined_up": { "type": "array", "items": { "type": "object", "required": ["holes", "rule", "clearance_mm", "zones_mm", "off_mm", "left_mm"] } },
            "bearing": { "type": "array", "items": { "type": "object", "required": ["thickness_mm", "stress_mpa"] } },
        },
    } })
}
