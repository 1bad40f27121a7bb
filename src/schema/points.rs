//! The keys of points by what was measured.

use crate::schema::keys::object;
use crate::schema::keys::reference;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

pub(super) fn named_point() -> Value {
    let two = || json!({ "type": "array", "items": { "type": "string" }, "minItems": 2, "maxItems": 2, "description": "Two points: a line from the first to the second" });
    let by_point = |about: &str| json!({ "type": "object", "additionalProperties": { "$ref": "#/$defs/formula" }, "description": about });
    let line =
        object(&["of", "by"], json!({ "of": two(), "by": reference("How far to its left") }));
    object(
        &[],
        json!({
            "from": by_point("Distances from other points: { A = \"120 mm\", B = \"95 mm\" }"),
            "direction": by_point("Directions from other points, anticlockwise from x"),
            "left": { "anyOf": [
                line,
                { "type": "array", "items": line, "description": "Distances to the left of lines" },
                reference("With `along`: to the left of that line"),
            ] },
            "side": { "enum": ["left", "right"], "description": "Of the line from the first to the second point in `from`; with `tangent` of the line to the disc" },
            "near": text("The one of two places that is nearer to this point"),
            "along": two(),
            "by": reference("From the first point in `along` towards the second"),
            "mirror": text("The point to mirror"),
            "over": two(),
            "tangent": object(&["from", "disc", "radius"], json!({
                "from": text("The point a line is from"),
                "disc": text("The centre of the disc it touches"),
                "radius": reference("Of the disc"),
            })),
        }),
    )
}
