//! The machine on a web page: its three views as large as they fit in a room.

use crate::drawings::machine::view::OnPage;
use crate::drawings::machine::view::View;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::machine::Body;
use crate::paper;
use crate::paper::Item;
use crate::solve::Machine;

/// Between two views and round all of them, mm: beside each other at most, and one above the other, where
/// the axes off the corner of each have room. A narrow page gives the least of it. Our choice.
const GAP: [f64; 2] = [11.0, 13.0];

/// The least of it beside each other, mm, and its share of the width of the room.
const LEAST_GAP: f64 = 7.5;
const SHARE: f64 = 0.07;

/// Width of the name of a point to either side of it, mm.
const NAMED: f64 = 14.0;

/// Maximum scale, for a single point. Our choice.
const MAX_ENLARGED: f64 = 10.0;

/// The machine of a job in a room of a width and a height, mm, as an element of a web page, a body of a
/// name highlighted; `None` if there are neither bodies nor points.
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
    let items = views(job, (machine, OnPage { lit }), room);
    let bodies: Vec<String> = machine.bodies.iter().map(Body::words).collect();
    let scale = paper::NOT_TO_SCALE;
    let title = format!("The machine from three sides, {scale}: {}", bodies.join(", "));
    Some(paper::svg_element(&title, room, &items))
}

/// The three views in the centre of their room, in the projection of the job.
fn views(job: &Job, (machine, page): (&Machine, OnPage), room: [f64; 2]) -> Vec<Item> {
    let third = job.titled.third_angle;
    let side = if third { View::RIGHT } else { View::LEFT };
    let all = [View::FRONT, View::PLAN, side];
    let [front, plan, beside] = all.each_ref().map(|view| view.bounds(machine, job));
    let whole = [front.width() + beside.width(), front.height() + plan.height()];
    let gap = [(SHARE * room[0]).clamp(LEAST_GAP, GAP[0]), GAP[1]];
    let fit = [0, 1].map(|i| (room[i] - 3.0 * gap[i]) / whole[i]);
    let by = fit[0].min(fit[1]).clamp(1e-6, MAX_ENLARGED);
    let spare = [0, 1].map(|i| ((room[i] - by * whole[i] - 3.0 * gap[i]) / 2.0).max(0.0));
    let lower = Point::new(gap[0] + spare[0], gap[1] + spare[1]);
    let above = by * if third { front.height() } else { plan.height() } + gap[1];
    let upper = lower + Vec2::new(0.0, above);
    let (at_front, at_plan) = if third { (lower, upper) } else { (upper, lower) };
    let at_side = at_front + Vec2::new(by * front.width() + gap[0], 0.0);
    let placed = all.iter().zip([front, plan, beside]).zip([at_front, at_plan, at_side]);
    let drawn = placed.flat_map(|((view, bounds), at)| {
        let frame = Bounds { min: at, max: at + Vec2::new(bounds.width(), bounds.height()) * by };
        // Names have room where there is one point alone.
        let least = NAMED - frame.width().min(frame.height()) / 2.0;
        view.items(job, (machine, Some(page)), (by, at, frame.grown(least.max(gap[0] / 2.0))))
    });
    drawn.collect()
}
