//! Bends in bend sequence, and the strip that shows how each is made.

use crate::bend::Form;
use crate::drawings::strip;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Figure;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::report;
use crate::report::FormedRow;
use crate::report::MadeRow;
use crate::solve::Solved;

/// The bends by index, in the order of making; those without a place in it at the end.
fn in_order(solved: &Solved) -> Vec<usize> {
    let place = |bend: usize| solved.plan.as_ref().and_then(|plan| plan.number(bend));
    let number = |bend: usize| place(bend).unwrap_or(usize::MAX);
    let mut order: Vec<usize> = (0..solved.part.bends.len()).collect();
    order.sort_by_key(|bend| (number(*bend), *bend));
    order
}

fn degrees(angle: f64) -> String {
    format!("{}°", num::text(angle, 1))
}

fn direction(up: bool) -> &'static str {
    if up { "up" } else { "down" }
}

/// The label of each bend line of a drawing: its number, angle and direction. A rolled bend has a
/// line where it begins and one where it ends.
pub(super) fn labelled(job: &Job, solved: &Solved) -> Vec<(String, Edge)> {
    let label = |(number, bend): (usize, usize)| {
        let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
        let (number, up) = (number + 1, direction(drawn.up));
        let angle = degrees(drawn.bend.angle().degrees());
        match drawn.bend.form() {
            Form::Bent => vec![(format!("{number}: {angle} {up}"), strip.line)],
            form @ (Form::OpenHem | Form::ClosedHem) => {
                vec![(format!("{number}: {} {up}", form.words()), strip.line)]
            }
            Form::Rolled => {
                let [begins, ends] = strip.tangents;
                let radius = figure_text(job.units, drawn.bend.radius());
                vec![
                    (format!("{number}: roll R{radius} {angle} {up}"), begins),
                    (format!("{number}: roll ends"), ends),
                ]
            }
        }
    };
    in_order(solved).into_iter().enumerate().flat_map(label).collect()
}

/// The position of a line from the datum: its X or Y, else those of its ends.
fn line(job: &Job, [from, to]: [Point; 2]) -> String {
    let text = |mm: f64| figure_text(job.units, mm);
    if (from.x - to.x).abs() < 1e-6 {
        format!("X {}", text(from.x))
    } else if (from.y - to.y).abs() < 1e-6 {
        format!("Y {}", text(from.y))
    } else {
        let end = |p: Point| format!("X {}, Y {}", text(p.x), text(p.y));
        format!("diagonal, {} to {}", end(from), end(to))
    }
}

/// The table of bends, and the strip of them.
pub(super) fn table(job: &Job, solved: &Solved) -> Vec<Block> {
    if solved.part.bends.is_empty() {
        return Vec::new();
    }
    let place = to_origin(&solved.flat.region);
    let made = |bend| (bend, report::made(job, solved, bend, &place));
    let bends: Vec<(usize, Option<MadeRow>)> = in_order(solved).into_iter().map(made).collect();
    let numbered = || bends.iter().enumerate().map(|(i, (bend, made))| (i + 1, *bend, made));
    let rows = numbered()
        .map(|(number, bend, made)| row(job, solved, (number, bend), made.as_ref(), &place));
    let is_made = bends.iter().any(|(_, made)| made.is_some());
    let heading = if is_made { "Bends, in bend sequence" } else { "Bends" };
    let mut blocks = vec![tabled(heading, &BENDS, rows.collect())];
    let mut words = vec!["Bend line: centre of the bend."];
    if is_made {
        words.insert(0, "“Bend to” is the angle on the brake, before springback.");
    }
    if bends.iter().flat_map(|(_, made)| made).any(|made| made.sight_line_mm.is_some()) {
        words.push("Sight line: set it under the nose of the brake or the vice jaw.");
    }
    let lines = vec![words.join(" ")];
    blocks.push(Block::Lines { heading: String::new(), lines });
    blocks.extend(
        strip::rows(job, solved, STRIP)
            .into_iter()
            .map(|row| Block::Figures(vec![Figure { heading: String::new(), items: row.items }])),
    );
    blocks
}

fn tabled(heading: &str, heads: &[&str], rows: Vec<Vec<Cell>>) -> Block {
    let heads = heads.iter().map(|head| (*head).to_owned()).collect();
    Block::Table(Table { heading: heading.into(), heads, rows }.without_empty())
}

/// Heads of the table of bends.
const BENDS: [&str; 9] = [
    "no.",
    "bend",
    "bend angle",
    "bend to",
    "bend line",
    "inside radius",
    "V",
    "force in kN (short tons)",
    "min. flange",
];

/// Width of the bend strip, mm: as a column beside the flat.
const STRIP: f64 = 107.0;

/// One bend, by its number in the sequence and its index.
fn row(
    job: &Job,
    solved: &Solved,
    (number, bend): (usize, usize),
    made: Option<&MadeRow>,
    place: &Place,
) -> Vec<Cell> {
    let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
    let text = |mm: f64| figure_text(job.units, mm);
    let cell = |words: &dyn Fn(&MadeRow) -> Option<String>| {
        Cell::Words(made.and_then(words).unwrap_or_else(|| "–".into()))
    };
    let angle = drawn.bend.angle().degrees();
    let formed = report::formed(job, solved, bend, place);
    let bend_line = strip.line.moved(place);
    let mut position = line(job, [bend_line.from, bend_line.to]);
    if drawn.bend.form() == Form::Rolled {
        let [begins, ends] = strip.tangents.map(|edge| edge.moved(place));
        let ends_of = |edge: Edge| line(job, [edge.from, edge.to]);
        let developed = text(drawn.bend.allowance());
        position = format!(
            "rolled from {} to {}: developed length {developed}",
            ends_of(begins),
            ends_of(ends)
        );
    }
    position += &formed.as_ref().map_or_else(String::new, |formed| formed_words(job, formed));
    if let Some(sight) = made.and_then(|m| m.sight_line_mm) {
        let ends = sight.map(|[x, y]| Point::new(x, y));
        position += &format!("; sight line {}", line(job, ends));
    }
    vec![
        Cell::Words(number.to_string()),
        Cell::Words(drawn.name.clone()),
        Cell::Words(format!("{} {}", degrees(angle), direction(drawn.up))),
        match &formed {
            Some(formed) => Cell::Words(on_tool(drawn.bend.form(), formed)),
            None => cell(&|m| {
                Some(format!(
                    "{} ({} overbend)",
                    degrees(m.angle_under_load_deg),
                    degrees(m.overbend_deg)
                ))
            }),
        },
        Cell::Words(position),
        match made {
            Some(m) => Cell::Words(text(m.formed_radius_mm)),
            None => Cell::Words(text(drawn.bend.radius())),
        },
        cell(&|m| m.v_mm.map(text)),
        cell(&|m| {
            let (kn, tons) = (m.force_kn?, m.force_short_tons?);
            Some(format!("{} ({})", num::text(kn, 0), num::text(tons, 1)))
        }),
        cell(&|m| Some(text(m.min_flange_mm))),
    ]
}

/// Arc length, radius before springback and clear distance of a rolled bend or a hem.
fn formed_words(job: &Job, formed: &FormedRow) -> String {
    let text = |mm: f64| figure_text(job.units, mm);
    let mut words = format!("; arc length inside {}", text(formed.inside_arc_mm));
    if let Some(radius) = formed.radius_under_load_mm {
        words += &format!("; roll to about R{} before springback", text(radius));
    }
    if let Some(clear) = formed.clear_mm {
        words += &format!("; clear distance {}", text(clear));
    }
    words
}

/// How a rolled bend or a hem is made, and on what.
fn on_tool(form: Form, formed: &FormedRow) -> String {
    let how = match form {
        Form::Rolled => "rolled",
        Form::OpenHem => "acute bend, then closed over a spacer",
        _ => "acute bend, then flattened",
    };
    match &formed.tool {
        Some(tool) => format!("{how}: {tool}"),
        None => how.into(),
    }
}
