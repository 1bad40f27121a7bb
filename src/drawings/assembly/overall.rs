//! How large a set of flat plates is over all.

use crate::drawings::assembly::stand::Piece;
use crate::geom::Frame;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::num;
use crate::num::Angle;

/// Over all pieces along the axes in which they stand, the last of them up, mm; nothing where it is not
/// known where one stands, or where one is bent.
pub(super) fn size(stands: &[Piece]) -> Option<[f64; 3]> {
    let is_flat = |piece: &Piece| piece.is_known && piece.solved.part.bends.is_empty();
    if !stands.iter().all(is_flat) {
        return None;
    }
    let along = |axis: usize| {
        let all = stands.iter().flat_map(|piece| {
            let thickness = piece.solved.part.thickness;
            piece.solved.folded.faces.iter().map(move |face| {
                plate(&piece.at.within(&face.frame), face.region.outer(), thickness, axis)
            })
        });
        let ends = [f64::INFINITY, f64::NEG_INFINITY];
        let [from, to] = all.fold(ends, |[a, b], [from, to]| [a.min(from), b.max(to)]);
        to - from
    };
    Some([0, 1, 2].map(along))
}

/// From where to where a plate reaches along an axis, mm.
fn plate(frame: &Frame, outline: &Outline, thickness: f64, axis: usize) -> [f64; 2] {
    let (u, v) = (frame.x[axis], frame.y[axis]);
    let share = num::hypot(u, v);
    // The outline turned so that the axis lies along its x.
    let turned = Place::rotated(Angle::of(u, -v), Point::ZERO);
    let bounds = outline.moved(&turned).bounds();
    let [from, to] = [bounds.min.x, bounds.max.x].map(|x| frame.origin[axis] + share * x);
    let below = -thickness * frame.z[axis];
    [from + below.min(0.0), to + below.max(0.0)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::rectangle;

    /// A plate of 30 by 20 by 4 that stands on its long side, leaning by 3 : 4.
    #[test]
    fn a_plate_that_leans_reaches_as_far_as_its_corners() {
        let frame = Frame {
            origin: [1.0, 2.0, 3.0],
            x: [1.0, 0.0, 0.0],
            y: [0.0, 0.6, 0.8],
            z: [0.0, -0.8, 0.6],
        };
        let outline = rectangle(Point::new(15.0, 10.0), 30.0, 20.0, 0.0).unwrap();
        let wanted = [[1.0, 31.0], [2.0, 2.0 + 12.0 + 3.2], [3.0 - 2.4, 3.0 + 16.0]];
        for (axis, [from, to]) in wanted.into_iter().enumerate() {
            let [a, b] = plate(&frame, &outline, 4.0, axis);
            assert!((a - from).abs() < 1e-9 && (b - to).abs() < 1e-9, "{axis}: {a} to {b}");
        }
    }
}
