//! The clock, which the library never reads.

use std::time::Instant;

/// The time now.
#[expect(clippy::disallowed_methods, reason = "the clock is the command line's business")]
pub(super) fn now() -> Instant {
    Instant::now()
}
