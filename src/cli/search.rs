//! The search for a better nest while it runs: its clock, its line on the terminal, and
//! the keys that stop it.

use crate::cli::args::SearchArgs;
use crate::cli::replay::Replay;
use crate::cli::terminal;
use anyhow::bail;
use indicatif::ProgressBar;
use platewright::job::Job;
use platewright::nest::Progress;
use platewright::nest::USUAL_UNITS;
use platewright::place::Search;
use platewright::report::Report;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;

/// What a shell reports of a program that was interrupted.
const INTERRUPTED: i32 = 130;

/// Seconds for which the usual units are meant.
const USUAL_SECONDS: f64 = 10.0;

/// What stops a search from outside, and shows how it stands.
pub(super) struct Watcher {
    until: Option<Instant>,
    /// Set by Ctrl-C.
    interrupted: Arc<AtomicBool>,
    /// Set when the clock or Ctrl-C has ended a search that had more to do.
    cut_short: AtomicBool,
    names: Vec<String>,
    lines: Vec<ProgressBar>,
}

impl Watcher {
    /// Starts the clock and listens to Ctrl-C.
    pub(super) fn start(args: &SearchArgs, job: &Job) -> anyhow::Result<Self> {
        let interrupted = Arc::new(AtomicBool::new(false));
        let pressed = interrupted.clone();
        ctrlc::set_handler(move || {
            if pressed.swap(true, Ordering::Relaxed) {
                std::process::exit(INTERRUPTED);
            }
        })?;
        let until = match args.time {
            None => None,
            Some(seconds) => match Duration::try_from_secs_f64(seconds) {
                Ok(time) => now().checked_add(time),
                Err(_) => bail!("`--time` is in seconds, 0 or more, such as `--time 20`"),
            },
        };
        let names: Vec<String> = job.sheets.iter().map(|sheet| sheet.name.clone()).collect();
        let lines = terminal::lines(names.len());
        Ok(Self { until, interrupted, cut_short: AtomicBool::new(false), names, lines })
    }

    /// Shows the progress of the search on one kind of sheet.
    pub(super) fn watch(&self, kind: usize, progress: &Progress) -> ControlFlow<()> {
        let line = &self.lines[kind];
        if !line.is_hidden() {
            line.set_message(format!(
                "{}: {}, {:.1} % filled, upper bound {:.1} %; Ctrl-C keeps this",
                self.names[kind],
                terminal::plural(progress.sheets, "sheet"),
                100.0 * progress.usage,
                100.0 * progress.most
            ));
        }
        let late = self.until.is_some_and(|until| now() >= until);
        if late || self.interrupted.load(Ordering::Relaxed) {
            self.cut_short.store(true, Ordering::Relaxed);
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    }

    /// Takes the lines away; says how to come to the same sheets again when the search was
    /// cut short.
    pub(super) fn finish(&self, report: Option<&Report>) {
        for line in &self.lines {
            line.finish_and_clear();
        }
        if let Some(report) = report.filter(|_| self.cut_short.load(Ordering::Relaxed)) {
            let replay = Replay::of(report);
            terminal::say(&format!(
                "the search was cut short; to repeat it exactly: --replay {replay}"
            ));
        }
    }
}

/// The budget that was asked for.
pub(super) fn budget<'a>(
    args: &SearchArgs,
    watch: &'a (dyn Fn(usize, &Progress) -> ControlFlow<()> + Sync),
) -> Search<'a> {
    // As many as are usual in that time, for all kinds of sheet together; the clock only cuts
    // them short.
    let usual = |seconds: f64| (seconds / USUAL_SECONDS * USUAL_UNITS as f64) as u64;
    let shared = args.time.filter(|_| args.effort.is_empty()).map(usual);
    match &args.replay {
        Some(replay) => Search {
            units: replay.efforts(),
            shared: None,
            stop: replay.stages(),
            seed: replay.seed,
            watch,
        },
        None => {
            Search { units: args.effort.clone(), shared, stop: Vec::new(), seed: args.seed, watch }
        }
    }
}

#[expect(clippy::disallowed_methods, reason = "the clock is the command line's business")]
fn now() -> Instant {
    Instant::now()
}
