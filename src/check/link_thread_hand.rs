//! A link with threads of the same hand at both ends.
//!
//! # Looks for
//! Two right-hand or two left-hand threads in one link.
//!
//! # Why it matters
//! Rotating the tube screws one end in and the other out: the link cannot be adjusted on the
//! machine. One end must come off its pin and be turned by whole or half turns. And a left-hand rod
//! end ordered by mistake fits no nut in the shop.
//!
//! # Example
//! `hand = "right"` for both ends of a steering link.
//!
//! # Remedy
//! `hand = ["right", "left"]`, the default; mark the left-hand end of the tube.
//!
//! # Source
//! Common practice.

use crate::check::link_subject::LinkSubject;
use crate::diag::Finding;

const CODE: &str = "link-thread-hand";

pub(super) fn check(subject: &LinkSubject) -> Vec<Finding> {
    let link = subject.link;
    if link.turns() {
        return Vec::new();
    }
    let hand = link.ends[0].hand.word();
    let headline =
        format!("both ends have {hand}-hand threads: rotating the tube does not adjust the length");
    let place = link.places.hand.unwrap_or(link.places.name);
    vec![
        Finding::caution(CODE, headline)
            .about(subject.of_link())
            .at(place, "")
            .note(format!(
                "one end must come off its pin; each turn of it adjusts the length by {}",
                subject.show(link.setting().per_turn)
            ))
            .help("write `hand = [\"right\", \"left\"]`"),
    ]
}
