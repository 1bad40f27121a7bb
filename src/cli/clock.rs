//! The clock, which the library never reads.

use std::time::Instant;
use std::time::SystemTime;

/// The time now.
#[expect(clippy::disallowed_methods, reason = "the clock is the command line's business")]
pub(super) fn now() -> Instant {
    Instant::now()
}

/// The time of day and its date.
#[expect(clippy::disallowed_methods, reason = "the clock is the command line's business")]
pub(super) fn of_day() -> SystemTime {
    SystemTime::now()
}
