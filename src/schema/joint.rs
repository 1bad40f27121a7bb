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
            "stack": { "type": "array", "minItems": 2, "items": layer(), "description": "The layers, from the head of the bolt to the nut" },
            "quantity": count("Number of joints; when left out, as many as the pieces of its first part make"),
            "washers": { "anyOf": [washer, { "type": "array", "items": washer, "minItems": 2, "maxItems": 2 }], "description": "Under the head and under the nut: `plain`, `none`, or rows of the `washer` table; one word for both" },
            "pilot": text("The bolt that holds it while it is drilled: a row of the `bolt` table"),
            "guide": text("The part whose holes guide the drill"),
            "engagement": quantity("How far the bolt is screwed into a thread"),
            "room": quantity("How far the bolt may protrude beyond its nut or thread"),
            "shear": quantity("Shear force on the most heavily loaded bolt"),
            "position": quantity("Diameter of the position tolerance zone of a cut hole"),
            "drilling": quantity("How far a drilled hole wanders from its guide; 0.1 mm when left out"),
        }),
    )
}

fn layer() -> Value {
    let tolerance = quantity("Thickness tolerance, plus or minus");
    let laminate = object(
        &["laminate"],
        json!({
            "laminate": quantity("Thickness"),
            "tolerance": tolerance,
            "fibre": {
                "description": "Fibre of the laminate: carbon corrodes bare aluminium and zinc",
                "enum": ["carbon", "glass", "aramid"],
            },
            "hole": quantity("Diameter of its holes"),
            "edge": quantity("From the centre of a hole to the nearest edge"),
            "min_edge": quantity("Minimum edge distance"),
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
            "squeeze": quantity("How much it compresses when it is clamped"),
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
            "holes": names, "stack": name, "grip_mm": number, "needed_mm": number, "length_from": name,
            "protrusion_mm": number, "thread": name, "drilling": names, "not_judged": names,
            "alignment": { "type": "array", "items": { "type": "object", "required": ["holes", "rule", "clearance_mm", "zones_mm", "offset_mm", "margin_mm"] } },
            "bearing": { "type": "array", "items": { "type": "object", "required": ["thickness_mm", "stress_mpa"] } },
        },
    } })
}

/// Parts of one joint that are both in the machine.
pub(super) fn bolted_together() -> Value {
    let name = json!({ "type": "string", "minLength": 1 });
    json!({ "type": "array", "minItems": 1, "description": "Parts of one joint that are both in the machine: the checks of the joint judge them", "items": {
        "type": "object", "required": ["between", "joint"],
        "properties": {
            "between": { "type": "array", "items": name, "minItems": 2, "maxItems": 2 },
            "joint": name,
        },
    } })
}
