//! The house as one picture, drawn from the plan: `parts/pictures/house.svg`.
//!
//! The rooms are drawn as steps. Left of its square, a row has a dot below the square of each room
//! that it imports from. `PLATEWRIGHT_BLESS=1 cargo test --test all picture::` draws it again.

#![expect(clippy::disallowed_methods, reason = "the switch to write anew is in the environment")]

use crate::house::floor_plan::PLAN;
use std::fmt::Write;
use std::fs;
use std::path::Path;

/// A floor: its name, its colour, and its rooms with their tasks.
type Floor = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

/// All floors from the first to the last.
const FLOORS: &[Floor] = &[
    (
        "numbers, shapes, bends",
        "#56687a",
        &[
            ("num", "numbers with the same bits on every machine; angles"),
            ("diag", "findings, and the places in a text they point to"),
            ("quantity", "a value with its dimension, read and printed"),
            ("geom", "points, lines, true arcs, outlines, regions, exact distances"),
            ("sketch", "what a drawing from elsewhere shows; curves as arcs"),
            ("dxf_in", "an outline file in DXF, either form"),
            ("svg_in", "an outline file in SVG, at its scale"),
            ("outline_in", "what of it is cut, marked, bent; what a file may mean"),
            ("bend", "bend allowance, bend deduction, outside setback of one bend"),
            ("brake", "force, V, radius, springback: the formulas of the charts"),
        ],
    ),
    (
        "what is typed",
        "#1f7a80",
        &[
            ("document", "TOML as a tree that knows its places; renamed keys"),
            ("table", "bolts, nuts, metals, gauges, processes: CSV compiled in"),
            ("entry", "quantities and rows as jobs and shop files give them"),
            ("formula", "text to tree to value, with dimensions"),
            ("recipe", "a family of parts as typed; its values worked out"),
            ("shop", "the shop file: brakes, tools, measured bends, rates"),
        ],
    ),
    (
        "one part",
        "#3f7d3a",
        &[
            ("part", "values to faces joined by bends; holes, welds, marks"),
            ("flat", "the flat pattern: all faces in one plane"),
            ("fold", "the flat bent again: each face and bend in space"),
            ("solid", "the formed part as one closed shell"),
            ("machine", "bodies in one frame, and how near they come to each other"),
            ("sequence", "the bend sequence for the shop's tools"),
        ],
    ),
    (
        "will it do",
        "#a8641b",
        &[
            ("strength", "loads followed to what holds the part; what each allows"),
            ("link", "a tube with a rod end in each end"),
            ("fit", "clearance of rod ends and captured nuts"),
            ("cope", "tube ends coped to other tubes"),
            ("joint", "what shares a bolt; its grip and length, how holes line up"),
            ("check", "one file per check; its head is what explain prints"),
        ],
    ),
    (
        "sheets, files, pages",
        "#9a3f46",
        &[
            ("nest", "blanks onto sheets; knows nothing of parts"),
            ("route", "cutting sequence, common cuts, bridges"),
            ("write", "DXF, SVG, STEP, CSV, and DXF read back"),
            ("view", "formed parts and sets as they are seen"),
            ("paper", "blocks, tables, drawings onto pages: PDF, SVG"),
        ],
    ),
    (
        "a job",
        "#74489a",
        &[
            ("history", "what was made and sent before, as text; letters of issues"),
            ("book", "sheets and remnants of the shop, as values and lists; what was cut"),
            ("job", "what was asked, as typed values; families expanded"),
            ("solve", "every line to a checked part"),
            ("as_built", "what was measured on made parts, and what caused it"),
            ("place", "checked parts onto sheets; what a job will take"),
            ("bill", "bolts, nuts, links, tubes, prices"),
            ("draw", "parts, sheets, tube wraps as drawings"),
            ("changes", "what differs from what was made or sent, by part"),
            ("report", "what came of a job, as plain rows"),
        ],
    ),
    (
        "what is handed out",
        "#2f5da8",
        &[
            ("lists", "CSV lists"),
            ("drawings", "shop drawings, templates, pictures of sheets"),
            ("package", "order packages"),
            ("report_page", "report.html"),
            ("make", "all files, read back"),
            ("workshop", "the front door of the library"),
            ("schema", "JSON Schemas of all that is read"),
            ("serve", "the page: a job seen, changed and made in the browser"),
            ("cli", "disk, terminal, exit codes"),
        ],
    ),
];

/// Between two rows and two columns.
const ROW: f64 = 17.0;
const COLUMN: f64 = 13.0;
/// Before the first column, and above the first row.
const LEFT: f64 = 26.0;
const TOP: f64 = 44.0;
/// More room above the name of a floor.
const LANDING: f64 = 23.0;
/// The whole picture.
const WIDTH: f64 = 900.0;

/// A room as it is drawn.
struct Step {
    name: &'static str,
    does: &'static str,
    colour: &'static str,
    /// The middle of its square.
    x: f64,
    y: f64,
}

fn steps() -> Vec<Step> {
    let mut steps = Vec::new();
    for (floor, (_, colour, rooms)) in FLOORS.iter().enumerate() {
        for (name, does) in *rooms {
            let x = LEFT + COLUMN * steps.len() as f64;
            let y = TOP + ROW * steps.len() as f64 + LANDING * floor as f64;
            steps.push(Step { name, does, colour, x, y });
        }
    }
    steps
}

const STYLE: &str = "text { font: 12.5px system-ui, 'Segoe UI', 'Helvetica Neue', Arial, sans-serif; \
     fill: #3b424a; }\n.room { font-weight: 600; fill: #14181c; }\n\
     .floor { font-size: 11px; font-weight: 600; letter-spacing: 0.08em; text-transform: uppercase; }\n\
     .title { font-size: 21px; font-weight: 600; fill: #14181c; }\n\
     .guide { fill: none; stroke: #d9d6cf; stroke-width: 1; }";

fn picture() -> String {
    let steps = steps();
    let height = steps.last().map_or(0.0, |step| step.y) + 24.0;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" \
         width=\"{WIDTH}\" height=\"{height}\" role=\"img\">\n\
         <title>The rooms of the crate and what each imports</title>\n<style>\n{STYLE}\n</style>\n\
         <rect width=\"{WIDTH}\" height=\"{height}\" rx=\"10\" fill=\"#fbfaf7\"/>\n"
    );
    let of = |name: &str| steps.iter().find(|step| step.name == name);
    let imports = |room: &str| {
        let row = PLAN.iter().find(|(name, _)| *name == room);
        row.into_iter().flat_map(|(_, may)| may.iter().filter_map(|name| of(name)))
    };
    // Guides below all dots: down from a room to its last importer, across from its imports.
    for step in &steps {
        let last = steps.iter().rfind(|s| imports(s.name).any(|used| used.name == step.name));
        let first = imports(step.name).next();
        let down = last.map_or(step.y, |last| last.y);
        let from = first.map_or(step.x, |first| first.x);
        let (x, y) = (step.x, step.y);
        let _ = writeln!(svg, "<path class=\"guide\" d=\"M{from} {y}H{x}M{x} {y}V{down}\"/>");
    }
    for step in &steps {
        for used in imports(step.name) {
            let (x, y, colour) = (used.x, step.y, used.colour);
            let _ = writeln!(svg, "<circle cx=\"{x}\" cy=\"{y}\" r=\"3.4\" fill=\"{colour}\"/>");
        }
        svg += &room(step);
    }
    let mut first = 0;
    for (name, colour, rooms) in FLOORS {
        let (x, y) = (steps[first].x - 5.0, steps[first].y - ROW + 1.0);
        let _ = writeln!(
            svg,
            "<text class=\"floor\" x=\"{x}\" y=\"{y}\" style=\"fill: {colour}\">{name}</text>"
        );
        first += rooms.len();
    }
    svg += &legend();
    svg += "</svg>\n";
    svg
}

/// The square of a room, its name and what it does.
fn room(step: &Step) -> String {
    let Step { name, does, colour, x, y } = step;
    let (left, top, text, base) = (x - 5.0, y - 5.0, x + 11.0, y + 4.3);
    format!(
        "<rect x=\"{left}\" y=\"{top}\" width=\"10\" height=\"10\" rx=\"2.2\" fill=\"{colour}\"/>\n\
         <text x=\"{text}\" y=\"{base}\"><tspan class=\"room\">{name}</tspan>\
         <tspan dx=\"8\">{does}</tspan></text>\n"
    )
}

/// What the picture shows, in its empty corner.
fn legend() -> String {
    let x = WIDTH - 304.0;
    let lines = [
        "Rooms stand in the order in which data flows.",
        "A dot: the room of this row imports from",
        "the room whose square stands above it.",
        "No room imports from a later one, and no",
        "files import one another in a ring.",
    ];
    let mut svg = format!("<text class=\"title\" x=\"{x}\" y=\"52\">The house</text>\n");
    for (i, line) in lines.iter().enumerate() {
        let y = 78.0 + 18.0 * i as f64;
        let _ = writeln!(svg, "<text x=\"{x}\" y=\"{y}\">{line}</text>");
    }
    svg
}

#[test]
fn the_picture_shows_every_room_in_its_order() {
    let drawn: Vec<&str> = steps().iter().map(|step| step.name).collect();
    let planned: Vec<&str> = PLAN.iter().map(|(name, _)| *name).collect();
    assert_eq!(drawn, planned);
}

#[test]
fn the_picture_is_of_today() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/pictures/house.svg");
    let is = picture();
    if std::env::var("PLATEWRIGHT_BLESS").is_ok_and(|v| v == "1") {
        fs::write(&path, &is).expect("the folder of pictures is there");
    }
    let was = fs::read_to_string(&path).unwrap_or_default();
    assert!(was == is, "house.svg is not of today: run with PLATEWRIGHT_BLESS=1 and look");
}
