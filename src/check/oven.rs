//! A piece that does not fit in the oven.
//!
//! # Looks for
//! A coated part whose flat is larger than the shop's oven in every orientation square to its
//! walls; a link whose tube with its bungs, as it is coated, is longer than the oven; a coped tube,
//! and a `[[weldment]]` of the job, that are larger than the oven. The size of parts that are
//! welded together is known only if the job gives it in a `[[weldment]]`; without one, a recipe of
//! several plates whose diagonals add up to more than the oven's shortest side is reported as not
//! judged.
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
use crate::check::limits::sorted;
use crate::check::link_subject::LinkSubject;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::quantity::Units;

const CODE: &str = "oven";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some(oven) = subject.limits.oven.filter(|_| subject.coating() > 0.0) else {
        return Vec::new();
    };
    let bounds = subject.flat.region.bounds();
    let part = [bounds.width(), bounds.height(), subject.part.thickness];
    if subject.limits.goes_into_oven(part) != Some(false) {
        return Vec::new();
    }
    let headline = format!(
        "the flat, {} × {}, does not fit in the oven",
        subject.show(bounds.width()),
        subject.show(bounds.height())
    );
    let note = format!("the oven is {}", oven.map(|mm| subject.show(mm)).join(" × "));
    vec![
        Finding::caution(CODE, headline)
            .about(subject.of_part([]))
            .at(subject.here, "")
            .note(note)
            .help("make it in two pieces, or coat it elsewhere"),
    ]
}

pub(super) fn look_at_link(subject: &LinkSubject) -> Vec<Finding> {
    let Some(oven) = subject.limits.oven.filter(|_| subject.coating > 0.0) else {
        return Vec::new();
    };
    let (longest, welded) = (sorted(oven)[2], subject.link.setting().welded);
    if !short(longest, welded) {
        return Vec::new();
    }
    let headline = format!(
        "the tube with its bungs, {}, does not fit in the oven of {}",
        subject.show(welded),
        subject.show(longest)
    );
    let about = subject.of_link();
    vec![
        Finding::caution(CODE, headline)
            .about(about)
            .at(subject.link.places.pins, "")
            .help("coat it elsewhere, or paint it"),
    ]
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

/// Whether a coated item fits into the oven; a caution if it does not.
pub fn coated(subject: &Coated) -> Option<Finding> {
    let oven = subject.limits.oven?;
    let show = |sides: [f64; 3]| sides.map(|mm| subject.units.length(mm)).join(" × ");
    if subject.limits.goes_into_oven(subject.size)? {
        return None;
    }
    let headline = format!("{}, {}, does not fit in the oven", subject.what, show(subject.size));
    let finding = Finding::caution(CODE, headline).at(subject.here, "");
    let finding = finding.note(format!("the oven is {}", show(oven)));
    let finding = finding.help("make it in two pieces, coat it elsewhere, or paint it");
    Some(match &subject.about {
        Some(about) => finding.about(about.clone()),
        None => finding,
    })
}
