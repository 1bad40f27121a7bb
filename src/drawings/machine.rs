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
use crate::geom::Point;
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
use crate::solve::Solved;
use crate::solve::machine;
use crate::write::NamedFile;
use view::OnPage;
use view::View;

/// The name of the drawing.
const NAME: &str = "machine";

/// Between two views and round all of them, mm.
const GAP: f64 = 12.0;

/// The same on a web page.
const GAP_ON_PAGE: f64 = 7.0;

/// Nothing is drawn larger than this, where it is one point alone. Our choice.
const MOST_ENLARGED: f64 = 10.0;

/// Most clearances in the table. Our choice: what is further apart is of no interest.
const MOST: usize = 40;

/// The drawing of the machine as PDF and SVG; nothing where the job has none, or wants none.
///
/// # Errors
/// When it cannot be written.
pub(super) fn drawing(
    job: &Job,
    solved: &[Solved],
    format: Format,
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some(machine) = machine(job, solved) else { return Ok(Vec::new()) };
    if !wanted.is(names_of_both("drawings", NAME)) {
        return Ok(Vec::new());
    }
    let pages = pages(job, &machine, format);
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
    let (views, scale) = views(job, machine, room, None);
    items.extend(framed::beside_heading(inside, &scale));
    items.extend(views);
    let width = inside.width() / 2.0;
    let rest = paper::units(&[bodies(machine), clearances(job, machine)], width);
    framed::framed(&job.name, (size, inside), (items, scale), rest, &fields)
}

/// The machine of a job in a room of a width and a height, mm, as an element of a web page, a body of a
/// name lit; nothing where there are neither bodies nor points.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn machine_element(
    job: &Job,
    machine: &Machine,
    room: [f64; 2],
    lit: Option<&str>,
) -> Option<String> {
    if machine.bodies.is_empty() && job.points.at.is_empty() {
        return None;
    }
    let room_of = Bounds { min: Point::ZERO, max: Point::new(room[0], room[1]) };
    let (items, scale) = views(job, machine, room_of, Some(OnPage { lit }));
    let bodies: Vec<String> = machine.bodies.iter().map(Body::words).collect();
    let title = format!("The machine from three sides, {scale}: {}", bodies.join(", "));
    Some(paper::svg_element(&title, room, &items))
}

/// The three views in their room, and their scale.
fn views(job: &Job, machine: &Machine, room: Bounds, page: Option<OnPage>) -> (Vec<Item>, String) {
    let gap = if page.is_some() { GAP_ON_PAGE } else { GAP };
    let third = job.titled.third_angle;
    let side = if third { View::RIGHT } else { View::LEFT };
    let all = [View::FRONT, View::PLAN, side];
    let [front, plan, beside] = all.each_ref().map(|view| view.bounds(machine, job));
    let wide = front.width() + beside.width();
    let high = front.height() + plan.height();
    let fit = [(room.width() - 3.0 * gap) / wide, (room.height() - 3.0 * gap) / high];
    let fit = fit[0].min(fit[1]);
    let by = STANDARD_SCALES.iter().copied().find(|scale| *scale <= fit);
    let (by, scale) = match by.filter(|_| page.is_none()) {
        Some(by) => (by, scale_text(by)),
        None => (fit.clamp(1e-6, MOST_ENLARGED), paper::NOT_TO_SCALE.to_owned()),
    };
    // In the middle of a web page.
    let spare =
        [room.width() - by * wide, room.height() - by * high].map(|mm| (mm - 3.0 * gap) / 2.0);
    let spare = page.map_or(Vec2::ZERO, |_| Vec2::new(spare[0].max(0.0), spare[1].max(0.0)));
    let corner = room.min + Vec2::new(gap, gap) + spare;
    let above = by * if third { front.height() } else { plan.height() } + gap;
    let (upper, lower) = (corner + Vec2::new(0.0, above), corner);
    let (at_front, at_plan) = if third { (lower, upper) } else { (upper, lower) };
    let at_side = at_front + Vec2::new(by * front.width() + gap, 0.0);
    let placed = all.iter().zip([front, plan, beside]).zip([at_front, at_plan, at_side]);
    let drawn = placed.flat_map(|((view, bounds), at)| {
        let shift = at - bounds.min.to_vec2() * by;
        view.items(job, (machine, page), (shift.to_vec2(), by))
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
