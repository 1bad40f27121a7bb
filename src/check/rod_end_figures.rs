//! A rod end with a figure missing.
//!
//! # Looks for
//! A clevis whose rod end has, in its row of the `rod-end` table, no width of its ball or no
//! diameter of its head or its shank (stop), or no width of its housing or no misalignment angle
//! (caution).
//!
//! # Why it matters
//! Ball, head and shank decide the gap between the ears, where they must end, and what they touch.
//! For any other missing figure the worst case is assumed: a housing as wide as its ball, and a
//! ball that does not tilt, so that the rod end is refused where the part's `swing` requires more.
//!
//! # Example
//! A row with `bore`, `ball_width`, `head` and `shank`, as measured with a caliper.
//!
//! # Remedy
//! Measure the rod end and fill in its row: `platewright tables rod-end --add` prints one, with
//! what each column means.
//!
//! # Source
//! That a housing is narrower than its ball: every row of the `rod-end` table.

use crate::check::subject::Subject;
use crate::diag::Finding;
use crate::diag::Weight;

const CODE: &str = "rod-end-figures";

/// Figures of a rod end, the weight of a missing one, and what is assumed then.
const FIGURES: [(&str, Weight, &str); 5] = [
    ("ball_width", Weight::Stop, "the gap between the ears cannot be judged"),
    ("head", Weight::Stop, "where the ears must end cannot be judged"),
    ("shank", Weight::Stop, "what it touches between the ears cannot be judged"),
    ("body_width", Weight::Caution, "its housing is assumed as wide as its ball"),
    ("swing", Weight::Caution, "its misalignment angle is not known: none is assumed"),
];

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some(clevis) = subject.part.clevis.as_ref() else { return Vec::new() };
    let row = &clevis.rod_end;
    let lacking: Vec<_> =
        FIGURES.iter().filter(|(field, ..)| row.quantity(field).is_none()).collect();
    let Some(weight) = lacking.iter().map(|(_, weight, _)| *weight).max() else {
        return Vec::new();
    };
    let each: Vec<String> =
        lacking.iter().map(|(field, _, what)| format!("no `{field}`: {what}")).collect();
    let headline = format!("rod end {} has {}", row.name(), each.join("; "));
    vec![
        subject
            .finding(weight, CODE, headline, &clevis.swing_depends, clevis.span)
            .about(subject.of_ear(clevis))
            .help("measure it and add it to the row of the `rod-end` table"),
    ]
}
