//! The machine from three sides: its bodies and points, and where they come nearest to each other,
//! with tables of both where the views leave room.
//!
//! The front view looks along Y with Z up, the plan against Z; the side view is to the right of the
//! front view and looks along X in first-angle projection, against it in third-angle. The plan is
//! below the front view in first-angle projection, above it in third-angle. A machine may face any
//! way, so the views are named by its axes, which each of them shows. Nothing is hidden.

mod on_page;
mod sheets;
mod view;

use crate::diag::Finding;
use crate::drawings::file::names_of_both;
use crate::drawings::file::pdf;
use crate::drawings::framed;
use crate::drawings::title;
use crate::drawings::wanted::Wanted;
use crate::geom::Bounds;
use crate::geom::Space;
use crate::job::Job;
use crate::machine::Body;
use crate::machine::Clearance;
use crate::machine::Shown;
use crate::num;
use crate::paper;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Format;
use crate::paper::Pages;
use crate::paper::Table;
use crate::paper::Unit;
use crate::paper::figure_text;
use crate::solve;
use crate::solve::Issue;
use crate::solve::Machine;
use crate::write::NamedFile;
#[cfg_attr(not(feature = "page"), allow(unused_imports, reason = "only the page shows it"))]
pub(crate) use on_page::machine_element;

/// The name of the drawing.
const NAME: &str = "machine";

/// Maximum number of clearances in the table. Our choice: larger ones are of no interest.
const MAX: usize = 40;

/// The drawing of the machine as PDF and SVG; empty if none is wanted.
///
/// # Errors
/// When it cannot be written.
pub(super) fn drawing(
    job: &Job,
    machine: &Machine,
    format: Format,
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    if !wanted.is(names_of_both("drawings", NAME)) {
        return Ok(Vec::new());
    }
    let pages = pages(job, machine, format);
    let Some(here) = machine.here() else { return Ok(Vec::new()) };
    let bytes = paper::svg(&pages).into_bytes();
    let svg = NamedFile { name: format!("drawings/{NAME}.svg"), bytes };
    Ok(vec![pdf(format!("drawings/{NAME}.pdf"), &pages, here)?, svg])
}

pub(super) fn pages(job: &Job, machine: &Machine, format: Format) -> Pages {
    let tables = [bodies(machine), clearances(job, machine)];
    let geometry = solve::digits(&shown(job, machine, &tables));
    let issue = Issue { letter: None, geometry };
    let fields = |scale: &str, of: [usize; 2]| title::of_machine(job, &issue, scale, of);
    let tables = tables.map(Block::Table);
    let best = sheets::best(job, machine, format, &|size| {
        framed::inside(size, &[paper::NOT_TO_SCALE], &fields)
    });
    let first = best.first(job, machine);
    let free = best.free();
    let width = free.first().map_or(best.inside.width() / 2.0, Bounds::width);
    let (beside, left) = paper::place(paper::units(&tables, width), &free);
    let mut items = first;
    items.extend(beside);
    let mut rest = best.behind(job, machine);
    let second = if rest.is_empty() { framed::NONE.to_owned() } else { best.scale() };
    rest.extend(continued(left));
    let first = (items, best.scale());
    framed::framed_with_view(&job.name, (best.size, best.inside), first, (rest, &second), &fields)
}

/// The rest of the tables, under the heading and the heads of the one it continues.
fn continued(left: Vec<Unit>) -> Vec<Unit> {
    // The head of a row has the heading of its table already.
    let head = left.first().and_then(Unit::head).map(Unit::leading);
    head.into_iter().chain(left).collect()
}

/// Everything the drawing shows, as it is hashed: the bodies with their lines, and the tables.
fn shown(job: &Job, machine: &Machine, tables: &[Table]) -> String {
    let point = |at: &Space| at.map(|mm| num::text(mm, 4)).join(" ");
    let line = |shown: &Shown| match shown {
        Shown::Bar(line, radius) => {
            let line: Vec<String> = line.iter().map(point).collect();
            format!("bar {}: {}", num::text(*radius, 4), line.join(", "))
        }
        Shown::Loop(line) => {
            let line: Vec<String> = line.iter().map(point).collect();
            format!("loop {}", line.join(", "))
        }
    };
    let lines = machine.bodies.iter().flat_map(|body| body.shown.iter().map(line));
    let points = job.points.at.iter().map(|(name, at)| format!("{name}: {}", point(at)));
    let nearest = machine.clearances.iter().flat_map(|of| of.at.iter().map(point));
    let of_tables = tables.iter().flat_map(|table| table.rows.iter().map(|row| written(row)));
    lines.chain(points).chain(nearest).chain(of_tables).collect::<Vec<_>>().join("\n")
}

/// A row of a table as it is hashed.
fn written(row: &[Cell]) -> String {
    let words = row.iter().map(|cell| match cell {
        Cell::Words(words) => words.as_str(),
        Cell::Symbol(_) => "",
    });
    words.collect::<Vec<_>>().join("; ")
}

/// The bodies by their numbers.
fn bodies(machine: &Machine) -> Table {
    let row = |(i, body): (usize, &Body)| {
        vec![Cell::Words((i + 1).to_string()), Cell::Words(body.words())]
    };
    Table {
        heading: "Bodies".into(),
        beside: 1,
        heads: ["no.", "body"].map(String::from).to_vec(),
        rows: machine.bodies.iter().enumerate().map(row).collect(),
    }
}

/// The clearances between bodies, the smallest first.
fn clearances(job: &Job, machine: &Machine) -> Table {
    let show = |mm: f64| figure_text(job.units, num::on_grid(mm));
    let unit = job.units.word();
    let row = |of: &Clearance| {
        let [one, other] = of.bodies.map(|i| (i + 1).to_string());
        let left = if of.is_contact() {
            "contact".to_owned()
        } else {
            show(job.units.clearance(of.distance))
        };
        [format!("{one} to {other}"), left, show(of.needed)].map(Cell::Words).to_vec()
    };
    let bolted = machine.bolted.iter().map(|of| {
        let [one, other] = of.bodies.map(|i| (i + 1).to_string());
        [format!("{one} to {other}"), of.words(), String::new()].map(Cell::Words).to_vec()
    });
    Table {
        heading: "Clearances".into(),
        beside: 1,
        heads: vec!["between".into(), format!("clearance, {unit}"), format!("required, {unit}")],
        rows: machine.clearances.iter().take(MAX).map(row).chain(bolted).collect(),
    }
}
