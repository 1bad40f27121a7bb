//! How far two parts run into each other where the machine has them.

use crate::check::MEASURED;
use crate::fold::clash_between;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::plus;
use crate::geom::times;
use crate::solve::solved::Solved;

/// The share of the thinner of two plates by which they may overlap, where that is less than points are
/// measured by. Our choice.
const INTO: f64 = 0.75;

/// An overlap is rounded up to this, mm: two plates clash from 0.02 mm on. Our choice, finer than points are
/// measured.
const STEP: f64 = 0.1;

/// An overlap is not followed beyond this, mm. Our choice.
const FAR: f64 = 1000.0;

/// A piece where the machine has it.
pub(super) struct Piece<'a> {
    pub(super) of: &'a Solved,
    pub(super) frame: &'a Frame,
}

/// How far two parts must be moved apart, mm, along the normal of one of their faces or an axis of one of
/// them; `None` if that is no more than points are measured by.
pub(super) fn overlap(both: &[Piece; 2]) -> Option<f64> {
    let thinner = both[0].of.part.thickness.min(both[1].of.part.thickness);
    let allowed = MEASURED.min(INTO * thinner);
    if !collide(both, allowed) {
        return None;
    }
    let (mut into, mut clear) = (allowed, 2.0 * allowed);
    while clear < FAR && collide(both, clear) {
        (into, clear) = (clear, 2.0 * clear);
    }
    while clear - into > STEP / 4.0 {
        let half = f64::midpoint(into, clear);
        if collide(both, half) {
            into = half;
        } else {
            clear = half;
        }
    }
    Some((clear / STEP).ceil() * STEP)
}

/// Whether two parts overlap by more than a length, mm: as they are, and moved apart by that along the
/// normal of each of their faces and along the axes of each.
fn collide([one, other]: &[Piece; 2], by: f64) -> bool {
    let clash = |way: Space| {
        let moved = Frame { origin: plus(other.frame.origin, way), ..*other.frame };
        let own = (&one.of.part, &*one.of.folded, one.frame);
        clash_between([own, (&other.of.part, &*other.of.folded, &moved)]).is_some()
    };
    let axes = [one, other].into_iter().flat_map(|piece| {
        let normals = piece.of.folded.faces.iter().map(|face| piece.frame.within(&face.frame).z);
        normals.chain([piece.frame.x, piece.frame.y, piece.frame.z])
    });
    clash([0.0; 3])
        && axes.flat_map(|axis| [axis, times(axis, -1.0)]).all(|way| clash(times(way, by)))
}
