//! A link whose two ends have threads of one hand.
//!
//! # Looks for
//! Two right-hand or two left-hand threads in one link.
//!
//! # Why it matters
//! Turning the tube screws one end in and the other out: its length cannot be set on the
//! machine. One end must come off its pin and be turned by whole or half turns. And a
//! left-hand end that was ordered by mistake fits no nut in the shop.
//!
//! # Example
//! `hand = "right"` for both ends of a steering link.
//!
//! # Remedy
//! `hand = ["right", "left"]`, which is also what comes without saying; mark the left-hand
//! end of the tube.
//!
//! # Source
//! Common practice.

use crate::check::LinkSubject;
use crate::diag::Finding;

const CODE: &str = "link-thread-hand";

pub(super) fn look(subject: &LinkSubject) -> Vec<Finding> {
    let link = subject.link;
    if link.turns() {
        return Vec::new();
    }
    let hand = link.ends[0].hand.word();
    let headline = format!("both ends have {hand}-hand threads: turning the tube does not set it");
    let place = link.places.hand.unwrap_or(link.places.name);
    vec![
        Finding::caution(CODE, headline)
            .at(place, "")
            .note(format!(
                "one end must come off its pin; each turn of it moves {}",
                subject.show(link.setting().per_turn)
            ))
            .help("write `hand = [\"right\", \"left\"]`"),
    ]
}
