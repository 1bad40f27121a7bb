//! The search for a better nest while it runs: its clock, its line on the terminal, and
//! the keys that stop it.

use crate::cli::args::SearchArgs;
use crate::cli::terminal;
use anyhow::bail;
use indicatif::ProgressBar;
use platewright::job::Job;
use platewright::nest::Progress;
use platewright::nest::USUAL_UNITS;
use platewright::place::Search;
use platewright::report::NestRow;
use platewright::report::Report;
use std::fmt;
use std::ops::ControlFlow;
use std::str::FromStr;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;

/// What a shell reports of a program that was interrupted.
const INTERRUPTED: i32 = 130;

/// Seconds for which the usual units are meant.
const USUAL_SECONDS: f64 = 10.0;

/// What repeats a search that was cut short. Written
/// `EFFORT:STAGES,…@SEED`, a pair for each kind of sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Replay {
    /// The effort allowed and the stage at which the search ended, for each kind of sheet.
    kinds: Vec<(u64, u64)>,
    seed: u64,
}

impl Replay {
    fn of(report: &Report) -> Self {
        let kind = |nest: &NestRow| (nest.effort, nest.stages);
        Self {
            kinds: report.nests.iter().map(kind).collect(),
            seed: report.nests.first().map_or(0, |nest| nest.seed),
        }
    }
}

impl fmt::Display for Replay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = |(effort, stages): &(u64, u64)| format!("{effort}:{stages}");
        let kinds: Vec<String> = self.kinds.iter().map(kind).collect();
        write!(f, "{}@{}", kinds.join(","), self.seed)
    }
}

impl FromStr for Replay {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let read = || {
            let (kinds, seed) = text.split_once('@')?;
            let kind = |kind: &str| {
                let (effort, stages) = kind.split_once(':')?;
                Some((effort.parse().ok()?, stages.parse().ok()?))
            };
            let kinds: Option<Vec<(u64, u64)>> = kinds.split(',').map(kind).collect();
            Some(Self { kinds: kinds?, seed: seed.parse().ok()? })
        };
        read().ok_or("copy the text that the interrupted run printed, such as 9000:12,9000:7@0")
    }
}

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
                "{}: {}, {:.1} % used, upper bound {:.1} %; Ctrl-C keeps this",
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
            units: replay.kinds.iter().map(|(effort, _)| *effort).collect(),
            shared: None,
            stop: replay.kinds.iter().map(|(_, stages)| *stages).collect(),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_replay_is_read_as_it_is_written() {
        let replay = Replay { kinds: vec![(1_000_000, 12), (0, 0)], seed: 7 };
        assert_eq!(replay.to_string(), "1000000:12,0:0@7");
        assert_eq!(replay.to_string().parse(), Ok(replay));
        for bad in ["", "@0", "1:2", "1@2", "1:2,@3", "1:2@", "-1:2@0", "1:2 @0"] {
            assert!(bad.parse::<Replay>().is_err(), "{bad}");
        }
    }
}
