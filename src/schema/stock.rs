//! The part of the job schema that describes sheets and remnants at hand.

use crate::schema::keys::count;
use crate::schema::keys::flag;
use crate::schema::keys::list;
use crate::schema::keys::object;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

/// The keys of a job for what a shop wants of its layouts.
pub(super) fn job() -> Value {
    json!({
        "kit": list("Parts whose pieces are kept together on one sheet", "#/$defs/kit"),
        "heat_spacing": { "$ref": "#/$defs/quantity", "description": "Minimum distance from one piece to the next in the cutting sequence, where possible" },
        "repeat_layouts": { "anyOf": [ { "type": "boolean" }, { "type": "string", "pattern": "%$" } ], "description": "Repeat the same layout on many sheets, using at most this much more metal; true means 1 %" },
    })
}

/// A place or a size on a sheet.
pub(super) fn place() -> Value {
    json!({ "type": "array", "items": { "$ref": "#/$defs/quantity" }, "minItems": 2, "maxItems": 2, "description": "Along the grain, across it" })
}

/// Sheets of one size, or a remnant of any outline.
pub(super) fn stock() -> Value {
    let list_of = |of: &str, what: &str| json!({ "type": "array", "items": { "$ref": format!("#/$defs/{of}") }, "description": what });
    let strip = || json!({ "$ref": "#/$defs/quantity" });
    object(
        &[],
        json!({
            "name": text("The shop's name for it"),
            "size": { "$ref": "#/$defs/place" },
            "corners": { "type": "array", "items": { "$ref": "#/$defs/place" }, "minItems": 3, "description": "Of a remnant, in order" },
            "file": text("A DXF file of a remnant, beside the job"),
            "units": { "enum": ["mm", "in"], "description": "Of that file, where it does not say" },
            "layer": text("Of that file"),
            "count": count("How many there are"),
            "price": { "type": "number", "minimum": 0, "description": "Each, in the shop's currency" },
            "first": flag("Used before all others"),
            "locked": text("A sheet of an earlier layout, the pieces of which stay where they are: report.json#SHEET"),
            "holes": list_of("shape", "Where metal is missing"),
            "keep_out": list_of("keep_out", "Where nothing may be placed"),
            "clamps": object(&[], json!({ "left": strip(), "right": strip(), "bottom": strip(), "top": strip() })),
        }),
    )
}

/// A hole of a sheet.
pub(super) fn shape() -> Value {
    object(&[], outline())
}

/// A keep-out of a sheet: a hole with a name.
pub(super) fn keep_out() -> Value {
    let mut keys = outline();
    keys["name"] = text("Name, for the picture of the sheet");
    object(&[], keys)
}

fn outline() -> Value {
    json!({
        "at": { "$ref": "#/$defs/place" },
        "diameter": { "$ref": "#/$defs/quantity" },
        "size": { "$ref": "#/$defs/place" },
        "corners": { "type": "array", "items": { "$ref": "#/$defs/place" }, "minItems": 3 },
    })
}
