//! The offset of two parallel faces that two opposite bends join, as of a joggle: the size over
//! both of their outsides, which a caliper reads at once.

use crate::bend::Form;
use crate::fold::dot;
use crate::fold::minus;
use crate::part::Part;
use crate::solve::Solved;

/// Two faces are parallel within this, as a cosine short of 1.
const PARALLEL: f64 = 1e-9;

/// Tolerance of square, degrees.
pub(super) const SQUARE: f64 = 1e-6;

/// The offset of two faces.
pub(super) struct Offset {
    /// Index of the face between them.
    pub(super) ramp: usize,
    /// Indices of the two faces, and of the bend between each and the ramp.
    pub(super) faces: [usize; 2],
    pub(super) bends: [usize; 2],
    /// Over both outsides, mm.
    pub(super) mm: f64,
}

impl Offset {
    /// Whether the ramp is oblique: its sharp corners lie on opposite sides of it, so that no
    /// caliper reads its length.
    pub(super) fn is_slanting(&self, part: &Part) -> bool {
        (part.bends[self.bends[0]].bend.angle().degrees() - 90.0).abs() > SQUARE
    }
}

/// All offsets of a part.
pub(super) fn offsets(solved: &Solved) -> Vec<Offset> {
    let part = &solved.part;
    let mut found = Vec::new();
    let bent = |i: &usize| part.bends[*i].bend.form() == Form::Bent;
    let all = || (0..part.bends.len()).filter(bent);
    for second in all() {
        // Bent in the same direction, parallel faces are side by side.
        let opposite = |first: &usize| part.bends[*first].up != part.bends[second].up;
        for first in all().take_while(|first| *first < second).filter(opposite) {
            let ends = [first, second].map(|i| [part.bends[i].from, part.bends[i].to]);
            let Some(ramp) = ends[0].into_iter().find(|face| ends[1].contains(face)) else {
                continue;
            };
            let faces = ends.map(|[a, b]| if a == ramp { b } else { a });
            let frame = |face: usize| solved.folded.faces.iter().find(|f| f.face == face);
            let (Some(one), Some(other)) = (frame(faces[0]), frame(faces[1])) else { continue };
            if dot(one.frame.z, other.frame.z) < 1.0 - PARALLEL {
                continue;
            }
            let apart = dot(minus(other.frame.origin, one.frame.origin), one.frame.z).abs();
            let mm = apart + part.thickness;
            found.push(Offset { ramp, faces, bends: [first, second], mm });
        }
    }
    found
}
