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
use crate::job::Job;
use crate::machine::Body;
use crate::machine::Clearance;
use crate::num;
use crate::paper;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Format;
use crate::paper::Pages;
use crate::paper::Table;
use crate::paper::Unit;
use crate::paper::figure_text;
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
    let fields = |scale: &str, of: [usize; 2]| title::of_machine(job, scale, of);
    let best = sheets::best(job, machine, format, &|size| {
        framed::inside(size, &[paper::NOT_TO_SCALE], &fields)
    });
    let tables = [bodies(machine), clearances(job, machine)];
    let first = best.first(job, machine);
    let free = best.free();
    let width = free.first().map_or(best.inside.width() / 2.0, Bounds::width);
    let (beside, left) = paper::place(paper::units(&tables, width), &free);
    let mut items = first;
    items.extend(beside);
    let mut rest = best.behind(job, machine);
    let second = if rest.is_empty() { framed::NONE.to_owned() } else { best.scale() };
    rest.extend(continued(left, &tables, width));
    let first = (items, best.scale());
    framed::framed_with_view(&job.name, (best.size, best.inside), first, (rest, &second), &fields)
}

/// The rest of the tables, under the heading and the heads of the one it continues.
fn continued(left: Vec<Unit>, tables: &[Block], width: f64) -> Vec<Unit> {
    let Some(head) = left.first().and_then(Unit::head).map(Unit::leading) else { return left };
    let later = |i: usize| paper::units(&tables[i..], width).len();
    let began = (0..tables.len()).rev().find(|i| later(*i) >= left.len());
    let heading = match began.map(|i| &tables[i]) {
        Some(Block::Table(table)) => format!("{}, continued", table.heading),
        _ => return left,
    };
    let mut units = Unit::heading(&heading, width);
    units.push(head);
    units.extend(left);
    units
}

/// The bodies by their numbers.
fn bodies(machine: &Machine) -> Block {
    let row = |(i, body): (usize, &Body)| {
        vec![Cell::Words((i + 1).to_string()), Cell::Words(body.words())]
    };
    Block::Table(Table {
        heading: "Bodies".into(),
        beside: 1,
        heads: ["no.", "body"].map(String::from).to_vec(),
        rows: machine.bodies.iter().enumerate().map(row).collect(),
    })
}

/// The clearances between bodies, the smallest first.
fn clearances(job: &Job, machine: &Machine) -> Block {
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
    Block::Table(Table {
        heading: "Clearances".into(),
        beside: 1,
        heads: vec!["between".into(), format!("clearance, {unit}"), format!("required, {unit}")],
        rows: machine.clearances.iter().take(MAX).map(row).chain(bolted).collect(),
    })
}
