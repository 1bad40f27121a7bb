//! A piece that does not fit in the oven, or is longer than its coating line takes.
//!
//! # Looks for
//! A coated part whose flat is larger than the shop's oven in every orientation square to its
//! walls; a link whose tube with its bungs, as it is coated, is longer than the oven; a coped tube,
//! and a `[[weldment]]` of the job, that are larger than the oven. No oven is needed for a coating
//! that cures in air or is applied in a bath (`cure` of its row in the table `coating`); where the
//! row has a `largest`, no piece may be longer. The size of parts that are welded together is known
//! only if the job gives it in a `[[weldment]]`; without one, a recipe of several plates whose
//! diagonals add up to more than the oven's shortest side is reported as not judged.
//!
//! # Why it matters
//! Otherwise this is noticed only at the oven, with the powder already on the part.
//!
//! # Example
//! The tube of a link is 1310 mm long, the oven 1200 mm.
//!
//! # Remedy
//! Make it in two pieces, have it coated elsewhere, or leave the coating out.
//!
//! # Source
//! The shop file. A diagonal fit is not checked; a bent part may fit once formed.

use crate::check::limits::Limits;
use crate::check::link_subject::LinkSubject;
use crate::check::subject::Subject;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::quantity::Units;

const CODE: &str = "oven";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    if subject.coating() <= 0.0 {
        return Vec::new();
    }
    let bounds = subject.flat.region.bounds();
    let part = [bounds.width(), bounds.height(), subject.part.thickness];
    let Some((why, note)) = refused(subject.limits, part, |mm| subject.show(mm)) else {
        return Vec::new();
    };
    let headline = format!(
        "the flat, {} × {}, {why}",
        subject.show(bounds.width()),
        subject.show(bounds.height())
    );
    vec![
        Finding::caution(CODE, headline)
            .about(subject.of_part([]))
            .at(subject.here, "")
            .note(note)
            .help("make it in two pieces, or coat it elsewhere"),
    ]
}

/// Why a box of three dimensions, mm, cannot be coated, and a note; `None` where it can, or nothing is known.
fn refused(
    limits: &Limits,
    sides: [f64; 3],
    show: impl Fn(f64) -> String,
) -> Option<(&'static str, String)> {
    if let Some(oven) = limits.too_small(sides) {
        return Some(("does not fit in the oven", size_of_oven(oven.map(show))));
    }
    let largest = show(limits.too_long(sides)?);
    Some(("is longer than the coating line takes", largest_piece(&largest)))
}

/// How large an oven is, in words.
pub(crate) fn size_of_oven(sides: [String; 3]) -> String {
    format!("the oven is {}", sides.join(" × "))
}

/// How long a piece may be, in words.
pub(crate) fn largest_piece(largest: &str) -> String {
    format!("the coating line takes pieces up to {largest} long (`largest` of the coating)")
}

pub(super) fn look_at_link(subject: &LinkSubject) -> Vec<Finding> {
    let welded = subject.link.setting().welded;
    let show = |mm: f64| subject.show(mm);
    let outside = subject.link.tube.measure("outside");
    let of_link = [welded, outside, outside];
    if subject.coating <= 0.0 {
        return Vec::new();
    }
    let Some((why, note)) = refused(subject.limits, of_link, show) else { return Vec::new() };
    let headline = format!("the tube with its bungs, {}, {why}", show(welded));
    let finding = Finding::caution(CODE, headline).about(subject.of_link());
    let finding = finding.at(subject.link.places.pins, "").note(note);
    vec![finding.help("coat it elsewhere, or paint it")]
}

/// A coated item of a job that is neither a part nor a link.
pub struct Coated<'a> {
    /// Its name, in words: "tube `brace`".
    pub what: String,
    /// The same, typed, where there is a kind for it.
    pub about: Option<About>,
    /// Over all, mm.
    pub size: [f64; 3],
    /// Where it is named.
    pub here: Span,
    /// The limits of the job.
    pub limits: &'a Limits,
    /// How lengths are printed.
    pub units: Units,
}

/// Whether a coated item fits into the oven and its line; a caution if it does not.
pub fn coated(subject: &Coated) -> Option<Finding> {
    let show = |mm: f64| subject.units.length(mm);
    let (why, note) = refused(subject.limits, subject.size, show)?;
    let size = subject.size.map(show).join(" × ");
    let headline = format!("{}, {size}, {why}", subject.what);
    let finding = Finding::caution(CODE, headline).at(subject.here, "").note(note);
    let finding = finding.help("make it in two pieces, coat it elsewhere, or paint it");
    Some(match &subject.about {
        Some(about) => finding.about(about.clone()),
        None => finding,
    })
}
