//! A part too near an obstacle that the job lists.
//!
//! # Looks for
//! Less than the required clearance between the outline of a face and one of the part's
//! `obstacles`: a tube, a hose, a box, seen square to that face.
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
//! The job.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::geom::outline_distance;

const CODE: &str = "obstacle";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for near in subject.near {
        let mut faces = subject.part.faces.iter().enumerate();
        let Some((i, face)) =
            faces.find(|(_, f)| near.face.as_ref().is_none_or(|(name, _)| *name == f.name))
        else {
            continue;
        };
        let (blank, outline) = (face.blank.outer(), &near.outline);
        let within =
            blank.contains(outline.vertices()[0].at) || outline.contains(blank.vertices()[0].at);
        let room = if within { 0.0 } else { outline_distance(blank, outline) };
        if room > 0.0 && !short(room, near.clear) {
            continue;
        }
        let (is, wanted) = (subject.show(room), subject.show(near.clear));
        let headline = if room > 0.0 {
            format!("`{}` is {is} from the part, but {wanted} is required", near.name)
        } else {
            format!("the part overlaps `{}`", near.name)
        };
        let help = "move it, make the part smaller there, or route it elsewhere";
        let finding = Finding::stop(CODE, headline).at(near.span, "").at(subject.here, "this part");
        let finding = finding.about(subject.of_part([Feature::Face(i)]));
        findings.push(finding.note(format!("seen square to face `{}`", face.name)).help(help));
    }
    findings
}
