//! Adjoining bodies of a part, cut off at some distance beyond it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::scene::Pen;

/// How far it is shown beyond the part, in the larger of the part's two sizes. Our choice.
const BEYOND: f64 = 0.12;

/// Crops phantom lines that leave the neighbourhood of the others, and lets labels lead to the rest
/// of them.
pub(super) fn crop(lines: &mut Vec<(Pen, Vec<Edge>)>, labels: &mut [(String, Vec<Point>)]) {
    let own = lines.iter().filter(|(pen, _)| *pen != Pen::Phantom);
    let bounds = own.flat_map(|(_, edges)| edges).fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
    let has_phantoms = lines.iter().any(|(pen, _)| *pen == Pen::Phantom);
    if !has_phantoms || bounds == Bounds::EMPTY {
        return;
    }
    let near = bounds.grown(BEYOND * bounds.width().max(bounds.height()));
    let mut kept: Vec<Edge> = Vec::new();
    for (_, edges) in lines.iter_mut().filter(|(pen, _)| *pen == Pen::Phantom) {
        *edges = edges.iter().filter_map(|edge| within(edge, &near)).collect();
        kept.extend(edges.iter());
    }
    lines.retain(|(_, edges)| !edges.is_empty());
    kept.sort_by(|a, b| b.length().total_cmp(&a.length()));
    for (_, places) in labels {
        places.retain(|p| near.contains(*p));
        if places.is_empty() {
            places.extend(kept.iter().take(6).map(|edge| edge.point_at(0.5)));
        }
    }
}

/// The piece of a straight edge within bounds; an arc is kept whole or left out.
fn within(edge: &Edge, bounds: &Bounds) -> Option<Edge> {
    if !edge.is_line() {
        return [edge.from, edge.to].iter().all(|p| bounds.contains(*p)).then_some(*edge);
    }
    let way = edge.to - edge.from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let Bounds { min, max } = bounds;
    let sides = [
        (way.x, min.x - edge.from.x, max.x - edge.from.x),
        (way.y, min.y - edge.from.y, max.y - edge.from.y),
    ];
    for (speed, low, high) in sides {
        if speed.abs() < 1e-12 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (a, b) = (low / speed, high / speed);
        (enter, leave) = (enter.max(a.min(b)), leave.min(a.max(b)));
    }
    (enter < leave).then(|| Edge::line(edge.point_at(enter), edge.point_at(leave)))
}
