//! A notch in the edge of a face.

use crate::flat::cope::EdgeFrame;
use crate::flat::without::without;
use crate::geom::Outline;
use crate::geom::Region;
use crate::geom::Vertex;
use crate::recipe::ReliefShape;

/// How far in front of the edge a cut reaches, mm: enough to be past it. Our choice.
const FRONT: f64 = 0.5;

/// A face without a stretch of its edge, from `depth` outwards; the notch ends square or round.
///
/// # Errors
/// When the notch has no outline, or leaves no one piece.
pub(super) fn cut(
    face: &Region,
    edge: &EdgeFrame,
    (low, high): (f64, f64),
    depth: f64,
    shape: ReliefShape,
) -> Result<Region, String> {
    let half = (high - low) / 2.0;
    let round = matches!(shape, ReliefShape::Round | ReliefShape::Hole);
    let (straight, bulge) = if round { (depth + half, -1.0) } else { (depth, 0.0) };
    let front = FRONT.max(straight + FRONT);
    let corners =
        [(low, straight, bulge), (high, straight, 0.0), (high, front, 0.0), (low, front, 0.0)];
    let vertices = corners.map(|(along, out, bulge)| Vertex { at: edge.point(along, out), bulge });
    let tool = Outline::new(vertices).map_err(|e| e.to_string())?;
    without(face, &tool)
}
