//! Parts that reach deep into a tube, a box or a panel that they are joined to.
//!
//! What is joined touches, so that no distance is asked between the two. A foot or a saddle ends at the
//! outside of its tube, a foot on a box at its face: what is in it deeper than the accuracy of measured
//! points overlaps it. Nobody says on which side of the corners of a panel its metal is: what is through that
//! plane by more than that accuracy overlaps it.

use crate::check::MEASURED;
use crate::geom::Space;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::job;
use crate::machine;
use crate::machine::Body;
use crate::machine::Convex;
use crate::machine::Kind;
use crate::machine::Shown;

/// The share of its radius about the axis of a tube that counts at least. Our choice.
const CORE: f64 = 0.5;

/// The radius about the axis of a tube of a radius, mm, that a part which only touches it does not reach into.
fn skin(radius: f64) -> f64 {
    (radius - MEASURED).max(radius * CORE)
}

/// A part and a body that it is joined to and reaches into, both by their numbers, on the given side; `is_in`
/// says of two names whether the part belongs inside, `ground` to what radius, mm, the tube is ground for the
/// part.
pub(super) fn pierced(
    bodies: &[Body],
    is_in: &dyn Fn(&str, &str) -> bool,
    ground: &dyn Fn(&str, &str) -> Option<f64>,
) -> Vec<[usize; 2]> {
    let own = |kinds: &'static [Kind]| {
        let is = move |of: &(usize, &Body)| !of.1.other_side && kinds.contains(&of.1.kind);
        bodies.iter().enumerate().filter(is)
    };
    let mut found = Vec::new();
    for (i, part) in own(&[Kind::Part]) {
        for (j, other) in own(&[Kind::Tube, Kind::Obstacle, Kind::Panel]) {
            if !part.joins(other) || is_in(&part.set, &other.name) {
                continue;
            }
            let is_pierced = match other.kind {
                Kind::Panel => is_through_panel(part, other),
                _ => {
                    let mut core = about_axis(other, ground(&part.set, &other.name));
                    core.extend(core_of_box(other));
                    is_hit(&part.pieces, &core)
                }
            };
            if is_pierced {
                found.push([i, j]);
            }
        }
    }
    found
}

fn is_hit(pieces: &[Convex], others: &[Convex]) -> bool {
    machine::nearest(pieces, others, 0.0).is_some_and(|near| near.distance <= 0.0)
}

/// What is about the axis of a round body; nothing of one that is not round.
fn about_axis(body: &Body, ground: Option<f64>) -> Vec<Convex> {
    let bars = body.shown.iter().filter_map(|shown| match shown {
        Shown::Bar(line, radius) => Some((line, skin(ground.unwrap_or(*radius)))),
        Shown::Loop(_) => None,
    });
    let legs = bars.flat_map(|(line, radius)| {
        line.windows(2).filter_map(move |ends| machine::bar([ends[0], ends[1]], radius))
    });
    legs.collect()
}

/// What is deeper in a box than points are measured by; nothing of any other body.
fn core_of_box(body: &Body) -> Option<Convex> {
    let loops: Vec<&[Space]> = loops(body).filter(|of| of.len() == 4).collect();
    let [low, high] = loops.get(..2)? else { return None };
    let ways = [minus(low[1], low[0]), minus(low[3], low[0]), minus(high[0], low[0])];
    let middle = times(plus(low[0], high[2]), 0.5);
    let half = ways.map(|way| times(unit(way), (length(way) / 2.0 - MEASURED).max(0.0)));
    let corner = |i: u32| {
        let signed = |k: usize| times(half[k], if i >> k & 1 == 0 { 1.0 } else { -1.0 });
        plus(middle, plus(signed(0), plus(signed(1), signed(2))))
    };
    Some(Convex::points((0..8).map(corner), 0.0))
}

/// Whether a piece of a part is through the plane of a panel by more than points are measured by, on both sides.
fn is_through_panel(part: &Body, panel: &Body) -> bool {
    let Some(corners) = loops(panel).next() else { return false };
    let levels = [MEASURED, -MEASURED].map(|height| job::panel_at(corners, height));
    part.pieces
        .iter()
        .any(|piece| levels.iter().all(|level| is_hit(std::slice::from_ref(piece), level)))
}

fn loops(body: &Body) -> impl Iterator<Item = &[Space]> {
    body.shown.iter().filter_map(|shown| match shown {
        Shown::Loop(corners) => Some(corners.as_slice()),
        Shown::Bar(..) => None,
    })
}
