//! Parts of a joint that run into each other where the machine has them, with all their plates.

use crate::check::MEASURED;
use crate::check::Overlap;
use crate::fold::clash_between;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::plus;
use crate::geom::times;
use crate::job::Job;
use crate::joint::Bolted;
use crate::solve::machine::Machine;
use crate::solve::solved::Solved;

/// The share of the thinner of two plates by which they may overlap, where that is less than points are
/// measured by. Our choice.
const INTO: f64 = 0.75;

/// A piece where the machine has it.
struct Piece<'a> {
    of: &'a Solved,
    frame: &'a Frame,
}

/// Every two parts of a joint that overlap, each two names once.
pub(super) fn of(job: &Job, solved: &[Solved], machine: &Machine, bolted: &Bolted) -> Vec<Overlap> {
    let line = |of: &Solved| job.lines[of.line].name.as_str();
    let named = bolted.parts();
    let lines = solved.iter().filter(|of| named.contains(&of.name.as_str())).map(line);
    let lines: Vec<&str> = lines.collect();
    let piece = |(name, frame): &'_ (String, Frame)| {
        let of = solved.iter().find(|of| of.name == *name && lines.contains(&line(of)))?;
        Some((of, *frame))
    };
    let pieces: Vec<(&Solved, Frame)> = machine.places.iter().filter_map(piece).collect();
    let mut all: Vec<Overlap> = Vec::new();
    for (i, (one, at)) in pieces.iter().enumerate() {
        for (other, there) in &pieces[i + 1..] {
            // Plates of one part are compared in its own space.
            if one.line == other.line && one.name != other.name {
                continue;
            }
            let parts = [one.name.clone(), other.name.clone()];
            if all.iter().any(|known| known.parts == parts) {
                continue;
            }
            let by = MEASURED.min(INTO * one.part.thickness.min(other.part.thickness));
            let both = [Piece { of: one, frame: at }, Piece { of: other, frame: there }];
            if collide(&both, by) {
                all.push(Overlap { parts, by });
            }
        }
    }
    all
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
