//! A bend too long for any brake.
//!
//! # Looks for
//! Where the job names a shop: a bend that is longer than each of its brakes.
//!
//! # Why it matters
//! A bend made in two strokes side by side has a kink.
//!
//! # Example
//! A tray of 1.6 m on brakes of 1.25 m and 1.5 m.
//!
//! # Remedy
//! Divide the flange by slits into shorter bends, make the part in two, or have it bent
//! elsewhere.
//!
//! # Source
//! The shop's own brakes.

use crate::check::bend_sequence;
use crate::check::subject::Subject;
use crate::diag::Finding;
use crate::sequence::Cause;

const CODE: &str = "brake-length";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    bend_sequence::blocked(subject, CODE, Cause::Length, |bend, _| {
        format!("bend `{}` is too long for any brake in the shop", bend.name)
    })
}
