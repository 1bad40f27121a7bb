//! Ctrl-C, and the requests of the system to end.
//!
//! Before anything was found they end the program at once. A search that is interrupted ends as
//! soon as it can, and the files of its best layout are written; drawings that are not begun within
//! half a second are left out, and named. Asked once more, the program leaves out the drawings that
//! are not made yet, and writes everything else; a third time it ends at once:
//! nothing was written then, the folder is as it was, and the text printed repeats the search. Once
//! the files are written there is nothing left to leave out: then the second request is the last.

use crate::cli::clock::now;
use crate::cli::terminal;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::OnceLock;
use std::sync::PoisonError;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;
use thiserror::Error;

/// The exit code of an interrupted program, as a shell reports it.
pub(super) const INTERRUPTED: u8 = 130;

/// Signals closer together than this are one request: a key held down, or a terminal that is closed
/// and then hangs up. Our choice.
const ONE_REQUEST: Duration = Duration::from_secs(1);

/// Drawings that are not begun this long after the first request are left out: the rest of half a
/// second is for the report and the disk. Our choice.
const DRAWS: Duration = Duration::from_millis(300);

/// The requests to stop from outside.
pub(super) struct Interrupt {
    heard: Mutex<Heard>,
    /// Whether the search is to end.
    pressed: AtomicBool,
    /// When the first request came that ends a search or the making of files.
    asked: OnceLock<Instant>,
    /// Whether drawings that are not made yet are to be left out.
    leaves_out: AtomicBool,
    /// Whether nothing is to be written.
    given_up: AtomicBool,
}

struct Heard {
    phase: Phase,
    /// How many requests have come, and when the last did.
    count: usize,
    last: Option<Instant>,
}

/// The reaction to a request.
#[derive(Debug, PartialEq, Eq)]
enum Act {
    /// A message, or none.
    Say(Option<&'static str>),
    /// The program ends without writing.
    End,
    /// The program ends: nothing is under way.
    Leave,
}

/// The phase of the program. Only while it writes are there files on the disk that must not stay.
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
            heard: Mutex::new(Heard { phase: Phase::Solving, count: 0, last: None }),
            pressed: AtomicBool::new(false),
            asked: OnceLock::new(),
            leaves_out: AtomicBool::new(false),
            given_up: AtomicBool::new(false),
        }
    }

    fn hear(&self) {
        // Locked to the end: the program does not begin to write meanwhile.
        let mut heard = self.lock();
        match self.act(&mut heard, now()) {
            Act::Say(words) => words.into_iter().for_each(terminal::say),
            Act::End => end(),
            Act::Leave => std::process::exit(0),
        }
    }

    /// The reaction to a request at a moment.
    fn act(&self, heard: &mut Heard, at: Instant) -> Act {
        let phase = heard.phase;
        match phase {
            Phase::Solving => return Act::End,
            // That is how watching ends.
            Phase::Waiting => return Act::Leave,
            Phase::Searching | Phase::Making | Phase::Writing => {}
        }
        if heard.last.is_some_and(|last| at.duration_since(last) < ONE_REQUEST) {
            return Act::Say(None);
        }
        heard.last = Some(at);
        heard.count += 1;
        self.asked.get_or_init(|| at);
        let words = match (heard.count, phase) {
            (1, Phase::Searching) => {
                self.pressed.store(true, Ordering::Release);
                "interrupted: the search stops, and the files of the best layout are written; \
                 drawings that are not made within half a second are left out"
            }
            (1, Phase::Writing) => {
                "interrupted: the files are being written; interrupt again to write nothing"
            }
            (1, _) => {
                "interrupted: the files are being made; drawings that are not made within half a \
                 second are left out"
            }
            (2, Phase::Searching | Phase::Making) => {
                self.leaves_out.store(true, Ordering::Release);
                "interrupted: drawings that are not made yet are left out; interrupt again to write \
                 nothing"
            }
            // Half-written files are removed first.
            (_, Phase::Writing) => {
                self.given_up.store(true, Ordering::Release);
                return Act::Say(None);
            }
            _ => return Act::End,
        };
        Act::Say(Some(words))
    }

    /// As if two had come while files are written.
    #[cfg(test)]
    pub(super) fn twice() -> Self {
        Self { given_up: AtomicBool::new(true), ..Self::new() }
    }

    fn lock(&self) -> MutexGuard<'_, Heard> {
        self.heard.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Everything is written, and the program waits until a file is saved; from now on an interrupt
    /// ends the program. Returns whether one has come before, while something was still under way.
    pub(super) fn waits(&self) -> bool {
        let mut heard = self.lock();
        heard.phase = Phase::Waiting;
        heard.count > 0
    }

    /// A job is read and solved again.
    pub(super) fn solves(&self) {
        self.lock().phase = Phase::Solving;
    }

    /// From now on the best result is kept.
    pub(super) fn searches(&self) {
        self.lock().phase = Phase::Searching;
    }

    /// The search is over, and its files are made.
    pub(super) fn makes(&self) {
        self.lock().phase = Phase::Making;
    }

    /// The files are written.
    pub(super) fn writes(&self) {
        self.lock().phase = Phase::Writing;
    }

    /// Whether drawings that are not made yet are to be left out.
    pub(super) fn leaves_out(&self) -> bool {
        self.leaves_out.load(Ordering::Acquire)
            || self.asked.get().is_some_and(|asked| now().duration_since(*asked) >= DRAWS)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// The reactions to requests at least a second apart.
    fn acts(interrupt: &Interrupt, count: usize) -> Vec<Act> {
        let mut heard = interrupt.lock();
        let begun = now();
        let at = |i: usize| begun + ONE_REQUEST * i as u32;
        (0..count).map(|i| interrupt.act(&mut heard, at(i))).collect()
    }

    /// The first ends a search, the second leaves out drawings, the third writes nothing.
    #[test]
    fn every_request_gives_up_more() {
        let interrupt = Interrupt::new();
        interrupt.searches();
        interrupt.hear();
        interrupt.hear();
        assert!(interrupt.is_pressed() && !interrupt.leaves_out(), "a key that is held");
        for searches in [true, false] {
            let interrupt = Interrupt::new();
            if searches {
                interrupt.searches()
            } else {
                interrupt.makes()
            }
            let said = acts(&interrupt, 2);
            assert!(said.iter().all(|act| matches!(act, Act::Say(Some(_)))), "{said:?}");
            assert_eq!(interrupt.is_pressed(), searches);
            assert!(interrupt.leaves_out() && interrupt.wanted().is_ok());
            let mut heard = interrupt.lock();
            assert_eq!(interrupt.act(&mut heard, now() + 3 * ONE_REQUEST), Act::End);
        }
    }

    /// Before anything was found the first ends the program.
    #[test]
    fn while_parts_are_solved_the_first_ends_the_program() {
        assert_eq!(acts(&Interrupt::new(), 1), [Act::End]);
    }

    /// One that comes while the last file is written ends a watch as well: it will not be repeated.
    #[test]
    fn an_interrupt_before_the_wait_is_not_lost() {
        let interrupt = Interrupt::new();
        interrupt.writes();
        assert!(!interrupt.waits());
        interrupt.writes();
        interrupt.hear();
        assert!(!interrupt.is_pressed() && interrupt.waits());
    }

    /// While files are written, a request at once counts as the first one; the next abandons the
    /// writing, though nothing was left out.
    #[test]
    fn a_second_interrupt_gives_up_what_is_written() {
        let interrupt = Interrupt::new();
        interrupt.writes();
        interrupt.hear();
        interrupt.hear();
        assert!(interrupt.wanted().is_ok());
        interrupt.lock().last = now().checked_sub(ONE_REQUEST);
        interrupt.hear();
        assert!(interrupt.wanted().is_err());
    }
}
