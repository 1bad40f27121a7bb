//! Where the load does not reach metal that a section counts on.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::part::Hole;
use crate::strength::cut;
use crate::strength::line::Line;
use crate::strength::station::Source;

/// Points checked on each edge of an opening. Our choice.
const POINTS: u32 = 24;
/// Nearer than this a hole is the opening it is cut as, mm.
const SAME_CENTRE: f64 = 1e-3;

/// The shear strength of a web between two openings as a share of its tensile strength: it joins
/// them by no more than this. Below 1/√3, our choice.
pub(super) const SHEARED: f64 = 0.5;

/// Points of an opening, on its edges.
fn points(opening: &Outline) -> impl Iterator<Item = Point> + '_ {
    let on = |e: Edge| (0..POINTS).map(move |i| e.point_at(f64::from(i) / f64::from(POINTS)));
    opening.edges().flat_map(on)
}

/// Whether a bolt or a pin fills an opening.
pub(super) fn is_filled(opening: &Outline, filled: &[&Hole]) -> bool {
    let centre = opening.circle().map(|(centre, _)| centre);
    filled.iter().any(|h| centre.is_some_and(|c| (h.at - c).hypot() < SAME_CENTRE))
}

/// The metal beside an opening along a line, at its left and at its right end: to the next edge
/// of the outline, mm.
pub(super) fn beside(outer: &Outline, opening: &Outline, line: &Line) -> [f64; 2] {
    [-1.0, 1.0].map(|side| {
        let way = line.along() * side;
        let reach = |p: &Point| p.to_vec2().dot(way);
        let far = points(opening).max_by(|a, b| reach(a).total_cmp(&reach(b)));
        far.map_or(0.0, |p| metal(outer, p, way))
    })
}

/// Whether a straight section meets both of two openings, over at least half of the lower one.
pub(super) fn in_a_row(one: &Outline, other: &Outline, line: &Line) -> bool {
    let extent = |o: &Outline| {
        let ahead = points(o).map(|p| line.ahead(p));
        ahead.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| (l.min(d), h.max(d)))
    };
    let (a, b) = (extent(one), extent(other));
    let lower = (a.1 - a.0).min(b.1 - b.0);
    a.1.min(b.1) - a.0.max(b.0) >= lower / 2.0
}

/// From a point along a way to the outline, mm.
fn metal(outer: &Outline, from: Point, way: Vec2) -> f64 {
    let line = Line { at: from, toward: Vec2::new(way.y, -way.x) };
    let crossed = cut::chords(outer, &[], &line).into_iter();
    crossed.flat_map(|(a, b)| [a, b]).filter(|s| *s >= 0.0).fold(f64::INFINITY, f64::min)
}

/// The clear distance of two openings, mm.
pub(super) fn clear_distance(one: &Outline, other: &Outline) -> f64 {
    points(one)
        .map(|p| other.distance(p))
        .chain(points(other).map(|p| one.distance(p)))
        .fold(f64::INFINITY, f64::min)
}

/// Whether the metal between a load and an opening is a bridge: the opening is in front of
/// the load, and on a side of it farther away than the load spreads at 45°.
pub(super) fn is_bridge(opening: &Outline, source: &Source, away: Vec2, reach: f64) -> bool {
    let left = Vec2::new(-away.y, away.x);
    let at = |p: Point| ((p - source.at).dot(left), (source.at - p).dot(away));
    let points: Vec<(f64, f64)> = points(opening).map(at).collect();
    let ahead = points.iter().filter(|(_, ahead)| *ahead > 0.0 && *ahead < reach);
    let aside = points.iter().map(|(aside, _)| *aside);
    let low = aside.clone().fold(f64::INFINITY, f64::min);
    let high = aside.fold(f64::NEG_INFINITY, f64::max);
    let is_in_front = low < source.half && high > -source.half;
    is_in_front && ahead.into_iter().any(|(aside, ahead)| aside.abs() > *ahead)
}

/// The maximum length two stretches of a line have in common, mm.
pub(super) fn common(some: &[(f64, f64)], other: (f64, f64)) -> f64 {
    let common = some.iter().map(|one| one.1.min(other.1) - one.0.max(other.0));
    common.fold(0.0, f64::max)
}
