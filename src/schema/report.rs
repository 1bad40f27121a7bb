//! What a program may rely on in `report.json`. More keys may come; these stay.

use crate::recipe::BeadSection;
use crate::recipe::BevelSides;
use crate::recipe::Making;
use crate::recipe::Side;
use crate::schema::as_built;
use crate::schema::changes::changes;
use crate::schema::joint;
use crate::schema::keys::DIALECT;
use crate::schema::tube_end;
use serde_json::Value;
use serde_json::json;

/// The schema of a report. Lengths are mm, areas mm², masses kg, angles degrees.
pub fn report() -> Value {
    json!({
        "$schema": DIALECT,
        "title": "platewright report",
        "type": "object",
        "required": ["format", "caution", "job", "units", "process", "totals", "parts", "sheets", "not_placed", "findings", "files"],
        "properties": {
            "format": { "const": "platewright report 1" },
            "caution": { "type": "string", "minLength": 20 },
            "job": name(),
            "about": text(),
            "units": { "enum": ["mm", "in"], "description": "Of the drawings; the numbers here are always mm" },
            "process": name(),
            "totals": {
                "type": "object",
                "required": ["parts", "pieces", "placed", "sheets", "yield_percent", "mass_kg", "cut_length_mm", "pierces"],
                "properties": {
                    "parts": whole(), "pieces": whole(), "placed": whole(), "sheets": whole(), "pierces": whole(),
                    "yield_percent": { "type": "number", "minimum": 0, "maximum": 100 },
                    "mass_kg": amount(), "cut_length_mm": amount(), "saved_by_common_cuts_mm": amount(),
                },
            },
            "parts": { "type": "array", "items": { "$ref": "#/$defs/part" } },
            "sheets": { "type": "array", "items": { "$ref": "#/$defs/sheet" } },
            "not_placed": { "type": "array", "items": {
                "type": "object", "required": ["part", "quantity"], "properties": { "part": name(), "quantity": whole() },
            } },
            "stopped": { "type": "array", "items": name(), "minItems": 1, "description": "Parts of the job that are not made: see the stops among the findings" },
            "bench": { "type": "array", "minItems": 1, "description": "What is done at the bench, in the order of the work", "items": {
                "type": "object", "required": ["stage", "of", "quantity", "what"],
                "properties": { "stage": name(), "of": name(), "quantity": whole(), "what": name() },
            } },
            "clearances": clearances(), "bolted_together": joint::bolted_together(), "joints": joint::report(), "tube_ends": tube_end::report(), "as_built": as_built::report(),
            "findings": { "type": "array", "items": { "$ref": "#/$defs/finding" } },
            "changes": changes(),
            "files": { "type": "array", "items": name(), "uniqueItems": true },
        },
        "$defs": { "part": part(), "bend": bend(), "sheet": sheet(), "finding": finding() },
    })
}

fn clearances() -> Value {
    let place =
        json!({ "type": "array", "items": { "type": "number" }, "minItems": 3, "maxItems": 3 });
    json!({ "type": "array", "minItems": 1, "description": "Clearances between the bodies of the machine, tightest first", "items": {
        "type": "object", "required": ["between", "distance_mm", "needed_mm", "at_mm", "is_short"],
        "properties": {
            "between": { "type": "array", "items": name(), "minItems": 2, "maxItems": 2 },
            "distance_mm": amount(), "needed_mm": amount(),
            "at_mm": { "type": "array", "items": place, "minItems": 2, "maxItems": 2, "description": "Points of closest approach, in machine coordinates" },
            "is_short": { "type": "boolean" },
        },
    } })
}

fn part() -> Value {
    json!({
        "type": "object",
        "required": ["name", "recipe", "sheet", "material", "thickness_mm", "pieces", "size_mm", "area_mm2", "cut_length_mm", "mass_kg", "geometry", "holes", "pierces", "marks", "bends", "holes_to_finish", "welds", "files"],
        "properties": {
            "name": name(), "recipe": name(), "sheet": name(), "material": name(),
            "thickness_mm": size(),
            "issue": { "type": "string", "minLength": 1, "description": "As the job gives it, or \
             a letter that goes up when the part changes" },
            "geometry": { "type": "string", "pattern": "^[0-9a-f]{7}$", "description": "The first digits of the SHA-256 of geometry, welds, metal and thickness" },
            "pieces": whole(), "holes": whole(), "pierces": whole(), "marks": whole(),
            "size_mm": pair(), "area_mm2": amount(), "cut_length_mm": amount(), "mass_kg": amount(),
            "bends": { "type": "array", "items": { "$ref": "#/$defs/bend" } },
            "corners": { "type": "array", "minItems": 1, "items": {
                "type": "object",
                "required": ["bends", "specified_mm", "min_mm", "max_mm"],
                "description": "Clear distance of the two flanges at a corner, measured on the formed part",
                "properties": {
                    "bends": { "type": "array", "items": name(), "minItems": 2, "maxItems": 2 },
                    "specified_mm": amount(), "min_mm": amount(), "max_mm": amount(),
                },
            } },
            "solid": {
                "type": "object",
                "required": ["file", "volume_mm3", "planes", "cylinders", "cones", "tori", "approximate"],
                "properties": {
                    "file": name(), "volume_mm3": amount(), "planes": whole(), "cylinders": whole(), "cones": whole(), "tori": whole(),
                    "approximate": { "type": "boolean", "description": "An edge over a bend is a chain of cubics" },
                },
            },
            "holes_to_finish": { "type": "array", "items": hole_to_finish() },
            "welds": { "type": "array", "items": weld() },
            "bevels": { "type": "array", "minItems": 1, "items": bevel() },
            "beads": { "type": "array", "minItems": 1, "items": bead() },
            "files": { "type": "array", "items": name(), "minItems": 2 },
        },
    })
}

fn hole_to_finish() -> Value {
    json!({
        "type": "object",
        "required": ["hole", "made", "as_cut", "finish", "pilot_mm", "diameter_mm"],
        "properties": {
            "hole": name(), "as_cut": name(), "finish": name(),
            "made": { "enum": ([Making::Cut, Making::Drill, Making::Ream, Making::Tap].map(Making::word)) },
            "pilot_mm": { "type": "number", "exclusiveMinimum": 0, "description": "As it is cut" },
            "diameter_mm": { "type": "number", "exclusiveMinimum": 0, "description": "As it is finished" },
            "recess": {
                "type": "object",
                "required": ["kind", "diameter_mm", "depth_mm", "side"],
                "properties": {
                    "kind": { "enum": ["countersink", "counterbore"] },
                    "angle_deg": { "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 180, "description": "The whole angle of a countersink" },
                    "diameter_mm": size(),
                    "depth_mm": size(),
                    "side": { "enum": ([Side::Up, Side::Down].map(Side::word)) },
                },
            },
            "flare": {
                "type": "object",
                "required": ["outside_mm", "height_mm", "angle_deg", "side", "in_solid"],
                "properties": {
                    "outside_mm": size(),
                    "height_mm": size(),
                    "angle_deg": { "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 90, "description": "Between the lip and the sheet" },
                    "radius_mm": { "type": "number", "exclusiveMinimum": 0, "description": "Inside, at its foot; none where that is sharp" },
                    "side": { "enum": ([Side::Up, Side::Down].map(Side::word)) },
                    "in_solid": { "type": "boolean", "description": "Whether the STEP file shows it" },
                },
            },
        },
    })
}

fn weld() -> Value {
    json!({
        "type": "object",
        "required": ["face", "edge", "length_mm", "sides", "all_round", "note"],
        "properties": {
            "face": name(), "edge": name(), "length_mm": amount(),
            "leg_mm": size(),
            "sides": { "type": "integer", "minimum": 1, "maximum": 2 },
            "all_round": { "type": "boolean" }, "note": text(),
        },
    })
}

fn bevel() -> Value {
    json!({
        "type": "object",
        "required": ["edge", "length_mm", "angle_deg", "land_mm", "depth_mm", "sides", "in_solid"],
        "properties": {
            "edge": name(), "length_mm": amount(),
            "angle_deg": { "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 90, "description": "Between the bevel and the square edge" },
            "land_mm": amount(),
            "depth_mm": { "type": "number", "exclusiveMinimum": 0, "description": "Of each side" },
            "sides": { "enum": ([BevelSides::Up, BevelSides::Down, BevelSides::Both].map(BevelSides::word)) },
            "in_solid": { "type": "boolean", "description": "Whether the STEP file shows it" },
        },
    })
}

fn bead() -> Value {
    json!({
        "type": "object",
        "required": ["name", "length_mm", "width_mm", "depth_mm", "section", "side", "in_solid"],
        "properties": {
            "name": name(), "length_mm": amount(), "width_mm": amount(), "depth_mm": amount(),
            "section": { "enum": ([BeadSection::Round, BeadSection::V].map(BeadSection::word)) },
            "side": { "enum": ([Side::Up, Side::Down].map(Side::word)) },
            "in_solid": { "type": "boolean", "description": "Whether the STEP file shows it" },
        },
    })
}

fn bend() -> Value {
    json!({
        "type": "object",
        "required": ["name", "direction", "angle_deg", "inside_radius_mm", "method", "k", "allowance_mm"],
        "properties": {
            "name": name(), "direction": { "enum": ["up", "down"] },
            "angle_deg": { "type": "number", "minimum": 0, "maximum": 355 },
            "inside_radius_mm": amount(), "method": name(), "k": number(),
            "allowance_mm": amount(), "deduction_mm": number(),
            "formed": formed(),
            "made": made(),
            "step": step(),
        },
    })
}

/// How a bend is handled at its step.
fn step() -> Value {
    json!({
        "type": "object",
        "description": "How it is handled; without a shop in the order of the recipe, but rolled bends and hems first, and without tools",
        "required": ["sequence", "hold", "to_operator", "top", "upright", "action"],
        "properties": {
            "sequence": { "type": "integer", "minimum": 1 },
            "hold": { "type": "string", "description": "The face that is clamped, or is against the back gauge of a press brake" },
            "to_operator": { "type": "string", "description": "The face on the other side of the bend" },
            "top": { "enum": ["top side", "bottom side"], "description": "The side of the sheet that is up; in a vice, towards the operator" },
            "upright": { "type": "boolean", "description": "Whether it is clamped upright, in a vice" },
            "action": {
                "type": "object",
                "required": ["kind"],
                "description": "How the part is turned from the bend before: `lay` for the first bend, or where another face lies level; `move` is flipped over where `flip` is given, then rotated, anticlockwise from above",
                "properties": {
                    "kind": { "enum": ["lay", "move"] },
                    "flip": { "enum": ["left for right", "front for back"] },
                    "rotate_deg": number(),
                },
            },
            "gauge": gauge("What the bend line is set from; missing where nothing parallel to it can be reached"),
            "leg_mm": { "type": "number", "description": "Outside leg from where it ends to the bend once that is made: to the mould line up to 90°, beyond that to the outside of the bend. It ends at the gauge edge, or at `leg_to`" },
            "leg_to": gauge("Where the leg ends, where that is not the gauge edge: that one reaches past the bend line, or there is none"),
            "sight_mm": { "type": "number", "description": "From the bend line to the sight line, towards the moving side" },
            "bend_to_deg": { "type": "array", "minItems": 2, "maxItems": 2, "items": number(), "description": "Angles on the brake for the softest and the hardest sheet of the grade" },
            "from_left_mm": { "type": "array", "items": number(), "description": "Where each tool of `made.sections` begins, from the left end of the line as the operator sees it" },
        },
    })
}

/// An edge that a bend line is measured from.
fn gauge(what: &str) -> Value {
    json!({
        "type": "object",
        "required": ["from", "face", "distance_mm", "side", "covered", "alone", "line_mm"],
        "description": what,
        "properties": {
            "from": { "enum": ["edge", "flange", "tip"], "description": "A free edge, the outside of a flange already bent, the tip of a round edge" },
            "face": name(), "bend": name(),
            "distance_mm": { "type": "number", "exclusiveMinimum": 0, "description": "To the centre of the bend" },
            "side": { "enum": ["held", "moving"] },
            "covered": { "type": "boolean", "description": "Whether the tools cover it once they are closed" },
            "alone": { "type": "boolean", "description": "Whether no gauge bar can rest against it: it lies beside the bend, or other metal reaches out further straight behind the bend" },
            "line_mm": line(),
        },
    })
}

/// How a rolled bend or a hem is formed.
fn formed() -> Value {
    json!({
        "type": "object",
        "required": ["form", "tangent_lines_mm", "inside_arc_mm"],
        "properties": {
            "form": { "enum": ["rolled", "open-hem", "closed-hem"] },
            "sequence": { "type": "integer", "minimum": 1 }, "tool": name(),
            "tangent_lines_mm": { "type": "array", "minItems": 2, "maxItems": 2, "items": line() },
            "inside_arc_mm": amount(), "radius_under_load_mm": amount(),
            "clear_mm": { "type": "number", "description": "Of an eye to the face it begins on, of a hem between its sides" },
        },
    })
}

/// How a bend is made on the tools of the shop.
fn made() -> Value {
    json!({
        "type": "object",
        "required": ["sequence", "tool", "clamp", "top", "angle_under_load_deg", "clearance_mm"],
        "properties": {
            "sequence": { "type": "integer", "minimum": 1 },
            "tool": name(), "clamp": name(), "top": { "enum": ["top side", "bottom side"] },
            "v_mm": amount(), "force_kn": amount(),
            "pull_n": { "type": "number", "description": "What a person pulls, where it is bent by hand" },
            "lever_mm": { "type": "number", "description": "From the bend to the hands" },
            "moment_nm": amount(),
            "angle_under_load_deg": amount(), "overbend_deg": amount(),
            "clearance_mm": {
                "type": "number", "minimum": 0,
                "description": "Minimum distance of the part from tools it does not touch; it may be more where there is no `nearest`; without what is `not_judged`",
            },
            "not_judged": { "type": "array", "minItems": 1, "items": name(), "description": "What of the clearance is not judged" },
            "nearest": {
                "type": "object", "required": ["part", "tool", "angle_deg"],
                "properties": { "part": name(), "tool": name(), "angle_deg": amount() },
            },
            "sections": { "type": "array", "minItems": 1, "items": {
                "type": "object",
                "required": ["tool", "lengths_mm", "begin_mm", "line_mm"],
                "description": "Sections of one tool side by side; tools without an entry are as long as the brake",
                "properties": {
                    "tool": { "enum": ["punch", "die", "fingers"] },
                    "lengths_mm": { "type": "array", "minItems": 1, "items": size() },
                    "begin_mm": { "type": "number", "minimum": 0, "description": "From the left end of the bend line, or the lower end of a vertical one" },
                    "line_mm": line(),
                },
            } },
        },
    })
}

fn sheet() -> Value {
    json!({
        "type": "object",
        "required": ["file", "stock", "size_mm", "cut_length_mm", "pierces", "placed"],
        "properties": {
            "file": name(), "stock": name(), "size_mm": pair(), "cut_length_mm": amount(), "pierces": whole(),
            "area_mm2": amount(), "keep_out_mm2": amount(),
            "book": { "type": "integer", "minimum": 1, "description": "Its number in the stock book, if it is from the book" },
            "below_heat_spacing": { "type": "integer", "minimum": 1, "description": "Pieces nearer to the one cut before than `heat_spacing`" },
            "locked": { "type": "integer", "minimum": 1, "description": "How many of its pieces are locked where an earlier layout had them" },
            "kits": { "type": "array", "items": name(), "minItems": 1, "description": "The kits of which it has pieces" },
            "common_cuts": {
                "type": "object",
                "required": ["cuts", "length_mm", "saved_mm", "saved_pierces"],
                "properties": { "cuts": whole(), "length_mm": amount(), "saved_mm": amount(), "saved_pierces": { "type": "integer", "description": "Below 0 where there are more of them" } },
            },
            "placed": { "type": "array", "items": {
                "type": "object", "required": ["part", "orientation_deg", "x_mm", "y_mm"],
                "description": "A piece, flipped over if it says so, rotated about its file's origin, then shifted",
                "properties": { "part": name(), "orientation_deg": number(), "x_mm": number(), "y_mm": number(), "mirrored": { "const": true } },
            } },
        },
    })
}

fn finding() -> Value {
    json!({
        "type": "object",
        "required": ["severity", "code", "headline", "notes"],
        "properties": {
            "severity": { "enum": ["caution", "stop"] },
            "code": { "type": "string", "pattern": "^[a-z][a-z-]*$" },
            "headline": name(), "place": text(), "help": text(),
            "parts": { "type": "array", "items": name(), "minItems": 1, "description": "The parts it is about" },
            "features": { "type": "array", "minItems": 1, "items": feature(), "description": "Features of these parts" },
            "others": { "type": "array", "minItems": 1, "items": {
                "type": "object", "required": ["kind", "name"],
                "properties": { "kind": { "enum": ["load", "sheet", "link", "tube"] }, "name": name() },
            } },
            "repeats": { "type": "integer", "minimum": 1, "description": "Number of further findings of the same kind" },
            "notes": { "type": "array", "items": text() },
        },
    })
}

fn feature() -> Value {
    json!({
        "type": "object",
        "required": ["kind", "part"],
        "properties": {
            "kind": { "enum": ["hole", "opening", "bend", "face", "edge", "mark", "place"] },
            "part": name(), "face": name(), "name": name(), "number": whole(),
            "at_mm": pair(),
        },
    })
}

fn number() -> Value {
    json!({ "type": "number" })
}

/// A number of more than 0.
fn size() -> Value {
    json!({ "type": "number", "exclusiveMinimum": 0 })
}

/// Two places on the flat.
fn line() -> Value {
    json!({ "type": "array", "minItems": 2, "maxItems": 2, "items": { "type": "array", "items": number(), "minItems": 2, "maxItems": 2 } })
}

/// A number, 0 or more.
fn amount() -> Value {
    json!({ "type": "number", "minimum": 0 })
}

/// A whole number, 0 or more.
fn whole() -> Value {
    json!({ "type": "integer", "minimum": 0 })
}

fn text() -> Value {
    json!({ "type": "string" })
}

/// A text that is not empty.
fn name() -> Value {
    json!({ "type": "string", "minLength": 1 })
}

/// Two numbers, 0 or more.
fn pair() -> Value {
    json!({ "type": "array", "items": amount(), "minItems": 2, "maxItems": 2 })
}
