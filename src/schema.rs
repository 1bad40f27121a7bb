//! JSON Schemas: of recipe and job files, so that an editor completes and underlines, and
//! of the report, for programs that read it.
//!
//! They describe the same keys that [`crate::recipe`] and [`crate::job`] read; a test
//! holds every shipped file against them.

mod fit;
mod load;
mod report;
mod stock;

use fit::captured;
use fit::clevis;
use fit::link;
use fit::near;
use load::load;
pub use report::report;
use serde_json::Value;
use serde_json::json;

const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// The schema of a recipe file.
pub fn recipe() -> Value {
    json!({
        "$schema": DIALECT,
        "title": "platewright recipe",
        "type": "object",
        "required": ["about", "face"],
        "additionalProperties": false,
        "properties": {
            "about": text("One sentence: what the part is"),
            "copies": count("Pieces in one set"),
            "mirror": flag("A set is a right and a left hand"),
            "grain": { "enum": ["free", "x", "y"], "description": "Direction of the first face that lies along the grain" },
            "bend_ticks": flag("Etch short ticks at the ends of every bend line"),
            "inputs": table("What must be said about a part, in order", "#/$defs/input"),
            "derived": { "type": "object", "description": "Formulas by name, in any order", "additionalProperties": { "$ref": "#/$defs/formula" } },
            "require": list("Conditions that must hold", "#/$defs/require"),
            "facts": table("Results worth telling", "#/$defs/fact"),
            "clevis": { "$ref": "#/$defs/clevis", "description": "What of it holds a rod end" },
            "captured": { "$ref": "#/$defs/captured", "description": "The nut it holds in the bore of a tube" },
            "face": table("The flat pieces", "#/$defs/face"),
            "bend": table("The bends between them", "#/$defs/bend"),
        },
        "$defs": {
            "formula": formula(),
            "point": point(),
            "input": input(),
            "require": object(&["that", "else"], json!({
                "that": reference("Must come to yes"),
                "else": text("The sentence shown when it does not hold"),
            })),
            "fact": object(&["value", "about"], json!({
                "value": reference("Its value"),
                "about": text("What it is"),
            })),
            "clevis": clevis(),
            "captured": captured(),
            "face": object(&["blank"], json!({
                "blank": list("Steps that build the outline", "#/$defs/step"),
                "holes": list("Holes", "#/$defs/hole"),
                "marks": list("What is etched", "#/$defs/mark"),
                "weld": list("Welded edges", "#/$defs/weld"),
                "pieces": count("For a plate of its own in a weldment: how many a set needs"),
            })),
            "bend": object(&["on", "to", "turn"], json!({
                "on": text("Face and edge it stands on: plate.top"),
                "to": text("Face it carries"),
                "turn": reference("How far the flange turns from flat"),
                "radius": reference("Inside radius"),
                "method": bend_rule("What the bend goes by; the shop's order of trust decides when left out"),
                "side": { "enum": ["up", "down"] },
                "measured": { "enum": ["outside", "tangent-outside", "inside", "tangent"] },
                "along": reference("Shift of the carried face along its own x"),
                "relief": { "enum": ["square", "round", "hole", "tear", "none"], "description": "What is cut beside the ends of the bend" },
                "relief_width": reference("Across a relief, or the diameter of its hole"),
                "relief_depth": reference("How far a relief reaches behind where the bend begins"),
                "corner": { "enum": ["open", "closed", "overlap", "mitre"], "description": "How far the flange reaches beside one on the next edge" },
                "gap": reference("Between the two flanges at such a corner"),
            })),
            "weld": object(&["edge"], json!({
                "edge": text("Name of the edge"),
                "leg": reference("Leg of the fillet"),
                "one_side": flag("The fillet stands on one side of the plate only"),
                "all_round": flag("The fillet goes right round the plate at this edge"),
                "note": text("What else to know"),
            })),
            "step": step(),
            "corner": { "anyOf": [ { "$ref": "#/$defs/point" }, corner() ] },
            "belt_piece": belt_piece(),
            "hole": hole(),
            "mark": mark(),
        },
    })
}

/// The schema of a job file.
pub fn job() -> Value {
    let values = json!({ "type": "object", "description": "Values of the recipe's inputs" });
    let line = |more: Value| {
        let mut properties = json!({
            "recipe": text("Name of the recipe"),
            "name": text("Name of the part; {input} in a family's name becomes its value"),
            "quantity": count("How many sets"),
            "holds": { "$ref": "#/$defs/quantity", "description": "Thickness of what a bolt holds beside the plate" },
            "sheet": text("Name of a sheet"),
            "fill": { "anyOf": [ { "type": "boolean" }, { "type": "integer", "minimum": 0 } ], "description": "More of them where there is room on sheets that are needed anyway" },
            "urgency": count("The higher, the sooner it is laid"),
            "grain": { "enum": ["free", "x", "y"], "description": "In place of the grain of the recipe" },
            "turn": { "enum": ["none", "half", "quarter", "free"], "description": "How its pieces may be turned on the sheet" },
            "faces_alike": flag("Its pieces may be turned over"),
            "bridges": count("How many bridges hold it, in place of what the job says"),
            "windows": flag("false keeps its windows empty"),
            "given": values,
            "link": text("Name of a link whose rod end it holds"),
            "end": { "enum": [1, 2], "description": "Which end of that link" },
            "near": list("What stands beside it", "#/$defs/near"),
            "bends": { "type": "object", "description": "What bends go by, by their names", "additionalProperties": bend_rule("DIN 6935, FAA, a K value, or what the shop has measured") },
            "open": { "type": "object", "description": "Inputs to choose: a list of values, a table, or a range { from, to, step }; `sheet` chooses among sheets" },
        });
        if let (Some(all), Value::Object(more)) = (properties.as_object_mut(), more) {
            all.extend(more);
        }
        object(&["recipe", "name"], properties)
    };
    json!({
        "$schema": DIALECT,
        "title": "platewright job",
        "type": "object",
        "required": ["process"],
        "anyOf": [ { "required": ["sheet"] }, { "required": ["tube"] } ],
        "additionalProperties": false,
        "properties": {
            "about": text("One sentence"),
            "units": { "enum": ["mm", "in"], "description": "Of drawings and printed lengths" },
            "process": text("Way of cutting: a row of the table `process`"),
            "shop": text("A file of the shop's own tools, beside the job"),
            "paper": { "enum": ["A4", "Letter", "none"], "description": "Size of the papers and templates; by the units when left out" },
            "coating": { "$ref": "#/$defs/quantity", "description": "Film on every face: a length, or a row of the table `coating`" },
            "lift": { "$ref": "#/$defs/quantity", "description": "Most that one person lifts: 23 kg when left out" },
            "gap": { "$ref": "#/$defs/quantity", "description": "Least distance between parts on a sheet" },
            "margin": { "$ref": "#/$defs/quantity", "description": "Least distance from the rim of a sheet" },
            "least_remnant": { "$ref": "#/$defs/quantity", "description": "What is left of a sheet is worth keeping when it is no narrower: 100 mm when left out" },
            "bridges": object(&["count", "width", "below"], json!({
                "count": count("How many a small piece gets"),
                "width": { "$ref": "#/$defs/quantity", "description": "Metal left in each" },
                "below": { "$ref": "#/$defs/quantity", "description": "Longer pieces get none" },
            })),
            "windows": object(&["least", "gap"], json!({
                "least": { "$ref": "#/$defs/quantity", "description": "Narrower windows stay empty" },
                "gap": { "$ref": "#/$defs/quantity", "description": "From a part to the rim of its window" },
            })),
            "common_cuts": flag("One cut parts pieces whose straight edges face each other; needs a gap of one kerf"),
            "sheet": list("The sheets in stock", "#/$defs/sheet"),
            "link": list("Links between rod ends", "#/$defs/link"),
            "part": list("Parts to make", "#/$defs/part"),
            "family": list("Families of parts to make", "#/$defs/family"),
            "tube": list("Tubes with coped ends", "#/$defs/tube"),
            "load": list("What pulls at the parts", "#/$defs/load"),
        },
        "$defs": {
            "quantity": { "type": "string", "description": "A number with its unit: 12 mm, 1/4 in" },
            "sheet": object(&["name", "material", "thickness", "stock"], json!({
                "name": text("What parts call it"),
                "material": text("A row of the table `material`"),
                "thickness": text("A length or a gauge: 4 mm, 11 ga"),
                "bend_radius": { "$ref": "#/$defs/quantity", "description": "Usual inside radius" },
                "bend": bend_rule("What all bends of the sheet go by"),
                "stock": list("Sizes at hand", "#/$defs/stock"),
            })),
            "place": stock::place(),
            "stock": stock::stock(),
            "shape": stock::shape(),
            "link": link(),
            "near": near(),
            "part": line(json!({})),
            "load": load(),
            "tube": tube(),
            "family": line(json!({
                "each": { "type": "object", "additionalProperties": { "type": "array", "minItems": 1 }, "description": "Lists of values; every combination is made" },
                "table": text("A CSV file with a line for each part"),
            })),
        },
    })
}

fn tube() -> Value {
    let quantity = |about: &str| json!({ "$ref": "#/$defs/quantity", "description": about });
    let end = json!({ "anyOf": [ { "const": "square" }, object(&["main"], json!({
        "main": text("The tube it meets: a row of the table `tube`, or its outside diameter"),
        "angle": quantity("Between the axes, at most 90 deg; 90 deg when left out"),
        "offset": quantity("Of this tube's axis to the right of the main's, the heel towards you"),
    })) ] });
    object(
        &["name", "length"],
        json!({
            "name": text("Its name"),
            "quantity": count("How many"),
            "material": text("A row of the table `material`, for its mass"),
            "tube": text("A row of the table `tube`"),
            "outside": quantity("Outside diameter, when it is no row"),
            "wall": quantity("Wall, when it is no row"),
            "length": quantity("From axis to axis of the tubes it meets, or to a square end"),
            "twist": quantity("Of the far end's heel, clockwise seen from the start"),
            "cut": { "enum": ["fitted", "square"], "description": "Whether the whole wall follows the main, or is cut square" },
            "start": end,
            "end": end,
        }),
    )
}

fn text(about: &str) -> Value {
    json!({ "type": "string", "description": about })
}

fn flag(about: &str) -> Value {
    json!({ "type": "boolean", "description": about })
}

fn count(about: &str) -> Value {
    json!({ "type": "integer", "minimum": 0, "description": about })
}

fn formula() -> Value {
    json!({ "type": ["string", "number", "boolean"], "description": "A formula: 2 * thickness + 1/4 in" })
}

fn bend_rule(about: &str) -> Value {
    json!({
        "anyOf": [ { "enum": ["DIN 6935", "FAA", "measured"] }, { "type": "number", "exclusiveMinimum": 0, "maximum": 0.5 } ],
        "description": about,
    })
}

fn reference(about: &str) -> Value {
    json!({ "$ref": "#/$defs/formula", "description": about })
}

fn list(about: &str, of: &str) -> Value {
    json!({ "type": "array", "items": { "$ref": of }, "description": about })
}

fn table(about: &str, of: &str) -> Value {
    json!({ "type": "object", "additionalProperties": { "$ref": of }, "description": about })
}

fn object(required: &[&str], properties: Value) -> Value {
    json!({ "type": "object", "required": required, "additionalProperties": false, "properties": properties })
}

fn point() -> Value {
    json!({ "type": "array", "items": { "$ref": "#/$defs/formula" }, "minItems": 2, "maxItems": 2, "description": "x and y" })
}

fn place() -> Value {
    json!({ "$ref": "#/$defs/point" })
}

fn input() -> Value {
    object(
        &["kind", "about"],
        json!({
            "kind": { "type": "string", "description": "length, angle, count, ratio, force, flag, choice, or a table: bolt, nut, rod-end, tube, material" },
            "default": formula(),
            "least": reference("Smallest value"),
            "most": reference("Largest value"),
            "of": { "type": "array", "items": { "type": "string" }, "minItems": 1, "description": "Words of a choice" },
            "about": text("What it is"),
        }),
    )
}

/// All keys a step may have; which of them a shape takes is said when it is read.
fn step() -> Value {
    let shapes = json!({ "enum": crate::recipe::SHAPES });
    object(
        &[],
        json!({
            "add": shapes,
            "cut": shapes,
            "fill": reference("Fill inward corners with this radius"),
            "when": reference("Only when this comes to yes"),
            "at": place(),
            "turn": reference("Turned about its middle"),
            "radius": reference("Of a disc"),
            "length": reference("Of a slot, over all"),
            "width": reference("Width"),
            "height": reference("Of a rectangle"),
            "corner": reference("Radius of a rectangle's corners"),
            "corners": list("Of a polygon", "#/$defs/corner"),
            "round": { "anyOf": [ list("What a belt runs round", "#/$defs/belt_piece"), reference("Round outward corners with this radius") ] },
            "tube": reference("Outside diameter"),
            "lean": reference("Between the tube and the plate"),
            "aside": reference("How far the tube's axis passes above the plate"),
            "edge": text("Name of the edge it leaves or stands on"),
            "flats": reference("Across flats"),
            "diameter": reference("Diameter"),
            "key": reference("Width of a key"),
            "depth": reference("Of a key over all, or of a tongue"),
            "count": reference("How many tongues"),
            "ends": reference("From the ends of the edge to the middles of the outer tongues"),
            "span": reference("From the middle of the first tongue to that of the last"),
            "relief": reference("Radius of the half rounds beside the root of a tongue"),
            "file": text("A DXF file beside the recipe"),
            "units": { "enum": ["mm", "in"], "description": "Of a DXF file that does not say them, or says them wrong" },
            "layer": text("The layer of the DXF file to read"),
        }),
    )
}

fn corner() -> Value {
    object(
        &["at"],
        json!({
            "at": place(),
            "round": reference("Rounded with this radius"),
            "chamfer": reference("Cut straight, so far along both edges"),
            "clip": reference("Hollowed with this radius"),
            "edge": text("Name of the edge that leaves it"),
        }),
    )
}

fn belt_piece() -> Value {
    object(
        &[],
        json!({
            "disc": reference("Radius"),
            "bar": reference("Length"),
            "at": place(),
            "turn": reference("Of a bar"),
            "edge": text("Name of the bar's edge"),
        }),
    )
}

fn hole() -> Value {
    object(
        &["name"],
        json!({
            "name": text("Its name"),
            "at": place(),
            "turn": reference("Of each hole and of the pattern"),
            "diameter": reference("Diameter, or width of a slot"),
            "slot": reference("Length over all"),
            "hexagon": reference("Across flats"),
            "made": { "enum": ["cut", "drill", "ream", "tap"] },
            "pilot": reference("Diameter that is cut now"),
            "for": text("What goes through"),
            "role": { "enum": ["eye", "bolt"], "description": "Whether the plate hangs on it by a pin, or is clamped by a bolt: for loads" },
            "when": reference("Only when this comes to yes"),
            "row": object(&["count", "pitch"], json!({ "count": reference("How many"), "pitch": reference("From hole to hole") })),
            "grid": object(&["columns", "rows", "pitch"], json!({ "columns": reference("Along x"), "rows": reference("Along y"), "pitch": place() })),
            "circle": object(&["count", "diameter"], json!({ "count": reference("How many"), "diameter": reference("Of the circle"), "start": reference("Angle of the first") })),
            "along": object(&["edge", "count", "inset", "ends"], json!({ "edge": text("Name of the edge"), "count": reference("How many"), "inset": reference("From the edge"), "ends": reference("From its ends") })),
            "corners": object(&["inset"], json!({ "inset": reference("From both sides") })),
            "mortise": object(&["width", "fit"], json!({ "width": reference("Of the tongue"), "fit": reference("Clearance on each side"), "count": reference("How many"), "span": reference("From the middle of the first to that of the last"), "plate": reference("Thickness of the plate with the tongues"), "relief": reference("Radius of the round about each corner") })),
        }),
    )
}

fn mark() -> Value {
    object(
        &[],
        json!({
            "text": text("Words; {name} is the part's name, other braces hold formulas"),
            "height": reference("Of a capital letter"),
            "at": place(),
            "turn": reference("Of the words"),
            "line": { "type": "array", "items": { "$ref": "#/$defs/point" }, "minItems": 2, "description": "From point to point" },
            "tick": text("The bend whose ends are marked"),
            "when": reference("Only when this comes to yes"),
        }),
    )
}
