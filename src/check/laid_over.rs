//! Holes under what a bend lays over their face: shared by the checks of what goes through them.

use crate::check::subject::Subject;
use crate::diag::HoleId;
use crate::diag::Weight;
use crate::fold;
use crate::fold::Laid;
use crate::fold::Over;
use crate::geom::Outline;
use crate::geom::offset;
use crate::part::Hole;
use crate::part::HoleSize;

/// What to do about a hole that is covered.
pub(super) const HELP: &str =
    "move the hole, make what covers it shorter, or cut the hole through both";

/// A smaller overlap, mm, covers no hole: one cut through both layers is bounded by the same line
/// in both, and metal that leans over the face is approximated by short chords. Our choice.
const ROUND: f64 = 0.02;

/// What every bend lays over the face of a hole, by the index of the bend.
fn all(subject: &Subject, face: usize) -> impl Iterator<Item = (usize, Laid)> {
    let bends = 0..subject.part.bends.len();
    bends.filter_map(move |i| Some((i, fold::laid(subject.part, subject.folded, i, face)?)))
}

/// The area that must stay free of a final hole, on the side over which a bend is laid.
fn free(hole: &Hole, up: bool) -> Outline {
    let sunk = hole.recess.filter(|recess| recess.is_up() == up).map(|recess| recess.diameter);
    let widest = [hole.finished, sunk].into_iter().flatten().fold(0.0, f64::max);
    let more = match hole.size {
        HoleSize::Round { diameter } => (widest - diameter).max(0.0) / 2.0,
        _ => 0.0,
    };
    // An outline too fine to be offset is used as it is.
    offset(&hole.outline, more - ROUND).unwrap_or_else(|_| hole.outline.clone())
}

/// The bend that covers a hole or a part of it, how heavy that is, and what it is called: a hem leaves no
/// room over it (stop), a leg or an eye some (caution).
pub(super) fn covering(
    subject: &Subject,
    (id, hole): (HoleId, &Hole),
) -> Option<(usize, Weight, String)> {
    let covers =
        |(bend, laid): &(usize, Laid)| laid.reaches(&free(hole, subject.part.bends[*bend].up));
    let weight = |bend: usize| match subject.part.bends[bend].bend.form().is_hem() {
        true => Weight::Stop,
        false => Weight::Caution,
    };
    let covering = all(subject, id.face).filter(covers).map(|(bend, _)| bend);
    let bend = covering.max_by_key(|bend| weight(*bend))?;
    let made = &subject.part.bends[bend];
    let words = match made.bend.form().is_hem() {
        true => format!("hem `{}`", made.name),
        false => format!("the metal that bend `{}` folds over the face", made.name),
    };
    Some((bend, weight(bend), words))
}

/// How far from the centre of a hole that nothing covers each bend lays something over its face,
/// mm, which bend, and what that is called.
pub(super) fn beside(subject: &Subject, of: (HoleId, &Hole)) -> Vec<(f64, usize, String)> {
    let name = |bend: usize| &subject.part.bends[bend].name;
    let at = of.1.outline.bounds().centre();
    let room = |(bend, laid): (usize, Laid)| match laid.over(at) {
        Over::Beside(room) => {
            Some((room, bend, format!("the metal that bend `{}` folds over the face", name(bend))))
        }
        // A fastener through both layers rests on the upper one.
        Over::Metal | Over::Opening(_) => None,
    };
    all(subject, of.0.face).filter_map(room).collect()
}
