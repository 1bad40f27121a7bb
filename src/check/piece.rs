//! What findings call a piece of the folded part.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::fold::Piece;

/// A piece in words, and as what a finding is about.
pub(super) fn named(subject: &Subject, piece: Piece) -> (String, Feature) {
    let part = subject.part;
    match piece {
        Piece::Face(face) => (format!("face `{}`", part.faces[face].name), Feature::Face(face)),
        Piece::Bend(bend) => (format!("bend `{}`", part.bends[bend].name), Feature::Bend(bend)),
    }
}
