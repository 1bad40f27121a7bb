//! The keys of the end of a tube, in a job and in the report.

use crate::schema::keys::flag;
use crate::schema::keys::object;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

fn quantity(about: &str) -> Value {
    json!({ "$ref": "#/$defs/quantity", "description": about })
}

/// The end of a tube of a job.
pub(super) fn tube_end() -> Value {
    let tab = object(
        &["part", "at", "clock"],
        json!({
            "part": text("Name of its part"),
            "at": quantity("From the end of the tube, as cut"),
            "clock": quantity("From the heel line, clockwise seen from the start of the tube"),
            "reach": quantity("Distance out from the tube at which the effect of an angular error is also given, besides hole and outer edge"),
        }),
    );
    object(
        &["tube"],
        json!({
            "tube": text("Name of a tube of the job"),
            "end": { "enum": ["start", "end"], "description": "Which end; the far one when left out" },
            "cap": text("The part that closes it"),
            "ground": flag("The weld of the cap is ground flush"),
            "landing": quantity("Minimum width of wall under the cap; 0.5 mm when left out"),
            "cheeks": text("The part whose plates stand one on each side of the tube"),
            "play": quantity("Clearance between a plate and the tube, coated; 0.2 mm when left out"),
            "ground_outside": quantity("Diameter of the tube where it is ground"),
            "gap": quantity("Distance between the bare plates"),
            "lap": quantity("How far the plates lap over the tube, from its end as cut"),
            "bung": text("The bung that closes it: a row of the `bung` table"),
            "stub": text("What goes into it: a tube of the job"),
            "depth": quantity("How far a stub goes in, from the end of the tube as cut"),
            "tabs": { "type": "array", "items": tab, "description": "Tabs set round it" },
        }),
    )
}

/// The ends of tubes of a report.
pub(super) fn report() -> Value {
    let name = json!({ "type": "string", "minLength": 1 });
    json!({ "type": "array", "minItems": 1, "description": "Tube ends and their fittings", "items": {
        "type": "object",
        "required": ["tube", "end"],
        "properties": {
            "tube": name, "end": { "enum": ["start", "end"] },
            "cap": { "type": "object", "required": ["part", "cut_allowance_mm", "is_inside", "ground"] },
            "cheeks": { "type": "object", "required": ["part", "gap_mm"] },
            "inside": { "type": "object", "required": ["what", "clearance_mm"] },
            "tabs": { "type": "array", "items": { "type": "object", "required": ["part", "at_mm", "clock_deg", "level", "per_degree"] } },
            "files": { "type": "array", "items": name },
        },
    } })
}
