//! A part too near an obstacle that the job lists.
//!
//! # Looks for
//! Less than the required clearance between the metal of a face, its openings left out, or the
//! bends beside it as far as they reach out, and one of the `obstacles` of the job or of the
//! recipe: a tube, a hose, a box, a lever that swings, seen square to that face (stop). Another
//! face or a bend of the part in the tube to which an edge is cut with `cut = "tube"` or a saddle,
//! which clears its own face alone (caution).
//!
//! # Why it matters
//! A tab that touches a hose chafes through it; a gusset that touches a tube does not fit.
//!
//! # Example
//! An ear 4 mm from a hose that needs 6 mm.
//!
//! # Remedy
//! Move the part, make it smaller, or route the hose elsewhere; for a tube that goes through
//! several faces use `[[cut_folded]]`.
//!
//! # Source
//! The job or the recipe; for tubes geometry, as if they had no ends.

use crate::check::piece;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::fold;
use crate::fold::FoldedBend;
use crate::fold::Piece;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::RegionError;
use crate::geom::edges_distance;
use crate::geom::outline_distance;
use crate::geom::ring_edges;
use crate::geom::ring_holds;

const CODE: &str = "obstacle";

/// Metal that shares less with an obstacle, mm², touches it: rounding. Our choice.
const SHARED: f64 = 0.01;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for near in subject.near {
        let mut faces = subject.part.faces.iter();
        let face = faces.position(|f| near.face.as_ref().is_none_or(|(name, _)| *name == f.name));
        let found =
            face.and_then(|face| judge(subject, face, &near.name, &near.outline, near.clear));
        findings.extend(found.map(|f| f.at(near.span, "").at(subject.here, "this part")));
    }
    for (i, face) in subject.part.faces.iter().enumerate() {
        for of in &face.obstacles {
            let found = judge(subject, i, &of.name, &of.outline, of.clear);
            findings.extend(found.map(|f| f.at(of.span, "").at(subject.here, "this part")));
        }
    }
    findings.extend(through(subject));
    findings
}

/// Tubes that are cut out of one face and run through another, or through a bend.
fn through(subject: &Subject) -> Vec<Finding> {
    let found = fold::in_tubes(subject.part, subject.folded).into_iter();
    let finding = |(face, piece): (usize, Piece)| {
        let own = &subject.part.faces[face];
        let (words, feature) = piece::named(subject, piece);
        let headline =
            format!("{words} is in the way of the tube that is cut out of face `{}`", own.name);
        Finding::caution(CODE, headline)
            .at(subject.here, words)
            .about(subject.of_part([Feature::Face(face), feature]))
            .note("`cut = \"tube\"` and saddles clear one face; if the tube ends short of the other, nothing is wrong")
            .help("cut it out of the formed part: `[[cut_folded]]`")
    };
    found.map(finding).collect()
}

/// From the shadow of a bend to an outline, mm; 0 where one is within the other.
fn from_shadow(shadow: &[Point], outline: &Outline) -> f64 {
    let within = ring_holds(shadow, outline.vertices()[0].at)
        || shadow.first().is_some_and(|corner| outline.contains(*corner));
    if within { 0.0 } else { edges_distance(outline.edges(), &ring_edges(shadow)) }
}

/// The finding for one obstacle of a face, where it is too near.
fn judge(
    subject: &Subject,
    index: usize,
    name: &str,
    outline: &Outline,
    clear: f64,
) -> Option<Finding> {
    let face = &subject.part.faces[index];
    let mut overlaps = shared(&face.blank, outline) > SHARED;
    let edges = face.blank.outlines().map(|edge| outline_distance(edge, outline));
    let room = edges.fold(f64::INFINITY, f64::min);
    let beside = |bend: &&FoldedBend| {
        let bend = &subject.part.bends[bend.bend];
        bend.from == index || bend.to == index
    };
    let bends = subject.folded.bends.iter().filter(beside);
    let shadows = bends.map(|bend| fold::shadow(subject.part, subject.folded, bend.bend, index));
    let beside = shadows.map(|shadow| from_shadow(&shadow, outline)).fold(f64::INFINITY, f64::min);
    overlaps |= beside <= 0.0;
    let room = room.min(beside);
    if !overlaps && !short(room, clear) {
        return None;
    }
    let (is, wanted) = (subject.show(room), subject.show(clear));
    let headline = match overlaps {
        true => format!("the part overlaps `{name}`"),
        false => format!("`{name}` is {is} from the part, but {wanted} is required"),
    };
    let help = format!("move the part, make it smaller there, or route `{name}` elsewhere");
    let finding = Finding::stop(CODE, headline).about(subject.of_part([Feature::Face(index)]));
    Some(finding.note(format!("seen square to face `{}`", face.name)).help(help))
}

/// The metal of a face that an obstacle takes, mm²; all of it where that is in pieces then.
fn shared(blank: &Region, outline: &Outline) -> f64 {
    match blank.without(outline) {
        Ok(left) => blank.area() - left.area(),
        Err(RegionError::Misses) => 0.0,
        Err(_) => blank.area(),
    }
}
