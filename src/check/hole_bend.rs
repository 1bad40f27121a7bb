//! A hole too near a bend.
//!
//! # Looks for
//! A hole whose edge, or that of its countersink or counterbore, is so near to a bend that it would
//! be distorted. Measured from the inside face of the bent-up leg (at 90° and beyond: the distance
//! from where the bend begins, plus the inside radius), a round hole, hexagon or other opening
//! needs 1.5 T + R; a slot in any direction needs 2 T + R up to 1 in long, 2.5 T + R up to 2 in, 3
//! T + R beyond. A cut-out with round ends, or twice as long as wide, is a slot. A cut-out that
//! runs through a bend drawn across the face, with as much beyond it on one side as on the other, is
//! treated as part of the outline.
//!
//! # Why it matters
//! The bend draws the hole into a pear shape; a bolt no longer seats and an eye no longer lines up.
//!
//! # Example
//! In 3 mm sheet bent to 3 mm inside radius a round hole must stay 7.5 mm from the inside face.
//!
//! # Remedy
//! Move the hole, make the flange longer, bend to a smaller radius, or drill after bending.
//!
//! # Source
//! Beside a rolled bend only the multiple of T counts, measured from where the bend begins; this is
//! the same clearance as at 90°. Our choice. Distances: a stamping design handbook; for the longest
//! slots, its lower figure. Which cut-outs count as slots: our choice.

use crate::bend::Form;
use crate::check::subject::Opening;
use crate::check::subject::Subject;
use crate::check::subject::is_slot;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::BendStrip;
use crate::geom::Outline;
use crate::geom::Vec2;
use crate::geom::edges_distance;
use crate::geom::sides;
use crate::num::Angle;
use crate::part::Bend;
use crate::part::HoleSize;
use crate::quantity::MM_PER_INCH;

const CODE: &str = "hole-bend";

/// Slots longer than the first, mm, need this many thicknesses.
const SLOTS: [(f64, f64); 3] = [(2.0 * MM_PER_INCH, 3.0), (MM_PER_INCH, 2.5), (0.0, 2.0)];

/// Round holes, hexagons and other openings need this many.
const ROUND: f64 = 1.5;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for opening in subject.openings() {
        let times = match opening.hole.map(|h| h.size) {
            Some(HoleSize::Slot { length, .. } | HoleSize::TongueSlot { length, .. }) => {
                slot(length)
            }
            Some(HoleSize::ArcSlot { width, radius, sweep }) => {
                slot(radius * Angle::from_degrees(sweep).radians() + width)
            }
            None if is_slot(opening.outline) => slot(sides(opening.outline).0),
            _ => ROUND,
        };
        let bends = subject.flat.bends.iter().zip(&subject.part.bends);
        for (i, (strip, bend)) in bends.enumerate() {
            let (thickness, radius) = (strip.bend.thickness(), strip.bend.radius());
            let rolled = strip.bend.form() == Form::Rolled;
            let needed = times * thickness + if rolled { 0.0 } else { radius };
            // Past 90° the inside corner moves away from the leg; the leg itself does not.
            let face = strip.bend.inside_distance();
            let is = distance(opening.outline, strip) + face - opening.growth();
            let crosses = strip.openings.contains(opening.outline)
                && passes(opening.outline, strip, needed - face);
            if !short(is, needed) || crosses {
                continue;
            }
            let (shown, wanted) = (subject.show(is.max(0.0)), subject.show(needed));
            let rule = match rolled {
                true => format!("{times} × thickness beside a rolled bend = {wanted}"),
                false => format!(
                    "{times} × thickness + radius = {times} × {} + {} = {wanted}",
                    subject.show(thickness),
                    subject.show(radius)
                ),
            };
            let headline = if is < face {
                format!("{} overlaps bend `{}`", opening.words, bend.name)
            } else {
                format!(
                    "{} is {shown} from the inside of bend `{}`, but {wanted} is needed",
                    opening.words, bend.name
                )
            };
            let by = away(&opening, strip, bend, needed - face + opening.growth());
            let help = help(subject, &opening, (strip, times), by);
            findings.push(
                subject
                    .about(&opening, Weight::Stop, CODE, headline)
                    .about(subject.of_part([Feature::Bend(i)]))
                    .at(bend.span, "this bend")
                    .note(rule)
                    .help(help),
            );
        }
    }
    findings
}

/// What helps: to move it, or to let it run through a bend that is drawn across the face.
fn help(
    subject: &Subject,
    opening: &Opening,
    (strip, times): (&BendStrip, f64),
    by: f64,
) -> String {
    let move_it = format!("move it {} away from the bend", subject.show_up(by));
    match strip.openings.contains(opening.outline) {
        true => format!(
            "make it {} long across the bend, with as much beyond it on one side as on the other, so \
             that it runs right through; or {move_it}",
            subject.show_up(length_through(strip, times))
        ),
        false => move_it,
    }
}

/// How long a slot across a bend must be, mm, to run through it and far enough beyond it on either
/// side; one that needs no fewer thicknesses than are given.
pub(super) fn length_through(strip: &BendStrip, least: f64) -> f64 {
    let rolled = strip.bend.form() == Form::Rolled;
    let radius = if rolled { 0.0 } else { strip.bend.radius() };
    let long = |times: f64| {
        let beyond = times * strip.bend.thickness() + radius - strip.bend.inside_distance();
        strip.bend.allowance() + 2.0 * beyond
    };
    let all = SLOTS.iter().rev().map(|(_, times)| times.max(least));
    let enough = all.map(|times| (long(times), times)).find(|(long, times)| slot(*long) <= *times);
    enough.map_or_else(|| long(SLOTS[0].1), |(long, _)| long)
}

/// How many thicknesses a slot of a length in mm needs.
fn slot(length: f64) -> f64 {
    SLOTS.iter().find(|(longer, _)| length > *longer).map_or(ROUND, |(_, times)| *times)
}

/// How far an opening must be moved, square to a bend, to have this distance from the metal of the
/// bend, mm: to the side of the face that has the hole, or to the nearer side if neither has.
fn away(opening: &Opening, strip: &BendStrip, bend: &Bend, room: f64) -> f64 {
    let bounds = opening.outline.moved(&strip.to_its_own()).bounds();
    let (back, onward) = (bounds.max.y + room, strip.bend.allowance() - bounds.min.y + room);
    match opening.feature {
        Feature::Hole(id) if id.face == bend.from => back,
        Feature::Hole(id) if id.face == bend.to => onward,
        _ => back.min(onward),
    }
}

/// Whether an opening runs through a bend, and beyond it on either side by this distance, mm.
fn passes(opening: &Outline, strip: &BendStrip, beyond: f64) -> bool {
    let bounds = opening.moved(&strip.to_its_own()).bounds();
    bounds.min.y <= -beyond && bounds.max.y >= strip.bend.allowance() + beyond
}

/// From an opening to the strip that becomes the bend, mm; negative by as much as it must be
/// moved to leave the strip.
fn distance(opening: &Outline, strip: &BendStrip) -> f64 {
    let [near, far] = strip.tangents;
    let min = edges_distance(opening.edges(), &strip.sides());
    let across = (far.from - near.from).normalize();
    let along = near.direction_at_start();
    let reach = |direction: Vec2| {
        // Arcs of an opening are its outermost where their bounds are: try many points.
        let points =
            opening.edges().flat_map(|e| (0..16).map(move |i| e.point_at(f64::from(i) / 16.0)));
        let shares = points.map(|p| (p - near.from).dot(direction));
        shares.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
    };
    let (low, high) = reach(across);
    let (left, right) = reach(along);
    let width = (far.from - near.from).hypot();
    let beside = high <= 0.0 || low >= width || right <= 0.0 || left >= near.length();
    if beside { min } else { -(high.min(width - low)) }
}
