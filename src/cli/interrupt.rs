//! Ctrl-C, and the requests of the system to end.
//!
//! Before anything was found they end the program at once. From then on the work ends as soon as it
//! can and its files are written, however often they come.

use crate::cli::terminal;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;

/// What a shell reports of a program that was interrupted.
const INTERRUPTED: i32 = 130;

/// What was asked of the program from outside.
#[derive(Default)]
pub(super) struct Interrupt {
    /// Whether there is something to keep.
    keeps: AtomicBool,
    /// Whether the work is to end.
    pressed: AtomicBool,
}

impl Interrupt {
    /// Listens from now on. Until [`Interrupt::keep`] is called nothing may be on the disk that
    /// would be left behind.
    pub(super) fn listen() -> anyhow::Result<Arc<Self>> {
        let interrupt = Arc::new(Self::default());
        let heard = Arc::clone(&interrupt);
        ctrlc::set_handler(move || heard.hear())?;
        Ok(interrupt)
    }

    fn hear(&self) {
        if !self.keeps.load(Ordering::Acquire) {
            terminal::say("interrupted; nothing was written");
            std::process::exit(INTERRUPTED);
        }
        if !self.pressed.swap(true, Ordering::Release) {
            terminal::say(
                "interrupted: the search stops, and the files of the best layout are written",
            );
        }
    }

    /// From now on what was found is kept.
    pub(super) fn keep(&self) {
        self.keeps.store(true, Ordering::Release);
    }

    /// Whether the work is to end.
    pub(super) fn is_pressed(&self) -> bool {
        self.pressed.load(Ordering::Acquire)
    }
}
