//! Flanges that collide.
//!
//! # Looks for
//! Faces and bends of the formed part that would occupy the same space, and lips of holes and beads
//! that reach into another face or a bend. The edges of each, and the surfaces of lips and beads,
//! are followed through all others in steps of a quarter of the thickness; less than
//! 0.06 mm of overlap counts as touching.
//!
//! # Why it matters
//! The last bend cannot be finished: the flange meets another one, springs back, or
//! pushes it out of square.
//!
//! # Example
//! A channel 30 mm wide whose two flanges carry returns of 20 mm towards each other.
//!
//! # Remedy
//! Make one of the two shorter or narrower, shift it with `offset`, cut it at the corner
//! with `corner`, or bend it through a smaller angle.
//!
//! # Source
//! Geometry; the steps and the tolerance are our choice.

use crate::bend::Form;
use crate::check::piece;
use crate::check::subject::Subject;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fold;
use crate::fold::Formed;
use crate::fold::Piece;

const CODE: &str = "flange-collision";

/// A bend by more comes back over its face, degrees.
const HALF: f64 = 180.0;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let part = subject.part;
    // The bend that brought a piece to where it is.
    let bend = |piece: Piece| match piece {
        Piece::Face(face) => part.bends.iter().find(|b| b.to == face),
        Piece::Bend(bend) => part.bends.get(bend),
    };
    let finding = |(first, second): (Piece, Piece)| {
        let [(one, feature), (other, beside)] = [first, second].map(|of| piece::named(subject, of));
        let headline = format!("{one} and {other} collide when formed");
        let span = bend(second).or(bend(first)).map_or(subject.here, |b| b.span);
        let is_hem = |piece| bend(piece).is_some_and(|b| b.bend.form().is_hem());
        let of = |piece| bend(piece).map(|b| b.bend.form());
        let is_rolled = [first, second].into_iter().any(|piece| of(piece) == Some(Form::Rolled));
        let help = match is_hem(first) || is_hem(second) {
            false if is_rolled => "roll it through a smaller angle, or make one of them shorter",
            true => {
                "make one of them shorter, shift it with `offset`, or draw returns that meet as \
                 polygons with their ends cut at 45°"
            }
            false => {
                "make one of them smaller, shift it with `offset`, or cut it back with `corner`"
            }
        };
        subject
            .finding(Weight::Stop, CODE, headline, &[], span)
            .about(subject.of_part([feature, beside]))
            .help(help)
    };
    let pieces = fold::clashes(part, subject.folded).into_iter().map(finding);
    pieces.chain(formed(subject)).collect()
}

/// The lips and beads that collide with another piece. Those that a hem presses flat, and those in
/// the metal of a bend beside their face, have a finding of their own.
fn formed(subject: &Subject) -> Vec<Finding> {
    let part = subject.part;
    let pressed = |(of, piece): &(Formed, Piece)| {
        part.bends.iter().enumerate().any(|(i, bend)| {
            let ends = [bend.from, bend.to];
            let reaches = match piece {
                Piece::Face(face) => ends.contains(face),
                Piece::Bend(bend) => *bend == i,
            };
            let own = *piece == Piece::Bend(i) && bend.bend.angle().degrees() <= HALF + 1e-6;
            ends.contains(&of.face()) && (own || (bend.bend.form().is_hem() && reaches))
        })
    };
    let finding = |(of, piece): (Formed, Piece)| {
        let (one, feature, span) = piece::formed(subject, of);
        let (other, beside) = piece::named(subject, piece);
        let headline = format!("{one} and {other} collide when formed");
        subject
            .finding(Weight::Stop, CODE, headline, &[], span)
            .about(subject.of_part([feature, beside]))
            .help("move one of them, or make one of them smaller")
    };
    let found = fold::formed_clashes(part, subject.folded).into_iter();
    found.filter(|pair| !pressed(pair)).map(finding).collect()
}
