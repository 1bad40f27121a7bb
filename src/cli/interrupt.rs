//! Ctrl-C, and the requests of the system to end.
//!
//! Before anything was found they end the program at once. A search that is interrupted ends as
//! soon as it can, and the files of its best layout are written. Whoever asks once more while they
//! are made and written ends the program at once: nothing was written then, the folder is as it
//! was, and what was said repeats the search.

use crate::cli::terminal;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::PoisonError;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;
use thiserror::Error;

/// What a shell reports of a program that was interrupted.
pub(super) const INTERRUPTED: u8 = 130;

/// What comes sooner after the first is the same request: a key that was held, or a terminal that
/// is closed and then hangs up. Our choice.
const ONE_REQUEST: Duration = Duration::from_secs(1);

/// What was asked of the program from outside.
pub(super) struct Interrupt {
    heard: Mutex<Heard>,
    /// Whether the search is to end.
    pressed: AtomicBool,
    /// Whether nothing is to be written.
    given_up: AtomicBool,
}

struct Heard {
    phase: Phase,
    /// When the first came.
    first: Option<Instant>,
}

/// What the program does. Only while it writes anything lies on the disk that must not stay.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Phase {
    Solving,
    Searching,
    Making,
    Writing,
    /// For a file to be saved.
    Waiting,
}

/// Writing was given up before anything was changed.
#[derive(Debug, Error)]
#[error("interrupted; nothing was written")]
pub(super) struct GivenUp;

impl Interrupt {
    /// Listens from now on. Until [`Interrupt::writes`] is called nothing may be on the disk that
    /// would be left behind.
    pub(super) fn listen() -> anyhow::Result<Arc<Self>> {
        let interrupt = Arc::new(Self::new());
        let hears = Arc::clone(&interrupt);
        ctrlc::set_handler(move || hears.hear())?;
        Ok(interrupt)
    }

    /// One that listens to nothing.
    pub(super) fn new() -> Self {
        Self {
            heard: Mutex::new(Heard { phase: Phase::Solving, first: None }),
            pressed: AtomicBool::new(false),
            given_up: AtomicBool::new(false),
        }
    }

    fn hear(&self) {
        // Held to the end: the program does not begin to write meanwhile.
        let mut heard = self.lock();
        let again = heard.first.is_some_and(|first| now().duration_since(first) >= ONE_REQUEST);
        let first = heard.first.is_none();
        heard.first.get_or_insert_with(now);
        match heard.phase {
            Phase::Solving => end(),
            // Nothing is under way: that is how watching ends.
            Phase::Waiting => std::process::exit(0),
            Phase::Searching if first => {
                self.pressed.store(true, Ordering::Release);
                terminal::say(
                    "interrupted: the search stops, and the files of the best layout are written; \
                     interrupt again to write nothing",
                );
            }
            Phase::Making | Phase::Writing if first => terminal::say(
                "interrupted: the files are being written; interrupt again to write nothing",
            ),
            Phase::Making if again => end(),
            // A search ends first, so that what repeats it can be said.
            Phase::Searching | Phase::Writing if again => {
                self.given_up.store(true, Ordering::Release);
            }
            _ => {}
        }
    }

    /// As if two had come while files are written.
    #[cfg(test)]
    pub(super) fn twice() -> Self {
        Self { given_up: AtomicBool::new(true), ..Self::new() }
    }

    fn lock(&self) -> MutexGuard<'_, Heard> {
        self.heard.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Everything is written, and nothing is done until a file is saved; from now on an interrupt
    /// ends the program. Says whether one has come before, while something was still under way.
    pub(super) fn waits(&self) -> bool {
        let mut heard = self.lock();
        heard.phase = Phase::Waiting;
        heard.first.is_some()
    }

    /// A job is read and solved again.
    pub(super) fn solves(&self) {
        self.lock().phase = Phase::Solving;
    }

    /// From now on what was found is kept.
    pub(super) fn searches(&self) {
        self.lock().phase = Phase::Searching;
    }

    /// The search is over, and its files are made, unless that was given up meanwhile.
    pub(super) fn makes(&self) {
        let mut heard = self.lock();
        heard.phase = Phase::Making;
        if self.wanted().is_err() {
            end();
        }
    }

    /// The files are written.
    pub(super) fn writes(&self) {
        self.lock().phase = Phase::Writing;
    }

    /// Whether the search is to end.
    pub(super) fn is_pressed(&self) -> bool {
        self.pressed.load(Ordering::Acquire)
    }

    /// Refuses to write on when that was given up.
    pub(super) fn wanted(&self) -> Result<(), GivenUp> {
        if self.given_up.load(Ordering::Acquire) { Err(GivenUp) } else { Ok(()) }
    }
}

fn end() -> ! {
    terminal::say(&GivenUp.to_string());
    std::process::exit(INTERRUPTED.into());
}

#[expect(clippy::disallowed_methods, reason = "the clock is the command line's business")]
fn now() -> Instant {
    Instant::now()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Only a search is ended by the first; a second gives up what was not yet made.
    #[test]
    fn an_interrupt_ends_a_search_once() {
        let interrupt = Interrupt::new();
        interrupt.searches();
        assert!(!interrupt.is_pressed());
        interrupt.hear();
        interrupt.hear();
        assert!(interrupt.is_pressed() && interrupt.wanted().is_ok());
        interrupt.lock().first = now().checked_sub(ONE_REQUEST);
        interrupt.hear();
        assert!(interrupt.wanted().is_err());
        let interrupt = Interrupt::new();
        interrupt.makes();
        interrupt.hear();
        assert!(!interrupt.is_pressed() && interrupt.wanted().is_ok());
    }

    /// One that comes while the last file is written ends a watch as well: nobody presses it again.
    #[test]
    fn an_interrupt_before_the_wait_is_not_lost() {
        let interrupt = Interrupt::new();
        interrupt.writes();
        assert!(!interrupt.waits());
        interrupt.writes();
        interrupt.hear();
        assert!(!interrupt.is_pressed() && interrupt.waits());
    }

    /// While files are written, what comes at once is the same request as the first.
    #[test]
    fn a_second_interrupt_gives_up_what_is_written() {
        let interrupt = Interrupt::new();
        interrupt.writes();
        interrupt.hear();
        interrupt.hear();
        assert!(interrupt.wanted().is_ok());
        interrupt.lock().first = now().checked_sub(ONE_REQUEST);
        interrupt.hear();
        assert!(interrupt.wanted().is_err());
    }
}
