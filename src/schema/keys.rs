//! The kinds of values that many keys have.

use serde_json::Value;
use serde_json::json;

pub(super) const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

pub(super) fn text(about: &str) -> Value {
    json!({ "type": "string", "description": about })
}

pub(super) fn flag(about: &str) -> Value {
    json!({ "type": "boolean", "description": about })
}

pub(super) fn count(about: &str) -> Value {
    json!({ "type": "integer", "minimum": 0, "description": about })
}

pub(super) fn formula() -> Value {
    json!({
        "anyOf": [
            { "type": ["string", "number", "boolean"] },
            { "type": "array", "items": { "type": ["string", "number", "boolean"] }, "minItems": 1 },
        ],
        "description": "A formula: 2 * thickness + 1/4 in; an array of them is a list",
    })
}

/// Rows of values by name, one or a list of them.
pub(super) fn rows() -> Value {
    let row = json!({
        "type": "object",
        "minProperties": 2,
        "additionalProperties": { "type": ["string", "number", "boolean"] },
    });
    json!({ "anyOf": [ row, { "type": "array", "items": row, "minItems": 1 } ], "description": "Rows of values by name" })
}

/// The lists over which an entry is repeated.
pub(super) fn each() -> Value {
    json!({
        "type": "object",
        "minProperties": 1,
        "additionalProperties": { "$ref": "#/$defs/formula" },
        "description": "Once for each value of these lists, stepped through together: { x = \"running(pitches)\" }",
    })
}

/// How often an entry is repeated round a point.
pub(super) fn around() -> Value {
    let mut around = object(
        &["count"],
        json!({
            "count": reference("Number of copies, equally spaced round a full turn"),
            "about": place(),
            "start": reference("By how much the first is rotated, anticlockwise"),
        }),
    );
    around["description"] = json!("Repeated round a point, the origin when left out");
    around
}

/// Values for the inputs of a recipe that is used.
pub(super) fn given() -> Value {
    json!({
        "type": "object",
        "additionalProperties": { "anyOf": [ { "$ref": "#/$defs/formula" }, rows() ] },
        "description": "Values for the inputs of the other recipe, by formulas of this one",
    })
}

pub(super) fn bend_rule(about: &str) -> Value {
    json!({
        "anyOf": [ { "enum": ["DIN 6935", "FAA", "measured"] }, { "type": "number", "exclusiveMinimum": 0, "maximum": 0.5 } ],
        "description": about,
    })
}

pub(super) fn reference(about: &str) -> Value {
    json!({ "$ref": "#/$defs/formula", "description": about })
}

pub(super) fn list(about: &str, of: &str) -> Value {
    json!({ "type": "array", "items": { "$ref": of }, "description": about })
}

pub(super) fn table(about: &str, of: &str) -> Value {
    json!({ "type": "object", "additionalProperties": { "$ref": of }, "description": about })
}

pub(super) fn object(required: &[&str], properties: Value) -> Value {
    json!({ "type": "object", "required": required, "additionalProperties": false, "properties": properties })
}

pub(super) fn point() -> Value {
    json!({
        "anyOf": [
            { "type": "array", "items": { "$ref": "#/$defs/formula" }, "minItems": 2, "maxItems": 2 },
            { "type": "string" },
        ],
        "description": "x and y, or the name of a point",
    })
}

pub(super) fn place() -> Value {
    json!({ "$ref": "#/$defs/point" })
}
