//! A step that changes nothing.
//!
//! # Looks for
//! A `fill` or `round` of more than 0 mm on a face that has no such corner at that step:
//! no inward corner to fill, no outward one to round.
//!
//! # Why it matters
//! The radius was there for a reason. If the step comes too early, before the cut whose
//! corners it should treat, the part is made with sharp corners.
//!
//! # Example
//! `{ fill = "6 mm" }` on a disc, or before the rectangle that makes the corner.
//!
//! # Remedy
//! Move the step after the one that makes the corners, or remove it.
//!
//! # Source
//! Geometry. Corners of less than 0.5° do not count: our choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::CornerStep;

const CODE: &str = "idle-step";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let faces = subject.part.faces.iter().enumerate();
    let idle = faces.flat_map(|(i, face)| face.idle.iter().map(move |idle| (i, face, idle)));
    let finding = |(i, face, idle): (usize, &crate::part::Face, &crate::part::Idle)| {
        let (step, corner) = match idle.does {
            CornerStep::Fill => ("fill", "inward"),
            CornerStep::Round => ("round", "outward"),
        };
        let headline = format!(
            "this `{step}` changes nothing: face `{}` has no {corner} corner here",
            face.name
        );
        subject
            .finding(Weight::Caution, CODE, headline, &[], idle.span)
            .about(subject.of_part([Feature::Face(i)]))
            .help("move it after the step that makes the corners, or remove it")
    };
    idle.map(finding).collect()
}
