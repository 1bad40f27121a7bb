//! The keys of points by what was measured.

use crate::schema::keys::flag;
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
            "side": { "enum": ["left", "right", "above", "below"], "description": "Of the line from the first to the second point in `from`; with `tangent` of the line to the disc; in space the higher or the lower of two places" },
            "near": text("The one of two places that is nearer to this point"),
            "along": two(),
            "by": reference("From the first point in `along` towards the second"),
            "mirror": text("The point to mirror"),
            "laid": text("The point in space that is swung about the line `over` into the drawing, to its left"),
            "over": {
                "type": "array", "items": { "type": "string" }, "minItems": 2, "maxItems": 3,
                "description": "Two points: a line from the first to the second. Three, in space: the plane in which `mirror` is mirrored",
            },
            "tangent": object(&["from", "disc", "radius"], json!({
                "from": text("The point the line starts from"),
                "disc": text("The centre of the disc it touches"),
                "radius": reference("Of the disc"),
            })),
        }),
    )
}

/// A place in space.
pub(super) fn space() -> Value {
    json!({ "anyOf": [
        {
            "type": "array",
            "items": { "$ref": "#/$defs/formula" },
            "minItems": 3,
            "maxItems": 3,
            "description": "x, y and z",
        },
        text("The name of a point in space"),
    ] })
}

/// A tube in space.
pub(super) fn space_tube() -> Value {
    let place = |about: &str| json!({ "$ref": "#/$defs/space", "description": about });
    object(
        &["outside"],
        json!({
            "outside": reference("Outside diameter"),
            "from": place("Where its axis begins"),
            "to": place("Where its axis ends"),
            "through": { "type": "array", "items": { "$ref": "#/$defs/space" }, "minItems": 3, "description": "Of a bent tube: where its axis begins, turns its corners and ends" },
            "radius": reference("Of its centre line in the bends"),
            "when": reference("Only where this is true"),
        }),
    )
}

/// The plane of a face.
pub(super) fn plane() -> Value {
    let place = |about: &str| json!({ "$ref": "#/$defs/space", "description": about });
    let mut plane = object(
        &["origin"],
        json!({
            "origin": place("Where the origin of its drawing is"),
            "x": place("A point on its x"),
            "side": place("A point on the side to which y points"),
            "across": text("In place of `x` and `side`: the tube to which it is square, y up"),
            "leg": reference("Of a bent tube: which straight leg, counted from 1"),
            "centred": flag("The plane is at half the thickness of the sheet, not at its top side"),
        }),
    );
    plane["anyOf"] = json!([{ "required": ["x", "side"] }, { "required": ["across"] }]);
    plane["description"] =
        json!("The plane of its top side, by points in space or square to a tube");
    plane
}
