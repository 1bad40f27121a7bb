//! The round tube to which a welded edge is cut.

use crate::geom::Point;
use crate::part::face::Cope;
use crate::part::face::Face;
use crate::part::face::Weld;

/// An edge is cut to a tube within this, mm.
const NEAR: f64 = 0.05;

/// The tube of a face to which the edge of a weld is cut, through a sheet of a thickness; nothing
/// where that is not known.
pub(crate) fn coped_to<'a>(face: &'a Face, weld: &Weld, thickness: f64) -> Option<&'a Cope> {
    let ends = weld.stretches.iter().flat_map(|e| [e.from, e.point_at(0.5), e.to]);
    let points: Vec<Point> = ends.collect();
    let meets = |cope: &&Cope| points.iter().all(|p| is_on(cope, *p, thickness));
    face.copes.iter().find(meets).filter(|_| !points.is_empty())
}

/// Whether the edge of the cut for a tube passes through a place of the drawing: at that height of
/// the sheet where it is the widest.
fn is_on(cope: &Cope, p: Point, thickness: f64) -> bool {
    let half = thickness / 2.0;
    let heights = [-half, 0.0, half, cope.above.clamp(-half, half)];
    heights.into_iter().any(|height| {
        let (off, up) = (p - cope.at, height - cope.above);
        let along = off.dot(cope.along) + up * cope.rise;
        let square = off.hypot2() + up * up - along * along;
        (square.max(0.0).sqrt() - cope.radius).abs() < NEAR
    })
}
