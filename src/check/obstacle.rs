//! A part too near an obstacle that the job lists.
//!
//! # Looks for
//! Less than the required clearance between the outline of a face and one of the
//! `obstacles` of the job or of the recipe: a tube, a hose, a box, a lever that
//! swings, seen square to that face.
//!
//! # Why it matters
//! A tab that touches a hose saws through it; a gusset that touches a tube does not fit.
//!
//! # Example
//! An ear 4 mm from a hose that needs 6 mm.
//!
//! # Remedy
//! Move the part, make it smaller, or route the hose elsewhere.
//!
//! # Source
//! The job or the recipe.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::geom::Outline;
use crate::geom::outline_distance;

const CODE: &str = "obstacle";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
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
    findings
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
    let blank = face.blank.outer();
    let within =
        blank.contains(outline.vertices()[0].at) || outline.contains(blank.vertices()[0].at);
    let room = if within { 0.0 } else { outline_distance(blank, outline) };
    if room > 0.0 && !short(room, clear) {
        return None;
    }
    let (is, wanted) = (subject.show(room), subject.show(clear));
    let headline = if room > 0.0 {
        format!("`{name}` is {is} from the part, but {wanted} is required")
    } else {
        format!("the part overlaps `{name}`")
    };
    let help = "move it, make the part smaller there, or route it elsewhere";
    let finding = Finding::stop(CODE, headline).about(subject.of_part([Feature::Face(index)]));
    Some(finding.note(format!("seen square to face `{}`", face.name)).help(help))
}
