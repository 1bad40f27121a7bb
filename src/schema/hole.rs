//! The keys of holes.

use crate::schema::keys::each;
use crate::schema::keys::flag;
use crate::schema::keys::formula;
use crate::schema::keys::given;
use crate::schema::keys::object;
use crate::schema::keys::place;
use crate::schema::keys::reference;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

/// A set of holes.
pub(super) fn hole() -> Value {
    let mut hole = keys();
    hole["anyOf"] = json!([{ "required": ["name"] }, { "required": ["like"] }]);
    hole
}

fn keys() -> Value {
    object(
        &[],
        json!({
            "name": text("Its name"),
            "like": text("Holes of another recipe: RECIPE.FACE.HOLES, or RECIPE.FACE for all"),
            "given": given(),
            "mirror": flag("Mirrors the copied holes, left to right"),
            "at": place(),
            "rotate": reference("Of each hole and of the pattern"),
            "diameter": reference("Diameter, or width of a slot"),
            "slot": reference("Overall length"),
            "arc": object(&["radius", "from", "to"], json!({ "radius": reference("Of the centre line of a slot"), "from": reference("Direction from `at` to its first end"), "to": reference("Direction from `at` to its last end, anticlockwise of the first") })),
            "hexagon": reference("Across flats"),
            "insert": text("Threaded insert: a row of the `insert` table, or an input"),
            "side": side(),
            "made": { "enum": ["cut", "drill", "ream", "tap"] },
            "pilot": reference("Pilot diameter, as cut"),
            "countersink": object(&[], json!({ "diameter": reference("At the surface"), "angle": reference("Included angle: 90 deg when left out"), "depth": reference("Below the surface"), "side": side() })),
            "counterbore": object(&[], json!({ "diameter": reference("At the surface"), "depth": reference("Below the surface"), "side": side() })),
            "flare": object(&["height"], json!({ "height": reference("Above the sheet"), "outside": reference("Diameter of its foot"), "angle": reference("Between the lip and the sheet"), "radius": reference("Inside, at its foot; sharp when left out"), "side": side() })),
            "for": text("What goes through"),
            "role": { "enum": ["eye", "bolt"], "description": "Loaded by a pin, or clamped by a bolt: for loads" },
            "when": reference("Only when this is true"),
            "each": each(),
            "row": object(&[], json!({ "count": reference("How many"), "pitch": reference("From hole to hole"), "span": reference("In place of the pitch: from the first to the last"), "max_pitch": reference(MAX_PITCH), "min_pitch": reference(MIN_PITCH), "across": flag("Slots lie across the row") })),
            "grid": object(&[], json!({ "columns": reference("Along x"), "rows": reference("Along y"), "pitch": place(), "span": place(), "max_pitch": place(), "min_pitch": place() })),
            "circle": object(&["count", "diameter"], json!({ "count": reference("How many"), "diameter": reference("Of the circle"), "start": reference("Angle of the first"), "pitch": reference("Angle from each to the next, evenly all round when left out"), "tangential": flag("Slots lie along the circle") })),
            "along": object(&["edge", "inset", "ends"], json!({ "edge": edges(), "count": reference("How many"), "max_pitch": reference(MAX_PITCH), "min_pitch": reference(MIN_PITCH), "inset": reference("From the edge"), "ends": reference("From its ends") })),
            "corners": object(&["inset"], json!({ "inset": reference("From both sides") })),
            "without": { "type": "array", "items": formula(), "description": "Numbers of the holes that are left out of the pattern" },
            "tongue_slot": object(&["width", "fit"], json!({ "width": reference("Of the tongue"), "fit": reference("Clearance on each side"), "count": reference("How many"), "span": reference("Between the centres of the first and the last"), "plate": reference("Thickness of the plate with the tongues"), "relief": reference("Radius of the round about each corner") })),
        }),
    )
}

/// Of a row whose count follows from its length.
const MAX_PITCH: &str = "In place of the count: as few as are no further apart";

/// The same for features that need room.
const MIN_PITCH: &str = "In place of the count: as many as are no nearer";

/// An edge, or several.
fn edges() -> Value {
    let one = text("Name of the edge");
    json!({ "anyOf": [one, { "type": "array", "minItems": 1, "items": { "type": "string" }, "description": "Names of edges: along each of them" }] })
}

/// The side of the sheet from which something is made.
fn side() -> Value {
    json!({ "enum": ["up", "down"], "description": "From the top side, the default, or from the bottom side" })
}
