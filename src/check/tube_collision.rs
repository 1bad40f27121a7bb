//! Tubes in space that collide with a part.
//!
//! # Looks for
//! Metal inside a tube of the recipe, in a part whose face is placed by three points: in a face
//! that is not cut for the tube, or in a bend or flange beside a face that is. The edges of all
//! faces and bends of the formed part, its lips and beads, and the places under the centre line are
//! followed in steps of a quarter of the thickness; less than 0.06 mm of overlap counts as
//! touching. Faces of one part that put the same tube in different places are found as well.
//!
//! # Why it matters
//! The tube does not go in, or the plate does not reach its place.
//!
//! # Example
//! A bracket with a saddle along a tube in its base, whose flange is not cut and reaches into
//! the tube.
//!
//! # Remedy
//! Cut that face for the tube too, use `[[cut_folded]]`, which cuts through bends as well, or move
//! one of them. If the tube is slit for the plate, leave it.
//!
//! # Source
//! Geometry; the steps and the tolerance are our choice.

use crate::check::piece;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fold;
use crate::fold::TubeClash;
use crate::geom::length;
use crate::geom::minus;
use crate::part::Passing;

const CODE: &str = "tube-collision";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let part = subject.part;
    if let Some(apart) = elsewhere(subject) {
        return vec![apart];
    }
    let one = |clash: &TubeClash| {
        let tube = &part.passing[clash.tube];
        let (words, feature) = match clash.formed {
            None => piece::named(subject, clash.piece),
            Some(formed) => {
                let (words, feature, _) = piece::formed(subject, formed);
                (words, feature)
            }
        };
        let depth = subject.units.length(clash.depth);
        let (weight, help) = match tube.is_cut {
            _ if clash.formed.is_some() => {
                let weight = if tube.is_cut { Weight::Stop } else { Weight::Caution };
                (weight, "move one of them, or make what projects from the face lower".to_owned())
            }
            true => (
                Weight::Stop,
                "cut it out of that face as well, or out of the formed part with `[[cut_folded]]`, \
                 or move one of them"
                    .to_owned(),
            ),
            false => (
                Weight::Caution,
                format!(
                    "add `{{ cut = \"tube\", tube = \"{}\" }}` to the face, or move one of them; \
                     where the tube is slit for the plate, leave it",
                    tube.name
                ),
            ),
        };
        let headline = format!("{words} reaches {depth} into tube `{}`", tube.name);
        Finding { weight, ..Finding::stop(CODE, headline) }
            .at(tube.span, "")
            .at(subject.here, "")
            .about(subject.of_part([feature]))
            .help(help)
    };
    let clashes = fold::tube_clashes(part, subject.folded);
    // Once for each piece, however many faces the tube passes.
    let first = |i: usize, clash: &TubeClash| {
        let same = |other: &TubeClash| {
            (other.piece, other.formed) == (clash.piece, clash.formed)
                && part.passing[other.tube].name == part.passing[clash.tube].name
        };
        clashes.iter().position(same) == Some(i)
    };
    clashes.iter().enumerate().filter(|(i, clash)| first(*i, clash)).map(|(_, c)| one(c)).collect()
}

/// The finding where a face is not where its three points put it, as another face of the part has
/// a tube elsewhere.
fn elsewhere(subject: &Subject) -> Option<Finding> {
    let (part, folded) = (subject.part, subject.folded);
    let ends = |passing: &Passing| {
        let face = folded.faces.iter().find(|face| face.face == passing.face)?;
        let [from, to] = [0.0, passing.line.long()].map(|along| passing.line.at(along));
        Some([from, to].map(|at| face.frame.at(at)))
    };
    part.passing.iter().enumerate().find_map(|(i, passing)| {
        let first = part.passing[..i].iter().find(|other| other.name == passing.name)?;
        let (a, b) = (ends(first)?, ends(passing)?);
        let off = length(minus(a[0], b[0])).max(length(minus(a[1], b[1])));
        if off <= subject.params.tape() {
            return None;
        }
        let [one, two] = [first, passing].map(|passing| &part.faces[passing.face].name);
        let headline = format!(
            "faces `{one}` and `{two}` of the bent part put tube `{}` in two places, {} apart",
            passing.name,
            subject.units.length(off)
        );
        let finding = Finding::stop(CODE, headline).at(passing.span, "").at(subject.here, "");
        let features = [first, passing].map(|passing| Feature::Face(passing.face));
        Some(finding.about(subject.of_part(features)).help(
            "the bend fixes the position of a flange: correct its `on`, or the bend; or leave its \
             `on` out and use `[[cut_folded]]`",
        ))
    })
}
