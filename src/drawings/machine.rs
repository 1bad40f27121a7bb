//! The machine from three sides: its bodies and points, and where they come nearest to each other.
//!
//! The front view looks along y with z up, the plan down along z; the side view stands at the right
//! of the front view, from the left in first-angle projection and from the right in third-angle. The
//! plan stands below the front view in first-angle projection, above it in third-angle. Nothing is
//! hidden.

mod view;

use crate::diag::Finding;
use crate::drawings::file::names_of_both;
use crate::drawings::file::pdf;
use crate::drawings::framed;
use crate::drawings::framed::heading;
use crate::drawings::layout::HEADING;
use crate::drawings::title;
use crate::drawings::wanted::Wanted;
use crate::geom::Bounds;
use crate::geom::Vec2;
use crate::job::Job;
use crate::machine::Body;
use crate::machine::Clearance;
use crate::num;
use crate::paper;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Format;
use crate::paper::Item;
use crate::paper::Pages;
use crate::paper::STANDARD_SCALES;
use crate::paper::Table;
use crate::paper::scale_text;
use crate::solve::Machine;
use crate::write::NamedFile;
use view::View;

/// The name of the drawing.
const NAME: &str = "machine";

/// Between two views and round all of them, mm.
const GAP: f64 = 12.0;

/// Most clearances in the table. Our choice: what is further apart is of no interest.
const MOST: usize = 40;

/// The drawing of the machine as PDF and SVG; nothing where none is wanted.
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

fn pages(job: &Job, machine: &Machine, format: Format) -> Pages {
    let [short, long] = format.size();
    let size = [long, short];
    let fields = |scale: &str, of: [usize; 2]| title::of_machine(job, scale, of);
    let inside = framed::inside(size, &[paper::NOT_TO_SCALE], &fields);
    let mut items = heading(inside, "Machine");
    let room = Bounds { min: inside.min, max: inside.max - (0.0, HEADING) };
    let (views, scale) = views(job, machine, room);
    items.extend(framed::beside_heading(inside, &scale));
    items.extend(views);
    let width = inside.width() / 2.0;
    let rest = paper::units(&[bodies(machine), clearances(job, machine)], width);
    framed::framed(&job.name, (size, inside), (items, scale), rest, &fields)
}

/// The three views in their room, and their scale.
fn views(job: &Job, machine: &Machine, room: Bounds) -> (Vec<Item>, String) {
    let third = job.titled.third_angle;
    let side = if third { View::RIGHT } else { View::LEFT };
    let all = [View::FRONT, View::PLAN, side];
    let [front, plan, beside] = all.each_ref().map(|view| view.bounds(machine, job));
    let wide = front.width() + beside.width();
    let high = front.height() + plan.height();
    let fit = [(room.width() - 3.0 * GAP) / wide, (room.height() - 3.0 * GAP) / high];
    let fit = fit[0].min(fit[1]);
    let by = STANDARD_SCALES.iter().copied().find(|scale| *scale <= fit);
    let (by, scale) = match by {
        Some(by) => (by, scale_text(by)),
        None => (fit.max(1e-6), paper::NOT_TO_SCALE.to_owned()),
    };
    let corner = room.min + Vec2::new(GAP, GAP);
    let above = by * if third { front.height() } else { plan.height() } + GAP;
    let (upper, lower) = (corner + Vec2::new(0.0, above), corner);
    let (at_front, at_plan) = if third { (lower, upper) } else { (upper, lower) };
    let at_side = at_front + Vec2::new(by * front.width() + GAP, 0.0);
    let placed = all.iter().zip([front, plan, beside]).zip([at_front, at_plan, at_side]);
    let drawn = placed.flat_map(|((view, bounds), at)| {
        let shift = at - bounds.min.to_vec2() * by;
        view.items(job, machine, (shift.to_vec2(), by))
    });
    (drawn.collect(), scale)
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

/// What is left between bodies, the tightest first.
fn clearances(job: &Job, machine: &Machine) -> Block {
    let show = |mm: f64| job.units.length(num::on_grid(mm));
    let row = |of: &Clearance| {
        let [one, other] = of.bodies.map(|i| (i + 1).to_string());
        let left = if of.is_contact() { "contact".to_owned() } else { show(of.distance) };
        [format!("{one} to {other}"), left, show(of.needed)].map(Cell::Words).to_vec()
    };
    Block::Table(Table {
        heading: "Clearances".into(),
        beside: 1,
        heads: ["between", "left", "needed"].map(String::from).to_vec(),
        rows: machine.clearances.iter().take(MOST).map(row).collect(),
    })
}
