//! Holes under what a bend lays over their face: shared by the checks of what goes through them.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::HoleId;
use crate::diag::Weight;
use crate::fold;
use crate::fold::Over;
use crate::part::Hole;

/// What to do about a hole that is covered.
pub(super) const HELP: &str =
    "move the hole, make what covers it shorter, or cut the hole through both";

/// By less, mm, nothing covers a hole: the edge of another is looked at in short chords.
const ROUND: f64 = 0.02;

/// What every bend lays over the centre of a hole, by the index of the bend.
fn all(subject: &Subject, (id, hole): (HoleId, &Hole)) -> Vec<(usize, Over)> {
    let at = (id.face, hole.outline.bounds().centre());
    let over = |bend| Some((bend, fold::over(subject.part, subject.folded, bend, at)?));
    (0..subject.part.bends.len()).filter_map(over).collect()
}

/// The bend that covers a hole or a part of it, how heavy that is, and what to say: a hem leaves no
/// room over it (stop), a leg or an eye some (caution).
pub(super) fn covering(subject: &Subject, of: (HoleId, &Hole)) -> Option<(usize, Weight, String)> {
    let radius = of.1.outline.bounds().width() / 2.0;
    let covers = |(_, over): &(usize, Over)| short(over.room() + ROUND, radius);
    let weight = |bend: usize| match subject.part.bends[bend].bend.form().is_hem() {
        true => Weight::Stop,
        false => Weight::Caution,
    };
    let covering = all(subject, of).into_iter().filter(covers).map(|(bend, _)| bend);
    let bend = covering.max_by_key(|bend| weight(*bend))?;
    let made = &subject.part.bends[bend];
    let words = match made.bend.form().is_hem() {
        true => format!("hem `{}` covers it", made.name),
        false => format!("what bend `{}` lays over the face covers it", made.name),
    };
    Some((bend, weight(bend), words))
}

/// How far from the centre of a hole that nothing covers each bend lays something over its face,
/// mm, which bend, and what that is called.
pub(super) fn beside(subject: &Subject, of: (HoleId, &Hole)) -> Vec<(f64, usize, String)> {
    let name = |bend: usize| &subject.part.bends[bend].name;
    let room = |(bend, over): (usize, Over)| match over {
        Over::Beside(room) => {
            Some((room, bend, format!("what bend `{}` lays over the face", name(bend))))
        }
        // What goes through both layers rests on the upper one.
        Over::Metal | Over::Opening(_) => None,
    };
    all(subject, of).into_iter().filter_map(room).collect()
}
