//! The course of a nesting: stages, each of which is completed or leaves no trace.
//!
//! So the number of stages, with the budget and the seed, says all about a nesting that was
//! stopped, whenever that was.

use crate::nest::problem::layout::Sheet;
use crate::nest::problem::progress::Progress;
use crate::nest::problem::progress::Stop;
use crate::nest::problem::rules::Rules;

/// How far a nesting has come.
pub(crate) struct Course<'a> {
    stop: &'a Stop<'a>,
    /// No stage begins after this number.
    stop_at: Option<u64>,
    /// Units of work allowed.
    allowed: u64,
    /// Units of work done in the stages completed.
    pub(crate) units: u64,
    /// Stages completed.
    pub(crate) stages: u64,
}

/// Share of the budget of each later step, insertion to eliminate sheets and insertion of fillings,
/// as one part in this number, if the step has anything to do. Our choice.
pub(crate) const SHARE: u64 = 12;

impl<'a> Course<'a> {
    pub(crate) fn new(rules: &Rules, stop: &'a Stop<'a>) -> Self {
        Self { stop, stop_at: rules.stop_at, allowed: rules.units, units: 0, stages: 0 }
    }

    /// Whether another stage may begin.
    pub(crate) fn may_continue(&self) -> bool {
        self.stop_at.is_none_or(|stop| self.stages < stop) && !self.stop.now()
    }

    /// The result of a stage; `None` if none may begin, or it was stopped before its end.
    pub(crate) fn stage<T>(&mut self, work: impl FnOnce() -> T) -> Option<T> {
        if !self.may_continue() {
            return None;
        }
        let result = work();
        if self.stop.now() {
            return None;
        }
        self.stages += 1;
        Some(result)
    }

    /// Shows the progress after a stage.
    pub(crate) fn show(&self, progress: Progress) {
        self.stop.show(Progress { units: self.units, ..progress });
    }

    /// Hands out the best layout after a stage.
    pub(crate) fn found(&self, best: impl FnOnce() -> Vec<Sheet>) {
        self.stop.found(best);
    }

    /// The budget of one of the later steps.
    pub(crate) fn share(&self) -> u64 {
        self.allowed / SHARE
    }
}
