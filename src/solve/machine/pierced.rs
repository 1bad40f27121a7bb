//! Parts that reach deep into a round body that they are joined to.
//!
//! What is joined touches, so that no distance is asked between the two. A foot or a saddle ends at the
//! outside of its tube: what is deeper in it than points are measured by overlaps it. What is nearer to the
//! axis than half of the radius is through the wall.

use crate::check::MEASURED;
use crate::machine;
use crate::machine::Body;
use crate::machine::Convex;
use crate::machine::Kind;
use crate::machine::Shown;

/// The share of its radius about the axis of a tube that a part reaches which passes through it. Our choice.
const CORE: f64 = 0.5;

/// The radius about the axis of a tube of a radius, mm, that a part reaches into which passes through it.
pub(super) fn core(radius: f64) -> f64 {
    radius * CORE
}

/// The same for a part that only touches it and overlaps it by more than points are measured by.
pub(super) fn skin(radius: f64) -> f64 {
    (radius - MEASURED).max(radius * CORE)
}

/// A part and a round body that it is joined to and reaches into, as far as a radius about its axis, both by
/// their numbers, on the given side; `is_in` says of two names whether the part belongs inside.
pub(super) fn pierced(
    bodies: &[Body],
    is_in: &dyn Fn(&str, &str) -> bool,
    within: fn(f64) -> f64,
) -> Vec<[usize; 2]> {
    let own = |kinds: &'static [Kind]| {
        let is = move |of: &(usize, &Body)| !of.1.other_side && kinds.contains(&of.1.kind);
        bodies.iter().enumerate().filter(is)
    };
    let mut found = Vec::new();
    for (i, part) in own(&[Kind::Part]) {
        for (j, tube) in own(&[Kind::Tube, Kind::Obstacle]) {
            if !part.joins(tube) || is_in(&part.set, &tube.name) {
                continue;
            }
            let near = machine::nearest(&part.pieces, &about_axis(tube, within), 0.0);
            if near.is_some_and(|near| near.distance <= 0.0) {
                found.push([i, j]);
            }
        }
    }
    found
}

/// What is about the axis of a round body; nothing of one that is not round.
fn about_axis(body: &Body, within: fn(f64) -> f64) -> Vec<Convex> {
    let bars = body.shown.iter().filter_map(|shown| match shown {
        Shown::Bar(line, radius) => Some((line, within(*radius))),
        Shown::Loop(_) => None,
    });
    let legs = bars.flat_map(|(line, radius)| {
        line.windows(2).filter_map(move |ends| machine::bar([ends[0], ends[1]], radius))
    });
    legs.collect()
}
