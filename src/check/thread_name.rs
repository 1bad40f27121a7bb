//! A tapped hole whose thread is not identified.
//!
//! # Looks for
//! A hole with `made = "tap"` that has neither a bolt in `for` nor the size and pilot of a coarse
//! thread of the `bolt` table (caution). If it has, drawing and lists name that thread.
//!
//! # Why it matters
//! A thread is a diameter and a pitch: Ø8 alone does not name a tap. M8 × 1.25 and M8 × 1 need
//! different tap drills.
//!
//! # Example
//! `diameter = "8 mm", made = "tap", pilot = "6.8 mm"` is M8×1.25; with `pilot = "7 mm"` it is not
//! in the table, which has coarse threads only.
//!
//! # Remedy
//! Give the bolt: `for = "M8"`; or give the diameter of a coarse thread and its `tap_drill('M8')`.
//!
//! # Source
//! ISO 261 and ASME B1.1 by the `bolt` table; a pilot up to 0.1 mm larger than the tap drill is
//! taken to be for that thread, our choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::recipe::Making;

const CODE: &str = "thread-name";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let unnamed =
        subject.holes().filter(|(_, hole)| hole.making == Making::Tap && hole.thread.is_none());
    let finding = unnamed.map(|(flat, hole)| {
        let size = hole.diameter().map_or_else(String::new, |mm| format!(" Ø{}", subject.show(mm)));
        let headline = format!(
            "hole `{}` is tapped{size}, but no coarse thread has that size and pilot",
            hole.name
        );
        subject
            .finding(Weight::Caution, CODE, headline, &hole.depends, hole.span)
            .about(subject.of_part([Feature::Hole(flat.id)]))
            .help("name what is screwed in, `for = \"M8\"`, or give the thread in a note")
    });
    finding.collect()
}
