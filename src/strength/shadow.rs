//! Bends that are longer than a load spreads to: the sheet beside them is in steps.

use crate::flat::Flat;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::part::Part;
use crate::strength::place::Spot;
use crate::strength::reason::Reason;
use crate::strength::station::bends;
use crate::strength::support::Support;

/// Places along a bend at which the sheet beside it is checked. Our choice.
const PLACES: u32 = 48;

/// A bend may lie in the shadow of a step along this share of it. Our choice.
const SHARE: f64 = 0.1;

/// An edge this near to a bend begins at it, and one this much short reaches it, mm.
const AT: f64 = 0.1;

/// The bend beside the load or the support along which most of the load arrives
/// only by spreading at more than 45°, as beside a flange that exists along a part of its bend.
pub(super) fn stepped(part: &Part, flat: &Flat, spot: &Spot, support: &Support) -> Option<Reason> {
    let ways = bends(part, spot.face, support.face);
    let (first, last) = (ways.first()?, ways.last()?);
    let beside = |(bend, is_carried): (usize, bool)| {
        let strip = &flat.bends[bend];
        match is_carried {
            true => (strip.ends, part.bends[bend].to),
            false => (strip.begins, part.bends[bend].from),
        }
    };
    let sides = [(*first, spot.centre), ((last.0, !last.1), support.centre())];
    let is_stepped = |(side, at): &((usize, bool), Point)| {
        let (edge, face) = beside(*side);
        shadow(&edge, flat.faces[face].outer(), *at) > SHARE
    };
    let ((bend, _), _) = sides.into_iter().find(is_stepped)?;
    Some(Reason::Stepped(part.bends[bend].name.clone()))
}

/// The share of a bend from which nothing within 45° leads as far from it as a point of the face.
fn shadow(edge: &Edge, outline: &Outline, at: Point) -> f64 {
    let along = edge.direction_at_start();
    let out = Vec2::new(-along.y, along.x);
    let deep = (at - edge.from).dot(out);
    let leads = |mm: f64, aside: f64| {
        let way = out + along * aside;
        let (from, long) = (edge.from + along * mm, way.hypot());
        let ray = Line { at: from, along: way / long };
        let reaches = |[a, b]: &[f64; 2]| *a < AT && *b > deep * long - AT;
        ray.stretches(outline).iter().any(reaches)
    };
    let dark = (0..PLACES).filter(|i| {
        let mm = edge.length() * (f64::from(*i) + 0.5) / f64::from(PLACES);
        ![0.0, 1.0, -1.0].into_iter().any(|aside| leads(mm, aside))
    });
    dark.count() as f64 / f64::from(PLACES)
}
