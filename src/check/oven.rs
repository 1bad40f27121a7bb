//! A piece that does not fit in the oven.
//!
//! # Looks for
//! A coated part whose flat is larger than the shop's oven in every orientation along its
//! sides, and a link whose tube with its bungs, as it is coated, is longer than the oven.
//!
//! # Why it matters
//! Otherwise it shows when the part is ready for the oven, with the powder on it.
//!
//! # Example
//! A tube of a link 1310 mm long, and an oven of 1200 mm.
//!
//! # Remedy
//! Make it in two pieces, have it coated elsewhere, or leave the coating out.
//!
//! # Source
//! The shop file. A diagonal fit is not looked for; a bent part may go in once formed.

use crate::check::link_subject::LinkSubject;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;

const CODE: &str = "oven";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let Some(oven) = subject.limits.oven.filter(|_| subject.coating() > 0.0) else {
        return Vec::new();
    };
    let bounds = subject.flat.region.bounds();
    let part = sorted([bounds.width(), bounds.height(), subject.part.thickness]);
    if !part.iter().zip(sorted(oven)).any(|(part, oven)| short(oven, *part)) {
        return Vec::new();
    }
    let headline = format!(
        "the flat, {} × {}, does not fit in the oven",
        subject.show(bounds.width()),
        subject.show(bounds.height())
    );
    let note = format!("the oven is {}", oven.map(|mm| subject.show(mm)).join(" × "));
    let finding = Finding { weight: Weight::Caution, ..Finding::stop(CODE, headline) };
    vec![
        finding
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
    let finding = Finding { weight: Weight::Caution, ..Finding::stop(CODE, headline) };
    let about = subject.of_link();
    vec![
        finding
            .about(about)
            .at(subject.link.places.pins, "")
            .help("coat it elsewhere, or paint it"),
    ]
}

fn sorted(mut sides: [f64; 3]) -> [f64; 3] {
    sides.sort_by(f64::total_cmp);
    sides
}
