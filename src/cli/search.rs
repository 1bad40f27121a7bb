//! The search for a better nest while it runs: its clock, its line on the terminal, and what stops
//! it.

use crate::cli::args::SearchArgs;
use crate::cli::clock::now;
use crate::cli::drafting::Desk;
use crate::cli::interrupt::Interrupt;
use crate::cli::replay::Replay;
use crate::cli::terminal;
use anyhow::bail;
use indicatif::ProgressBar;
use platewright::job::Job;
use platewright::make::Nested;
use platewright::nest::Progress;
use platewright::nest::USUAL_UNITS;
use platewright::place::FoundOn;
use platewright::place::Search;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::OnceLock;
use std::sync::PoisonError;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;

/// Seconds for which the usual units are meant.
const USUAL_SECONDS: f64 = 10.0;

/// After the end of its time a search waits this long for the first layout, and then accepts rows
/// of boxes. Our choice: half a second, less the time of the rest.
const FIRST_LAYOUT: Duration = Duration::from_millis(350);

/// The work that may be left when the time is over: half a second, less the time of the report and
/// of writing the files. Our choice.
const LEFT: Duration = Duration::from_millis(300);

/// Minimum time for drawings, however short the search is: `--time` for the first layout only is no
/// reason to omit them. Our choice.
const MIN_TIME: Duration = Duration::from_secs(1);

/// Stops a search from outside, and shows its progress.
pub(super) struct Watcher {
    until: Option<Instant>,
    /// From when on drawings that are not begun are left out.
    drawn_until: Option<Instant>,
    /// Where the best layouts are drawn during the search.
    pub(super) desk: Desk,
    interrupt: Arc<Interrupt>,
    /// When it was first asked after the end of its time.
    late: OnceLock<Instant>,
    /// Set when the clock or an interrupt has ended a search that had more to do.
    cut_short: AtomicBool,
    names: Vec<String>,
    lines: Vec<ProgressBar>,
    /// By kind of sheet, what its line shows.
    shown: Mutex<Vec<Option<Progress>>>,
}

impl Watcher {
    /// Starts the clock.
    pub(super) fn start(
        args: &SearchArgs,
        job: &Job,
        interrupt: Arc<Interrupt>,
    ) -> anyhow::Result<Self> {
        let time = args.time.map(Duration::try_from_secs_f64).transpose();
        let Ok(time) = time else {
            bail!("`--time` is in seconds, 0 or more, such as `--time 20`");
        };
        let begun = now();
        let until = time.and_then(|time| begun.checked_add(time));
        let drawn_until = time.and_then(|time| begun.checked_add(drawing_time(time)));
        interrupt.searches();
        let names: Vec<String> = job.sheets.iter().map(|sheet| sheet.name.clone()).collect();
        let lines = terminal::lines(names.len());
        let shown = Mutex::new(vec![None; names.len()]);
        let (late, cut_short) = (OnceLock::new(), AtomicBool::new(false));
        let desk = Desk::new(names.len());
        Ok(Self { until, drawn_until, desk, interrupt, late, cut_short, names, lines, shown })
    }

    /// Shows the progress of the search on one kind of sheet, and says whether it is to end.
    pub(super) fn watch(&self, kind: usize, progress: &Progress) -> ControlFlow<()> {
        if !self.lines[kind].is_hidden() {
            self.show(kind, progress);
        }
        if self.is_over(progress) {
            self.cut_short.store(true, Ordering::Relaxed);
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    }

    /// Whether the time is over, and drawings that are not made yet are to be left out.
    pub(super) fn leaves_out(&self) -> bool {
        self.drawn_until.is_some_and(|until| now() >= until)
    }

    fn is_over(&self, progress: &Progress) -> bool {
        let now = now();
        let over = self.until.is_some_and(|until| now >= ending(until, self.desk.reserve()))
            || self.interrupt.is_pressed();
        over && (progress.sheets > 0
            || now.duration_since(*self.late.get_or_init(|| now)) >= FIRST_LAYOUT)
    }

    fn show(&self, kind: usize, progress: &Progress) {
        let mut shown = self.shown.lock().unwrap_or_else(PoisonError::into_inner);
        if shown[kind].replace(*progress) == Some(*progress) {
            return;
        }
        let name = &self.names[kind];
        self.lines[kind].set_message(match progress.sheets {
            0 => format!("{name}: first layout"),
            sheets => format!(
                "{name}: {}, {:.1} % used, upper bound {:.1} %; Ctrl-C keeps this",
                terminal::plural(sheets, "sheet"),
                100.0 * progress.usage,
                100.0 * progress.max
            ),
        });
    }

    /// Removes the lines, once the files are being made; prints how to repeat the same sheets if
    /// the search was cut short.
    pub(super) fn finish(&self, nested: Option<&Nested>) {
        for line in &self.lines {
            line.finish_and_clear();
        }
        if let Some(nested) = nested.filter(|_| self.cut_short.load(Ordering::Relaxed)) {
            let replay = Replay::of(nested);
            terminal::say(&format!(
                "the search was cut short; to repeat it exactly: --replay {replay}"
            ));
        }
        self.interrupt.makes();
    }
}

/// The delay after which drawings that are not begun are left out, for a search time.
fn drawing_time(search: Duration) -> Duration {
    search.max(MIN_TIME).saturating_add(LEFT)
}

/// When a search is to end whose time is over at `until`, with so much work left for one core after it:
/// earlier, where its files would be late.
fn ending(until: Instant, reserve: Duration) -> Instant {
    let cores = u32::try_from(rayon::current_num_threads()).unwrap_or(1).max(1);
    let early = (reserve / cores).saturating_sub(LEFT);
    until.checked_sub(early).unwrap_or(until)
}

/// The budget requested, and who watches the search.
pub(super) fn budget<'a>(
    args: &SearchArgs,
    watch: &'a (dyn Fn(usize, &Progress) -> ControlFlow<()> + Sync),
    found: Option<&'a FoundOn<'a>>,
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
            found,
        },
        None => {
            let (units, seed) = (args.effort.clone(), args.seed);
            Search { units, shared, stop: Vec::new(), seed, watch, found }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Everything is written half a second after the end of the time; a search of no time leaves a
    /// second to draw.
    #[test]
    fn drawings_have_the_time_of_the_search_and_a_second_at_least() {
        let of = |seconds: f64| drawing_time(Duration::from_secs_f64(seconds)).as_secs_f64();
        assert_eq!([0.0, 0.5, 1.0, 20.0].map(of), [1.3, 1.3, 1.3, 20.3]);
        assert_eq!(drawing_time(Duration::MAX), Duration::MAX);
    }
}
