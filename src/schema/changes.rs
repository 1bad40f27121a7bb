//! What a program may rely on in the changes of a report.

use crate::changes::Verdict;
use serde_json::Value;
use serde_json::json;

/// What differs from what was made before; left out where nothing was.
pub(super) fn changes() -> Value {
    let verdicts = Verdict::ALL.map(|verdict| json!(verdict));
    let issue = json!({
        "type": "array", "items": { "type": "string" }, "minItems": 2, "maxItems": 2,
        "description": "The issue and the short hash of the geometry",
    });
    json!({
        "type": "object",
        "required": ["compared_with", "words", "parts", "job"],
        "properties": {
            "compared_with": name(), "words": name(),
            "parts": { "type": "array", "items": {
                "type": "object",
                "required": ["part", "verdict", "words", "differences"],
                "properties": {
                    "part": name(), "verdict": { "enum": verdicts }, "words": name(),
                    "issue": issue, "was_issue": issue,
                    "differences": { "type": "array", "items": name() },
                },
            } },
            "job": { "type": "array", "items": {
                "type": "object", "required": ["kind", "words"],
                "properties": {
                    "kind": { "enum": ["issue", "hardware", "tubes", "sheets", "price", "findings"] },
                    "words": name(),
                },
            } },
        },
    })
}

fn name() -> Value {
    json!({ "type": "string", "minLength": 1 })
}
