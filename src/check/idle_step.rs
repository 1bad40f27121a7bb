//! A step that changes nothing, or openings that are not cut.
//!
//! # Looks for
//! A `fill` or `round` of more than 0 mm on a face that has no such corner at that step: no inside
//! corner to fill, no outside one to round. An `add` whose shape lies in metal that is there
//! already, and names no edge. An entry of `lighten` that cuts nothing. A tube of `cut_folded` that
//! meets no metal of the formed part.
//!
//! # Why it matters
//! If the step comes too early, before the cut whose corners it
//! should treat, the part is made with sharp corners. Metal is missing where an `add` should have
//! put it, or was added where an opening was meant. A face that is not lightened is heavier than
//! intended. A tube that meets no metal has nothing to be welded to.
//!
//! # Example
//! `{ fill = "6 mm" }` on a disc, or before the rectangle that makes the corner.
//!
//! # Remedy
//! Move the step after the one that makes the corners, or remove it. Move what is added to where it
//! belongs; write `cut` for an opening. Openings of a smaller
//! radius, or with thinner walls, may have room; `when` leaves `lighten` out of small parts. Move
//! the tube, or lengthen the face that should reach it.
//!
//! # Source
//! Geometry. Corners of less than 0.5° do not count: our choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::CornerStep;
use crate::part::Face;
use crate::part::Idle;
use crate::part::Lighten;
use crate::part::Lightened;

const CODE: &str = "idle-step";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let faces = subject.part.faces.iter().enumerate();
    let idle = faces.flat_map(|(i, face)| face.idle.iter().map(move |idle| (i, face, idle)));
    let finding = |(i, face, idle): (usize, &Face, &Idle)| {
        let name = &face.name;
        let no_corner = |step: &str, corner: &str| {
            format!("this `{step}` changes nothing: face `{name}` has no {corner} corner here")
        };
        let later = "move it after the step that makes the corners, or remove it";
        let (headline, help) = match idle.does {
            Some(CornerStep::Fill) => (no_corner("fill", "inside"), later),
            Some(CornerStep::Round) => (no_corner("round", "outside"), later),
            None => (
                format!("this `add` changes nothing: face `{name}` has metal there already"),
                "move the shape or make it larger, write `cut` if it is an opening, or remove it",
            ),
        };
        subject
            .finding(Weight::Caution, CODE, headline, &[], idle.span)
            .about(subject.of_part([Feature::Face(i)]))
            .help(help)
    };
    let lightens = subject.part.faces.iter().enumerate().flat_map(|(i, face)| {
        let pairs = face.lighten.iter().zip(&face.lightened);
        let empty = pairs.filter(|(_, cut)| cut.openings.is_empty());
        empty.map(move |(asked, cut)| not_lightened(subject, (i, face), asked, cut))
    });
    let tubes = subject.part.tubes.iter().filter(|tube| !tube.met).map(|tube| {
        let headline = "this `cut_folded` cuts nothing: its tube does not meet the formed part";
        subject
            .finding(Weight::Caution, CODE, headline.to_owned(), &[], tube.span)
            .about(subject.of_part([Feature::Face(tube.face)]))
            .help("move its axis, make the face that should reach it longer, or remove it")
    });
    idle.map(finding).chain(lightens).chain(tubes).collect()
}

/// Openings of which none is cut.
fn not_lightened(
    subject: &Subject,
    (i, face): (usize, &Face),
    asked: &Lighten,
    cut: &Lightened,
) -> Finding {
    let show = |mm: f64| subject.show(mm);
    let (wall, radius, smallest) = (show(asked.wall), show(asked.radius), show(asked.smallest));
    // Rounded as printed, and never up.
    let fits = (cut.fits * 10.0).floor() / 10.0;
    let (why, help) = if cut.left_out > 0 {
        (
            format!("every opening that fits is narrower than {smallest}"),
            "make `smallest` or `wall` smaller".to_owned(),
        )
    } else if fits > 0.0 {
        (
            format!("there is no room for a radius of {radius} inside walls of {wall}"),
            format!("make `round` {} or less, or `wall` smaller", show(fits)),
        )
    } else {
        (format!("there is no room inside walls of {wall}"), "make `wall` smaller".to_owned())
    };
    let headline = format!("this `lighten` cuts nothing out of face `{}`: {why}", face.name);
    subject
        .finding(Weight::Caution, CODE, headline, &[], asked.span)
        .about(subject.of_part([Feature::Face(i)]))
        .help(format!("{help}, or remove it"))
}
