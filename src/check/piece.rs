//! What findings call a piece of the formed part.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Span;
use crate::fold::Formed;
use crate::fold::Piece;

/// A piece in words, and as the subject of a finding.
pub(super) fn named(subject: &Subject, piece: Piece) -> (String, Feature) {
    let part = subject.part;
    match piece {
        Piece::Face(face) => (format!("face `{}`", part.faces[face].name), Feature::Face(face)),
        Piece::Bend(bend) => (format!("bend `{}`", part.bends[bend].name), Feature::Bend(bend)),
    }
}

/// A formed feature of a face, in words, as the subject of a finding, and its entry.
pub(super) fn formed(subject: &Subject, of: Formed) -> (String, Feature, Span) {
    let part = subject.part;
    match of {
        Formed::Lip(id) => {
            let hole = part.hole(id);
            (format!("the lip of hole `{}`", hole.name), Feature::Hole(id), hole.span)
        }
        Formed::Bead { face, bead } => {
            let bead = &part.faces[face].beads[bead];
            (format!("bead `{}`", bead.name), Feature::Face(face), bead.span)
        }
    }
}
