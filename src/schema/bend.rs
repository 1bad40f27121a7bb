//! The keys of bends, fold lines and tubes cut out of the formed part.

use crate::schema::keys::bend_rule;
use crate::schema::keys::each;
use crate::schema::keys::object;
use crate::schema::keys::place;
use crate::schema::keys::reference;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

/// A bend on an edge, or a fold line.
pub(super) fn bend() -> Value {
    let mut bend = object(
        &["to"],
        json!({
            "on": text("Face and edge it joins: plate.top"),
            "across": text("The face a fold line crosses, in place of `on`"),
            "line": fold_line(),
            "moves": { "$ref": "#/$defs/point", "description": "A point on the side that a fold line moves; the side on its left when left out" },
            "meets": { "$ref": "#/$defs/space", "description": "In place of `angle`: a point in space (z above the face) that the folded side reaches" },
            "to": text("The flange: a face; of a fold line a new name for what moves"),
            "each": each(),
            "form": { "enum": ["bent", "rolled", "open-hem", "closed-hem"], "description": "How it is formed: bent when left out" },
            "angle": reference("Bend angle, 0 is flat; a hem has none"),
            "opening": reference("Clear distance between the two sides of an open hem"),
            "radius": reference("Inside radius"),
            "method": bend_rule("How the bend is computed; the shop's bend_sources decide when left out"),
            "side": { "enum": ["up", "down"] },
            "measured": { "enum": ["outside", "tangent-outside", "inside", "tangent"] },
            "offset": reference("Of the flange along its edge, from the centre"),
            "relief": { "enum": ["square", "round", "hole", "tear", "none"], "description": "What is cut beside the ends of the bend" },
            "relief_width": reference("Across a relief, or the diameter of its hole"),
            "relief_depth": reference("How far a relief reaches behind where the bend begins"),
            "corner": { "enum": ["open", "closed", "overlap", "mitre"], "description": "How far the flange reaches beside one on the next edge" },
            "gap": reference("Between the two flanges at such a corner"),
        }),
    );
    bend["anyOf"] = json!([{ "required": ["on"] }, { "required": ["across", "line"] }]);
    bend
}

/// A tube cut out of the formed part.
pub(super) fn cut_folded() -> Value {
    let three = |about: &str| json!({ "type": "array", "items": { "$ref": "#/$defs/formula" }, "minItems": 3, "maxItems": 3, "description": about });
    let mut tube = object(
        &["tube"],
        json!({
            "tube": reference("Outside diameter"),
            "clearance": reference("Clearance per side between tube and metal; 0 when left out"),
            "from": three("A point of its axis: x, y in the drawing of the face, z above its top side"),
            "to": three("Another"),
            "at": three("A point of its axis"),
            "direction": three("Of the axis: three numbers"),
            "face": text("The face in whose drawing the axis is; the first when left out"),
            "edge": text("Name of the edges that are cut"),
            "leg": reference("Leg of a fillet on each of them"),
            "when": reference("Only where this is true"),
        }),
    );
    tube["anyOf"] = json!([{ "required": ["from", "to"] }, { "required": ["at", "direction"] }]);
    tube
}

fn fold_line() -> Value {
    json!({
        "anyOf": [
            { "type": "array", "items": place(), "minItems": 2, "maxItems": 2 },
            object(&["at", "direction"], json!({ "at": place(), "direction": reference("Anticlockwise from x") })),
            object(&["drawn"], json!({ "drawn": { "type": "integer", "minimum": 1, "description": "Number of a bend line of the outline files of the face" } })),
            object(&["edge"], json!({
                "edge": text("Name of an edge, which is on the left of the line"),
                "inset": reference("From that edge to the line, midway along it"),
                "outside": reference("In place of `inset`: the flange as formed, outside"),
                "rotate": reference("Rotation from parallel with the edge, anticlockwise"),
            })),
        ],
        "description": "The centre of the bend: from point to point, through a point in a direction, inside an edge, or as an outline file has it",
    })
}
