//! Which orientations the grain of its sheet leaves a part.

use crate::diag::Finding;
use crate::geom::Place;
use crate::job::Job;
use crate::nest::Orientations;
use crate::num::Angle;
use crate::recipe::Grain;
use crate::solve::Solved;

/// Rotations that differ by less are equal, degrees: a report rounds them.
const SAME: f64 = 1e-5;

/// The grain of a solved part, and its orientations.
pub(crate) fn orientations(job: &Job, solved: &Solved) -> (Grain, Orientations) {
    let placing = &job.lines[solved.line].placing;
    let grain = placing.grain.unwrap_or(solved.part.grain);
    let usual = if grain == Grain::Free { Orientations::Quarters } else { Orientations::Half };
    (grain, placing.orientations.map_or(usual, |(known, _)| known))
}

/// Whether a part may have this place by its grain, its orientations and `may_flip`.
pub(super) fn allows(job: &Job, solved: &Solved, place: &Place) -> bool {
    if place.mirrored && job.lines[solved.line].placing.may_flip.is_none() {
        return false;
    }
    let (grain, orientations) = orientations(job, solved);
    let first = upright(grain).rotation.degrees();
    // Of a piece that is flipped over, the first rotation is the other way round.
    let first = if place.mirrored { -first } else { first };
    let turned = place.rotation.degrees() - first;
    let is_turned = |angle: &Angle| {
        let off = (turned - angle.degrees()).rem_euclid(360.0);
        off.min(360.0 - off) < SAME
    };
    orientations == Orientations::Free || orientations.angles().iter().any(is_turned)
}

/// A part whose y must lie along the grain is nested on its side first.
pub(super) fn upright(grain: Grain) -> Place {
    let rotation = if grain == Grain::AlongY { Angle::from_degrees(270.0) } else { Angle::ZERO };
    Place { rotation, ..Place::default() }
}

/// Impossible settings: orientations across the grain, or flipping over a part with two faces.
pub(crate) fn conflicts(job: &Job, solved: &Solved) -> Vec<Finding> {
    let placing = &job.lines[solved.line].placing;
    let (grain, orientations) = orientations(job, solved);
    let mut found = Vec::new();
    let across =
        grain != Grain::Free && matches!(orientations, Orientations::Quarters | Orientations::Free);
    if let Some((_, at)) = placing.orientations.filter(|_| across) {
        let headline = format!("the grain of `{}` allows half-turns only", solved.name);
        found.push(
            Finding::stop("grain", headline).at(at, "").help(
                "write `orientations = \"half-turns\"`, or `grain = \"free\"` if the grain does not matter",
            ),
        );
    }
    let faced = !solved.flat.marks.is_empty() || !solved.part.bends.is_empty();
    if let Some(at) = placing.may_flip.filter(|_| faced) {
        let headline =
            format!("`{}` has bends or marks, so it cannot be flipped over", solved.name);
        found.push(
            Finding::stop("may-flip", headline)
                .at(at, "")
                .help("remove `may_flip`: flipped over, it would be the other hand"),
        );
    }
    found
}
