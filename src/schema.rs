//! JSON Schemas: of recipe and job files, so that an editor completes and underlines, and
//! of the report, for programs that read it.
//!
//! They describe the same keys that [`crate::recipe`] and [`crate::job`] read; a test
//! compares every shipped file with them.

mod as_built;
mod bead;
mod bend;
mod changes;
mod face;
mod fit;
mod hole;
mod joint;
mod keys;
mod lighten;
mod load;
mod machine;
mod points;
mod report;
mod stock;
mod tube_end;

use crate::check;
use crate::schema::keys::DIALECT;
use crate::schema::keys::bend_rule;
use crate::schema::keys::count;
use crate::schema::keys::each;
use crate::schema::keys::flag;
use crate::schema::keys::formula;
use crate::schema::keys::list;
use crate::schema::keys::object;
use crate::schema::keys::place;
use crate::schema::keys::point;
use crate::schema::keys::reference;
use crate::schema::keys::table;
use crate::schema::keys::text;
use fit::captured;
use fit::clevis;
use fit::link;
use fit::near;
use hole::hole;
use load::load;
use points::named_point;
pub use report::report;
use serde_json::Value;
use serde_json::json;

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
            "copies": count("Pieces made for every one ordered"),
            "mirror": flag("Made left and right hand"),
            "grain": { "enum": ["free", "x", "y"], "description": "Direction of the first face that runs along the grain" },
            "bend_ticks": flag("Etch short ticks at the ends of every bend line, where there is metal for them; `false`: none, unless the job says `true`"),
            "inputs": table("What a job gives for a part, in order", "#/$defs/input"),
            "derived": { "type": "object", "description": "Formulas by name, in any order", "additionalProperties": { "$ref": "#/$defs/formula" } },
            "points": table("Points by name, by what was measured", "#/$defs/named_point"),
            "tape": reference("Likely error of one measurement of a point; 1 mm when left out"),
            "require": list("Conditions that must hold", "#/$defs/require"),
            "facts": table("Results for the report", "#/$defs/fact"),
            "clevis": { "$ref": "#/$defs/clevis", "description": "How it holds a rod end" },
            "captured": { "$ref": "#/$defs/captured", "description": "The nut it holds in the bore of a tube" },
            "tube": table("Tubes in space, out of which faces are cut", "#/$defs/space_tube"),
            "face": table("The flat pieces", "#/$defs/face"),
            "bend": table("The bends between them", "#/$defs/bend"),
            "cut_folded": list("Tubes cut out of the formed part", "#/$defs/cut_folded"),
        },
        "$defs": recipe_defs(),
    })
}

/// The definitions of the keys of a recipe.
fn recipe_defs() -> Value {
    json!({
        "formula": formula(),
        "point": point(),
        "named_point": { "anyOf": [ point(), points::space(), named_point() ] },
        "input": input(),
        "require": object(&["that", "else"], json!({
            "that": reference("Must be true"),
            "else": text("The message shown when it is not met"),
        })),
        "fact": object(&["value", "about"], json!({
            "value": reference("Its value"),
            "about": text("What it is"),
            "when": reference("Only when this is true"),
        })),
        "clevis": clevis(),
        "cut_folded": bend::cut_folded(),
        "captured": captured(),
        "face": face::face(),
        "bend": bend::bend(),
        "weld": face::weld(),
        "bevel": face::bevel(),
        "bead": bead::bead(),
        "step": face::step(),
        "lighten": lighten::lighten(),
        "corner": { "anyOf": [ { "$ref": "#/$defs/point" }, face::corner() ] },
        "belt_piece": face::belt_piece(),
        "hole": hole(),
        "obstacle": face::obstacle(),
        "space": points::space(),
        "space_tube": points::space_tube(),
        "plane": points::plane(),
        "mark": mark(),
    })
}

/// The schema of a job file.
pub fn job() -> Value {
    let mut job = without_machine();
    for more in [machine::job(), stock::job()] {
        if let (Some(Value::Object(all)), Value::Object(keys)) = (job.get_mut("properties"), more) {
            all.extend(keys);
        }
    }
    job
}

fn without_machine() -> Value {
    json!({
        "$schema": DIALECT,
        "title": "platewright job",
        "type": "object",
        "required": ["process"],
        "anyOf": [ { "required": ["sheet"] }, { "required": ["tube"] }, { "required": ["link"] } ],
        "additionalProperties": false,
        "properties": {
            "about": text("One sentence"),
            "units": { "enum": ["mm", "in"], "description": "Of drawings and printed lengths" },
            "process": text("Cutting process: a row of the `process` table"),
            "shop": text("A file of the shop's own tools, beside the job"),
            "paper": { "enum": ["A4", "Letter", "none"], "description": "Page size of drawings and templates; follows the units when left out" },
            "issue": text("The issue of its drawings, in the shop's own words"),
            "date": text("A date for the title block of its drawings"),
            "tolerance": { "enum": ["f", "m", "c", "v"], "description": "General tolerance of its drawings: a class of ISO 2768-1, m when left out" },
            "drawing": object(&[], json!({
                "owner": text("Owner of the drawings"),
                "number": text("Prefix of the drawing number, before the name of the part"),
                "drawn": text("Who made the drawings"),
                "checked": text("Who checked them"),
                "approved": text("Who approved them"),
                "projection": { "enum": ["first", "third"], "description": "The projection symbol of ISO 5456-2; follows the units when left out" },
            })),
            "coating": { "$ref": "#/$defs/coating", "description": "On every face: a length, or a row of the `coating` table" },
            "lift": { "$ref": "#/$defs/quantity", "description": "The heaviest piece one person may lift: 23 kg when left out" },
            "gap": { "$ref": "#/$defs/quantity", "description": "Between parts on a sheet" },
            "margin": { "$ref": "#/$defs/quantity", "description": "From the sheet edge" },
            "min_remnant": { "$ref": "#/$defs/quantity", "description": "Minimum width of a remnant worth keeping: 100 mm when left out" },
            "bridges": object(&["count", "width", "below"], json!({
                "count": count("How many a small piece gets"),
                "width": { "$ref": "#/$defs/quantity", "description": "Metal left in each" },
                "below": { "$ref": "#/$defs/quantity", "description": "Longer pieces get none" },
            })),
            "cutouts": object(&["min", "gap"], json!({
                "min": { "$ref": "#/$defs/quantity", "description": "Narrower cut-outs stay empty" },
                "gap": { "$ref": "#/$defs/quantity", "description": "From a part to the edge of its cut-out" },
            })),
            "names": { "type": "object", "description": "Values that are used by name: rail = \"42.4 x 2.6\"" },
            "bench_list": flag("Write `bench.csv`: what is done at the bench, in the order of the work"),
            "etch_names": flag("Etch the name of every part on its base face, where it has room for it"),
            "bend_ticks": flag("Etch short ticks at the ends of bend lines; when left out, of parts with more than one bend where the process marks as it cuts"),
            "common_cuts": flag("One cut separates pieces whose straight edges face each other; needs a gap of one kerf"),
            "sheet": list("The sheets in stock", "#/$defs/sheet"),
            "link": list("Links between rod ends", "#/$defs/link"),
            "part": list("Parts to make", "#/$defs/part"),
            "family": list("Families of parts to make", "#/$defs/family"),
            "tube": list("Tubes with coped ends", "#/$defs/tube"),
            "load": list("Loads on the parts", "#/$defs/load"),
            "as_built": list("What was measured on parts that were made", "#/$defs/as_built"),
            "bar": list("Stock lengths of tube", "#/$defs/bar"),
            "tube_end": list("Tube ends and their fittings", "#/$defs/tube_end"),
            "joint": list("Bolted joints: the holes that share a bolt, and what lies between", "#/$defs/joint"),
            "weldment": list("Assembly that is welded together and coated in one piece", "#/$defs/weldment"),
        },
        "$defs": job_defs(),
    })
}

/// The definitions of the keys of a job.
fn job_defs() -> Value {
    json!({
        "quantity": { "type": "string", "description": "A number with its unit: 12 mm, 1/4 in" },
        "coating": { "anyOf": [ { "$ref": "#/$defs/quantity" }, object(&["min", "max"], json!({
            "min": { "$ref": "#/$defs/quantity", "description": "Minimum thickness" },
            "max": { "$ref": "#/$defs/quantity", "description": "Maximum thickness" },
        })) ], "description": "Coating thickness on every face: a length, a row of the `coating` table, or the minimum and the maximum thickness" },
        "sheet": object(&["name", "material", "thickness"], json!({
            "name": text("Name by which parts refer to it"),
            "material": text("A row of the `material` table"),
            "thickness": text("A length or a gauge: 4 mm, 11 ga"),
            "bend_radius": { "$ref": "#/$defs/quantity", "description": "Usual inside radius" },
            "bend_method": bend_rule("How all bends of the sheet are computed"),
            "coating": { "$ref": "#/$defs/coating", "description": "Coating of the parts made \
             from it, in place of the job's" },
            "stock": list("Sizes and remnants in stock; those of the stock book when left out", "#/$defs/stock"),
        })),
        "place": stock::place(),
        "stock": stock::stock(),
        "shape": stock::shape(),
        "keep_out": stock::keep_out(),
        "link": link(),
        "near": near(),
        "formula": formula(),
        "named_point": { "anyOf": [ points::space(), named_point() ] },
        "obstacle": machine::obstacle(),
        "joint": joint::joint(),
        "tube_end": tube_end::tube_end(),
        "part": part(),
        "load": load(),
        "as_built": as_built::as_built(),
        "tube": tube(),
        "bar": object(&["length"], json!({
            "tube": text("A row of the `tube` table; all others when left out"),
            "length": { "$ref": "#/$defs/quantity", "description": "Of a bar, as it is bought" },
            "kerf": { "$ref": "#/$defs/quantity", "description": "Of the saw; 2 mm when left out" },
        })),
        "kit": object(&["name", "parts"], json!({
            "name": text("What it is called"),
            "quantity": { "type": "integer", "minimum": 1, "description": "How many there are; each has an equal share of the pieces of every part" },
            "parts": { "type": "array", "items": { "type": "string" }, "minItems": 1, "description": "Names of its parts; a * matches any letters" },
        })),
        "weldment": object(&["name", "size"], json!({
            "name": text("What it is called"),
            "size": { "type": "array", "items": { "$ref": "#/$defs/quantity" }, "minItems": 3, "maxItems": 3, "description": "Overall size, as coated" },
        })),
        "family": line(json!({
            "each": { "type": "object", "additionalProperties": { "type": "array", "minItems": 1 }, "description": "Lists of values; every combination is made" },
            "table": text("A CSV file with a line for each part"),
        })),
    })
}

/// A part of a job: with a recipe and a name, or from another part.
fn part() -> Value {
    let from = text("The part it is based on: FILE.toml#PART, or #PART in this job");
    let mut part = line(json!({ "from": from }));
    part["anyOf"] = json!([{ "required": part["required"] }, { "required": ["from"] }]);
    part["required"] = json!([]);
    part
}

/// A line of a job: a part, or with `more` keys a family.
fn line(more: Value) -> Value {
    let values = json!({ "type": "object", "description": "Values of the recipe's inputs" });
    let mut properties = json!({
        "recipe": text("Name of the recipe"),
        "name": text("Name of the part; {input} in a family's name becomes its value"),
        "quantity": count("How many are needed"),
        "clamped": { "$ref": "#/$defs/quantity", "description": "Thickness that its bolts clamp besides the plate" },
        "sheet": text("Name of a sheet"),
        "sheets": { "type": "object", "additionalProperties": { "type": "string" }, "description": "Sheets of plates that are not cut from `sheet`, by face" },
        "fill": { "anyOf": [ { "type": "boolean" }, { "type": "integer", "minimum": 0 } ], "description": "More of them where there is room on sheets that are needed anyway" },
        "priority": count("The higher, the earlier it is placed and cut"),
        "grain": { "enum": ["free", "x", "y"], "description": "In place of the grain of the recipe" },
        "orientations": { "enum": ["fixed", "half-turns", "quarter-turns", "any"], "description": "How its pieces may be rotated on the sheet" },
        "accept": { "type": "object", "additionalProperties": { "type": "string", "minLength": 1 }, "propertyNames": { "enum": check::WORKMANSHIP }, "description": "Stops of workmanship that are accepted, each with its reason" },
        "coating": { "$ref": "#/$defs/coating" },
        "mirror": flag("Whether it is made left and right hand, in place of the recipe's"),
        "may_flip": flag("Its pieces may be flipped over"),
        "bridges": count("How many bridges hold it, in place of what the job says"),
        "cutouts": flag("false keeps its cut-outs empty"),
        "given": values,
        "link": text("Name of a link whose rod end it holds"),
        "end": { "enum": [1, 2], "description": "Which end of that link" },
        "obstacles": list("Obstacles it must clear", "#/$defs/near"),
        "bends": { "type": "object", "description": "How bends are calculated, by name", "additionalProperties": bend_rule("DIN 6935, FAA, a K-factor, or what the shop has measured") },
        "open": { "type": "object", "description": "Inputs to choose: a list of values, a table, or a range { from, to, step }; `sheet` chooses among sheets" },
    });
    if let (Some(all), Value::Object(placed)) = (properties.as_object_mut(), machine::part()) {
        all.extend(placed);
    }
    if let (Some(all), Value::Object(more)) = (properties.as_object_mut(), more) {
        all.extend(more);
    }
    object(&["recipe", "name"], properties)
}

fn tube() -> Value {
    let quantity = |about: &str| json!({ "$ref": "#/$defs/quantity", "description": about });
    let met = json!({ "meets": text("The tube between points that it meets") });
    let end = json!({ "anyOf": [ { "const": "square" }, object(&["meets"], met), object(&["main"], json!({
        "main": text("The tube it meets: a row of the `tube` table, or its outside diameter"),
        "angle": quantity("Between the axes, at most 90 deg; 90 deg when left out"),
        "offset": quantity("Of this tube's axis to the right of the main's, the heel towards you"),
    })) ] });
    let mut tube = object(
        &["name"],
        json!({
            "name": text("Its name"),
            "quantity": count("How many"),
            "material": text("A row of the `material` table, for its mass"),
            "tube": text("A row of the `tube` table"),
            "outside": quantity("Outside diameter, when `tube` is left out"),
            "wall": quantity("Wall thickness, when `tube` is left out"),
            "length": quantity("From axis to axis of the tubes it meets, or to a square end"),
            "twist": quantity("Of the far end's heel, clockwise seen from the start"),
            "cut": { "enum": ["fitted", "square"], "description": "Whether the whole wall follows the main, or is cut square" },
            "start": end,
            "end": end,
        }),
    );
    fit::between(&mut tube, machine::tube(), "length");
    tube
}

fn input() -> Value {
    object(
        &["kind", "about"],
        json!({
            "kind": { "type": "string", "description": "length, angle, count, ratio, force, flag, choice, or a table: bolt, nut, rod-end, tube, material; the plural of any of them: a list; rows: a list of rows" },
            "default": { "anyOf": [ formula(), keys::rows() ] },
            "min": reference("Smallest value"),
            "max": reference("Largest value"),
            "count": { "anyOf": [ formula(), { "type": "integer", "minimum": 1 } ], "description": "How many values a list has" },
            "of": { "anyOf": [
                { "type": "array", "items": { "type": "string" }, "minItems": 1 },
                { "type": "object", "minProperties": 2, "additionalProperties": { "anyOf": [
                    { "type": "string" },
                    { "type": "array", "items": { "type": "string" }, "minItems": 1 },
                ] } },
            ], "description": "Words of a choice; of rows the kind of each value, by its name" },
            "about": text("What it is"),
        }),
    )
}

fn mark() -> Value {
    object(
        &[],
        json!({
            "text": text("Text; {name} is the part's name, other braces hold formulas"),
            "height": reference("Of a capital letter"),
            "at": place(),
            "rotate": reference("Of the text"),
            "line": { "type": "array", "items": { "$ref": "#/$defs/point" }, "minItems": 2, "description": "From point to point" },
            "tick": text("The bend whose ends are marked"),
            "each": each(),
            "when": reference("Only when this is true"),
        }),
    )
}
