//! A drawing whose last sheet has little on it: on fewer sheets, or with a larger flat on as many.

use crate::drawings::framed;
use crate::drawings::layout::WIDE;
use crate::drawings::page::choice::LARGER;
use crate::drawings::page::choice::SMALL;
use crate::drawings::page::choice::Trial;
use crate::drawings::page::choice::USUAL;
use crate::drawings::page::column::Share;
use crate::drawings::page::sheet::Sheet;
use crate::paper::Format;
use crate::paper::Plan;
use crate::paper::Unit;

/// A further sheet of which less than this share is taken is nearly empty. Our choice.
const LITTLE: f64 = 0.42;

/// A way to share out a drawing: how many sheets follow the first, what is on them, and the first.
type Found = (usize, Vec<Unit>, Trial);

impl Sheet<'_> {
    /// A drawing with fewer sheets, or with a larger flat and its last sheet well filled, for one
    /// whose last sheet is nearly empty.
    pub(super) fn fuller(
        &self,
        format: Format,
        (best, rest): (&Trial, &[Unit]),
        further: usize,
    ) -> Option<Found> {
        if further == 0 || !self.ends_nearly_empty(best, rest) {
            return None;
        }
        // To save a sheet the flat is drawn at the next smaller scale, but not small.
        let smaller = || {
            let by = Plan::smaller(best.drawn.by);
            let is_small = by < SMALL - 1e-9;
            let sheet = (!is_small).then(|| self.with_flat_at_most(by))?;
            sheet.fewer(format, (best, by), further)
        };
        self.fewer(format, (best, best.drawn.by), further)
            .or_else(smaller)
            .or_else(|| self.as_many(format, best, further))
    }

    /// The fewest sheets with a flat at a scale at least.
    fn fewer(&self, format: Format, (best, least): (&Trial, f64), further: usize) -> Option<Found> {
        let has_loads = !self.second(self.inside(best.layout.size)).is_empty();
        let wide = Share { side: WIDE, ..USUAL };
        let plain = || [USUAL, wide].into_iter().chain(self.shares());
        // In a narrower column the checks of a load have no room for their bars.
        let loads = plain().filter(|share| share.side >= WIDE);
        let loads = loads.map(|share| Share { has_loads: true, ..share });
        let mut found: Option<Found> = None;
        for share in plain().chain(loads.filter(|_| has_loads)) {
            let (layout, drawn) = self.drawn_layout(format, share);
            let is_worse = drawn.by < least - 1e-9 || drawn.left.len() > best.drawn.left.len();
            if is_worse || layout.size != best.layout.size {
                continue;
            }
            let trial = self.trial((layout, drawn), share);
            if share.has_loads && !trial.has_whole_column() {
                continue;
            }
            let rest = self.rest(&trial);
            let count = self.count(&trial, &rest);
            let fewest = found.as_ref().map_or(further, |(count, ..)| *count);
            if count < fewest {
                found = Some((count, rest, trial));
            }
            if count == 0 {
                break;
            }
        }
        found
    }

    /// As many sheets with a larger flat, the last of them well filled: of the fewest sheets the one
    /// with the largest flat.
    fn as_many(&self, format: Format, best: &Trial, further: usize) -> Option<Found> {
        if !self.is_bent() {
            return None;
        }
        let mut found: Option<Found> = None;
        for share in self.larger_shares() {
            let (layout, drawn) = self.drawn_layout(format, share);
            let is_worse = drawn.by < LARGER * best.drawn.by - 1e-9
                || drawn.left.len() > best.drawn.left.len();
            if is_worse {
                continue;
            }
            let trial = self.trial((layout, drawn), share);
            let rest = self.rest(&trial);
            let (count, by) = (self.count(&trial, &rest), trial.drawn.by);
            let is_better = found.as_ref().is_none_or(|(fewest, _, trial)| {
                count < *fewest || (count == *fewest && by > trial.drawn.by + 1e-9)
            });
            if count <= further && is_better && !self.ends_nearly_empty(&trial, &rest) {
                found = Some((count, rest, trial));
            }
        }
        found
    }

    /// How many sheets follow a first one.
    pub(super) fn count(&self, trial: &Trial, rest: &[Unit]) -> usize {
        let second = self.second_behind(trial);
        let all: Vec<&Unit> = rest.iter().chain(&second).collect();
        framed::count(&all, self.inside(trial.layout.size))
    }

    /// Fit and loads, where they are behind a first sheet.
    pub(super) fn second_behind(&self, trial: &Trial) -> Vec<Unit> {
        if trial.has_loads { Vec::new() } else { self.second(self.inside(trial.layout.size)) }
    }

    /// Whether the last of the sheets behind a first one has little on it.
    fn ends_nearly_empty(&self, trial: &Trial, rest: &[Unit]) -> bool {
        let second = self.second_behind(trial);
        let all: Vec<&Unit> = rest.iter().chain(&second).collect();
        let share = framed::last_share(&all, self.inside(trial.layout.size));
        share.is_some_and(|share| share < LITTLE)
    }
}
