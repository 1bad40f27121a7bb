//! The files of the best layout, made beside the search: a run that is stopped only writes them.
//!
//! Sheets are drawn once a layout has been the best for a moment. If better ones keep coming, which
//! mostly change a few sheets, the best is drawn once a second. A separate thread draws them and
//! rests between two layouts, so that the search keeps the cores. A drawing is used if the last
//! layout has the same sheet, and changes no byte.

use crate::cli::clock::now;
use platewright::make::Drafts;
use platewright::nest::Sheet;
use platewright::place::Best;
use platewright::workshop::Ready;
use std::sync::Condvar;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::PoisonError;
use std::sync::atomic::AtomicU64;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;

/// A layout that was not beaten for this long is drawn. Our choice: the search improves its first
/// ones many times a second.
const STANDS: Duration = Duration::from_millis(300);

/// The best layout is drawn after this time even if better ones keep coming. Our choice.
const KEEP_COMING: Duration = Duration::from_secs(1);

/// The next drawing waits this many times as long as the last one took: at most a quarter of one
/// core is lost to the search. Our choice.
const RESTS: u32 = 3;

/// The time of one core to draw one piece on its sheet, to cut from: the estimate until a layout
/// has been drawn. Our choice: about that in a profile of 20,000 small parts.
const PIECE: Duration = Duration::from_micros(60);

/// The best layouts, and how far they are drawn.
pub(super) struct Desk {
    state: Mutex<State>,
    changed: Condvar,
    /// How long it would take to draw the current layout, ms.
    reserve: AtomicU64,
}

struct State {
    /// By kind of sheet.
    best: Vec<Option<Best>>,
    /// How many better ones there were, when the last came, and the first that is not drawn.
    number: u64,
    since: Instant,
    first: Option<Instant>,
    /// Which of them is drawn.
    drawn: u64,
    /// The time of the last drawing, or half of the earlier estimate.
    cost: Duration,
    over: bool,
}

impl State {
    /// When the best may be drawn: nothing while a kind has no layout, or all is drawn.
    fn due(&self, rested: Instant) -> Option<Instant> {
        let is_due = self.number > self.drawn && self.best.iter().all(Option::is_some);
        let latest = self.first.unwrap_or(self.since) + KEEP_COMING;
        is_due.then(|| rested.max((self.since + STANDS).min(latest)))
    }

    /// How many pieces lie on the sheets of the best.
    fn pieces(&self) -> u32 {
        let sheets = self.best.iter().flatten().flat_map(|best| best.iter());
        sheets.map(|sheet| sheet.placed.len()).sum::<usize>().try_into().unwrap_or(u32::MAX)
    }
}

impl Desk {
    /// For a number of kinds of sheet.
    pub(super) fn new(kinds: usize) -> Self {
        let best = vec![None; kinds];
        let cost = Duration::ZERO;
        let state =
            State { best, number: 0, since: now(), first: None, drawn: 0, cost, over: false };
        Self { state: Mutex::new(state), changed: Condvar::new(), reserve: AtomicU64::new(0) }
    }

    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes down the best layout of a kind of sheet.
    pub(super) fn take(&self, kind: usize, best: &[Sheet]) {
        let mut state = self.lock();
        if state.best[kind].as_deref() != Some(best) {
            state.best[kind] = Some(best.to_vec());
            state.number += 1;
            state.since = now();
            let since = state.since;
            state.first.get_or_insert(since);
            self.note(&state);
            drop(state);
            self.changed.notify_all();
        }
    }

    /// The search is over: nothing more is drawn here.
    pub(super) fn close(&self) {
        self.lock().over = true;
        self.changed.notify_all();
    }

    /// Whether the search is over.
    pub(super) fn is_closed(&self) -> bool {
        self.lock().over
    }

    /// How long it would take one core to draw the current layout, measured on earlier drawings,
    /// and estimated until there are any.
    pub(super) fn reserve(&self) -> Duration {
        Duration::from_millis(self.reserve.load(Ordering::Relaxed))
    }

    fn note(&self, state: &State) {
        let cost = match state.drawn {
            drawn if drawn == state.number => Duration::ZERO,
            0 => PIECE * state.pieces(),
            _ => state.cost,
        };
        let ms = u64::try_from(cost.as_millis()).unwrap_or(u64::MAX);
        self.reserve.store(ms, Ordering::Relaxed);
    }

    /// Draws the current layout, whenever there is a new one, until the search is over.
    pub(super) fn draw(&self, ready: &Ready, drafts: &Drafts) {
        let mut rested = now();
        while let Some((number, layout)) = self.next(rested) {
            let begun = now();
            ready.draft(&layout, drafts, &|| !self.lock().over);
            let cost = begun.elapsed();
            rested = now() + RESTS * cost;
            let mut state = self.lock();
            if !state.over {
                state.drawn = number;
                // Later ones are mostly drawn already, but not always.
                state.cost = cost.max(state.cost / 2);
                self.note(&state);
            }
        }
    }

    /// Waits for a layout to draw, and its number; nothing once the search is over.
    fn next(&self, rested: Instant) -> Option<(u64, Vec<Best>)> {
        let mut state = self.lock();
        loop {
            if state.over {
                return None;
            }
            let due = state.due(rested);
            let left = due.map(|due| due.saturating_duration_since(now()));
            state = match left {
                Some(Duration::ZERO) => {
                    state.first = None;
                    return Some((state.number, state.best.iter().flatten().cloned().collect()));
                }
                Some(left) => {
                    let waited = self.changed.wait_timeout(state, left);
                    waited.unwrap_or_else(PoisonError::into_inner).0
                }
                None => self.changed.wait(state).unwrap_or_else(PoisonError::into_inner),
            };
        }
    }
}

/// Closes a desk when dropped, however a search ends.
pub(super) struct Closing<'a>(pub(super) &'a Desk);

impl Drop for Closing<'_> {
    fn drop(&mut self) {
        self.0.close();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A kind without a layout keeps the others waiting, one that is drawn is not drawn again, and
    /// a better one waits until it has lasted for a while and the drawing thread has rested.
    #[test]
    fn a_layout_is_drawn_once_it_stands() {
        let desk = Desk::new(2);
        let early = now();
        desk.take(0, &[]);
        assert_eq!(desk.lock().due(early), None);
        desk.take(1, &[]);
        let since = desk.lock().since;
        assert_eq!(desk.lock().due(early), Some(since + STANDS));
        desk.lock().first = Some(since - KEEP_COMING);
        assert_eq!(desk.lock().due(early), Some(since), "others came before it for so long");
        let rested = since + 2 * STANDS;
        assert_eq!(desk.lock().due(rested), Some(rested));
        assert_eq!(desk.next(early).map(|(number, best)| (number, best.len())), Some((2, 2)));
        let mut state = desk.lock();
        (state.drawn, state.cost) = (2, STANDS);
        desk.note(&state);
        drop(state);
        desk.take(0, &[]);
        assert_eq!((desk.lock().due(early), desk.reserve()), (None, Duration::ZERO), "the same");
        let other = Sheet { stock: 0, placed: Vec::new(), min_gap: None, min_margin: 0.0 };
        desk.take(0, &[other]);
        assert_eq!(desk.reserve(), STANDS, "as long as the last took");
        desk.close();
        assert!(desk.next(early).is_none());
    }
}
