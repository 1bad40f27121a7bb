//! What was measured on made parts: the keys of a job, and those of a report.

use crate::job::What;
use crate::schema::keys::count;
use crate::schema::keys::object;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

/// One measurement.
pub(super) fn as_built() -> Value {
    let words = What::WORDS.map(|(word, _)| word);
    let quantity = |about: &str| json!({ "$ref": "#/$defs/quantity", "description": about });
    let one_or_more = |item: Value| json!({ "anyOf": [ item, { "type": "array", "items": item, "minItems": 1 } ] });
    object(
        &["part", "what", "is"],
        json!({
            "part": text("Name of the part"),
            "piece": count("Which piece of it; 1 when left out"),
            "what": { "enum": words, "description": "Outside lengths as the drawing gives them: to the mould line up to 90°, beyond that to the outer tangent; bend angles are measured from flat" },
            "of": one_or_more(json!({ "type": "string", "description": "A face and its bend, a bend, a hole, or two holes" })),
            "is": one_or_more(quantity("As measured; several readings as a list")),
            "uncertainty": quantity("Standard deviation of one reading: 0.05 mm, of a radius 0.25 mm, of an angle 0.25 deg when left out"),
            "coated": { "type": "boolean", "description": "Measured over the coating" },
            "deduction": quantity("Bend deduction at 90 degrees by which its flat was cut, where that is not the present one"),
        }),
    )
}

/// What a report says of it.
pub(super) fn report() -> Value {
    let (number, words) =
        (json!({ "type": "number" }), json!({ "type": "string", "minLength": 1 }));
    let unit = json!({ "enum": ["mm", "deg"] });
    let rows = |required: &[&str], properties: Value| json!({ "type": "array", "items": { "type": "object", "required": required, "properties": properties } });
    json!({
        "type": "object",
        "description": "What was measured on made parts and what caused it; 95 % limits",
        "required": ["measures", "causes"],
        "properties": {
            "measures": rows(&["part", "piece", "what", "unit", "asked", "is", "limit", "explained", "next_piece", "next_piece_limit", "words"], json!({
                "part": words, "piece": { "type": "integer", "minimum": 1 }, "what": words, "unit": unit,
                "asked": number, "is": number, "limit": number, "explained": number,
                "next_piece": { "type": "number", "description": "Average of the next pieces; a single piece deviates from it" },
                "next_piece_limit": { "type": "number", "description": "Limit of that average" },
                "instead": { "type": "number", "description": "Value to enter so that the next pieces have `asked` on average, if no cause is changed; left out where measurements do not agree" },
                "words": words, "instead_words": words,
            })),
            "left_out": { "type": "array", "items": words, "description": "Measurements of parts of which the job makes none" },
            "causes": rows(&["cause", "of", "unit", "off_by", "limit", "limit_before", "result", "words"], json!({
                "cause": { "enum": ["bend deduction", "inside radius", "springback", "sheet thickness", "cut edge", "coating thickness", "assembly", "bend line", "angle of one bend"] },
                "of": words, "unit": unit, "computed_with": number, "off_by": number, "limit": number, "limit_before": number,
                "result": { "enum": ["off", "right", "not separated", "not shown"] },
                "not_apart_from": { "type": "array", "items": words }, "measure_also": words, "words": words,
            })),
            "fits": rows(&["part", "piece", "what", "drawn_mm", "is_mm", "limit_mm", "needs_mm", "words"], json!({
                "part": words, "piece": { "type": "integer", "minimum": 1 }, "what": words,
                "drawn_mm": number, "is_mm": number, "limit_mm": number, "needs_mm": number, "words": words,
            })),
            "other_parts": rows(&["part", "what", "unit", "asked", "off_by", "limit", "words"], json!({
                "part": words, "what": words, "unit": unit, "asked": number, "off_by": number, "limit": number, "words": words,
            })),
            "shop_rows": rows(&["deduction_mm", "limit_mm", "today_mm", "words", "toml", "once_used"], json!({
                "deduction_mm": number, "limit_mm": number, "today_mm": number, "words": words, "toml": words, "once_used": words,
            })),
        },
    })
}
