//! The keys of a face: how its blank is built, its edges, and what it stays clear of.

use crate::schema::keys::around;
use crate::schema::keys::each;
use crate::schema::keys::flag;
use crate::schema::keys::given;
use crate::schema::keys::list;
use crate::schema::keys::object;
use crate::schema::keys::place;
use crate::schema::keys::reference;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

/// A flat piece.
pub(super) fn face() -> Value {
    object(
        &[],
        json!({
            "blank": list("Steps that build the outline", "#/$defs/step"),
            "on": { "$ref": "#/$defs/plane" },
            "like": text("A face above, or RECIPE.FACE, whose steps, holes, lightening, marks, welds, bevels, beads and obstacles it has"),
            "given": given(),
            "mirror": flag("Mirrored, left to right"),
            "when": reference("Only when this is true"),
            "holes": list("Holes", "#/$defs/hole"),
            "lighten": list("Openings that lighten it", "#/$defs/lighten"),
            "marks": list("What is etched", "#/$defs/mark"),
            "weld": list("Welded edges", "#/$defs/weld"),
            "bevel": list("Bevelled edges", "#/$defs/bevel"),
            "bead": list("Beads formed into it", "#/$defs/bead"),
            "laid_on": object(&["face"], json!({ "face": text("The face on which this plate lies"), "at": place(), "rotate": reference("Of this plate there") })),
            "obstacles": list("Obstacles it must clear", "#/$defs/obstacle"),
            "pieces": reference("For a separate plate of a weldment: how many an assembly needs"),
        }),
    )
}

/// A welded edge.
pub(super) fn weld() -> Value {
    object(
        &["edge"],
        json!({
            "edge": text("Name of the edge"),
            "leg": reference("Leg of the fillet"),
            "one_side": flag("The fillet is on one side of the plate only"),
            "all_round": flag("The fillet goes right round the plate at this edge"),
            "note": text("Remark"),
            "each": each(),
        }),
    )
}

/// A bevelled edge.
pub(super) fn bevel() -> Value {
    object(
        &["edge", "angle"],
        json!({
            "edge": text("Name of the edge"),
            "angle": reference("From the square edge"),
            "land": reference("What stays square: none when left out"),
            "side": { "enum": ["up", "down", "both"], "description": "From the top side, the default, the bottom side, or both" },
            "each": each(),
        }),
    )
}

/// What a face must stay clear of: the keys of a shape, and its own.
pub(super) fn obstacle() -> Value {
    let mut all = step();
    let own = json!({
        "name": text("What it is"),
        "shape": { "enum": crate::recipe::OBSTACLES },
        "clearance": reference("Required between it and the part; none when left out"),
    });
    if let (Some(keys), Value::Object(own)) = (all["properties"].as_object_mut(), own) {
        ["add", "cut", "fill"].iter().for_each(|key| drop(keys.remove(*key)));
        keys.extend(own);
    }
    all["required"] = json!(["name", "shape"]);
    all
}

/// All keys a step may have; which of them a shape accepts is checked when it is read.
pub(super) fn step() -> Value {
    let shapes = json!({ "enum": crate::recipe::SHAPES });
    let mut all = object(
        &[],
        json!({
            "add": shapes,
            "cut": shapes,
            "fill": reference("Fillet inside corners with this radius"),
            "when": reference("Only when this is true"),
            "each": each(),
            "around": around(),
            "at": place(),
            "rotate": reference("About its centre, anticlockwise"),
            "radius": reference("Of a disc; of an arm from its pivot to the centre of its round end"),
            "from": end("Direction in which an arm begins, anticlockwise; of a slot the centre of one end, of a rectangle a corner"),
            "to": end("Direction in which an arm ends; of a slot the centre of the other end, of a rectangle the opposite corner"),
            "length": reference("Of a slot, overall"),
            "width": reference("Width"),
            "height": reference("Of a rectangle or a flange"),
            "corner": reference("Radius of the corners of a rectangle or a flange"),
            "rounded": {
                "type": "array",
                "minItems": 1,
                "items": { "enum": ["bottom", "right", "top", "left", "bottom-left", "bottom-right", "top-right", "top-left"] },
                "description": "Which corners have the radius `corner`: those at an edge, or single ones; all when left out",
            },
            "corners": list("Of a polygon", "#/$defs/corner"),
            "round": { "anyOf": [ list("What a belt runs round", "#/$defs/belt_piece"), reference("Round outside corners with this radius") ] },
            "tube": reference("Outside diameter; of a `tube` that is cut: its name"),
            "clearance": reference("Clearance between a `tube` that is cut and the metal, all round"),
            "obstacle": text("The obstacle of the face that is cut out, its clearance and all"),
            "leg": reference("Which straight leg of a bent tube, counted from 1"),
            "angle": reference("Between the axis of the tube and the plate"),
            "offset": reference("Of the plate from the axis of the tube"),
            "edge": text("Name of the edge it makes or is on"),
            "head": reference("Diameter of the round hole of a keyhole"),
            "neck": reference("Width of the slot of a keyhole"),
            "flats": reference("Across flats"),
            "diameter": reference("Diameter"),
            "key": reference("Width of a key: set by its shaft when left out"),
            "depth": reference("Of a keyway, overall: set by its key when left out; or of a tongue"),
            "count": reference("How many tongues"),
            "ends": reference("From the ends of the edge to the centres of the outer tongues"),
            "span": reference("Between the centres of the first and the last tongue"),
            "relief": reference("Radius of the half rounds beside the root of a tongue"),
        }),
    );
    if let (Some(keys), Value::Object(own)) = (all["properties"].as_object_mut(), outline()) {
        keys.extend(own);
    }
    all
}

/// The keys of an outline file.
fn outline() -> Value {
    json!({
        "file": text("A DXF or SVG file beside the recipe"),
        "units": { "enum": ["mm", "in"], "description": "Of an outline file without units, or with wrong ones" },
        "per_inch": { "type": "integer", "minimum": 1, "description": "Pixels per inch of an SVG file" },
        "layer": text("The layer of the outline file to read"),
        "layers": {
            "type": "object",
            "additionalProperties": { "enum": ["cut", "mark", "bend", "none"] },
            "description": "How each layer is used; `*` is any other",
        },
        "holes": { "enum": ["numbered", "sized"], "description": "Whether its holes are named after the file or by their sizes" },
    })
}

/// A direction, or a place.
fn end(about: &str) -> Value {
    json!({ "anyOf": [ { "$ref": "#/$defs/formula" }, { "$ref": "#/$defs/point" } ], "description": about })
}

pub(super) fn corner() -> Value {
    object(
        &["at"],
        json!({
            "at": place(),
            "round": reference("Rounded with this radius"),
            "chamfer": reference("Cut off straight, this far along both edges"),
            "clip": reference("Clipped by a disc of this radius"),
            "arc": object(&[], json!({
                "height": reference("Over its chord; more than 0 bows out of the polygon"),
                "radius": reference("Of the shorter arc; more than 0 bows out of the polygon"),
                "through": place(),
                "centre": place(),
                "tangent": { "const": true, "description": "Tangent to the end of the edge before it" },
            })),
            "disc": reference("The outline runs round a disc of this radius, on tangents; less than 0 leaves the disc outside"),
            "edge": text("Name of the edge that starts there"),
            "each": each(),
        }),
    )
}

pub(super) fn belt_piece() -> Value {
    object(
        &[],
        json!({
            "disc": reference("Radius"),
            "bar": reference("Length"),
            "at": place(),
            "rotate": reference("Of a bar"),
            "edge": text("Name of the bar's edge"),
            "each": each(),
        }),
    )
}
