//! Where the load does not reach what a section counts on.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::strength::ground::Source;

/// Points of each edge of an opening that are looked at. Our choice.
const POINTS: u32 = 24;

/// Whether the metal between a load and an opening is a bridge: the opening is in front of
/// the load, and on a side of it farther away than the load spreads at 45°.
pub(super) fn is_bridge(opening: &Outline, source: &Source, away: Vec2, reach: f64) -> bool {
    let left = Vec2::new(-away.y, away.x);
    let at = |p: Point| ((p - source.at).dot(left), (source.at - p).dot(away));
    let on = |e: Edge| (0..POINTS).map(move |i| e.point_at(f64::from(i) / f64::from(POINTS)));
    let points: Vec<(f64, f64)> = opening.edges().flat_map(on).map(at).collect();
    let ahead = points.iter().filter(|(_, ahead)| *ahead > 0.0 && *ahead < reach);
    let aside = points.iter().map(|(aside, _)| *aside);
    let low = aside.clone().fold(f64::INFINITY, f64::min);
    let high = aside.fold(f64::NEG_INFINITY, f64::max);
    let is_in_front = low < source.half && high > -source.half;
    is_in_front && ahead.into_iter().any(|(aside, ahead)| aside.abs() > *ahead)
}

/// By how much two stretches of a line have metal in common, at most, mm.
pub(super) fn common(some: &[(f64, f64)], other: (f64, f64)) -> f64 {
    let common = some.iter().map(|one| one.1.min(other.1) - one.0.max(other.0));
    common.fold(0.0, f64::max)
}
