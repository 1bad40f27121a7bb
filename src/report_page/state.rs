//! Clear, caution or stop: a shape and a word, never a colour alone.

use crate::diag::Weight;
use crate::num::counted;
use crate::report::FindingRow;
use crate::report_page::html::Html;
use crate::report_page::html::of_class;

/// What came of the checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    Clear,
    /// Findings there are none, but notes on the fit.
    Notes(usize),
    Cautions(usize),
    Stops(usize),
}

/// What came of the checks of a part, or of all, and how many notes there are on the fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Checked {
    pub(super) state: State,
    pub(super) notes: usize,
}

impl Checked {
    /// The gravest of some findings, else the notes on the fit.
    pub(super) fn of<'f>(found: impl Iterator<Item = &'f FindingRow>, notes: usize) -> Self {
        match State::of(found) {
            State::Clear if notes > 0 => Self { state: State::Notes(notes), notes },
            state => Self { state, notes },
        }
    }

    /// `clear`, `fit: 1 note`, `2 cautions, fit: 1 note`.
    pub(super) fn words(self) -> String {
        let words = self.state.words();
        match self.state {
            State::Clear | State::Notes(_) => words,
            _ if self.notes == 0 => words,
            _ => format!("{words}, {}", State::Notes(self.notes).words()),
        }
    }

    /// The shape with some words.
    pub(super) fn html(self, words: &str) -> Html {
        self.state.html(words)
    }
}

/// A ring with a tick, a triangle, a square with a bar.
const CLEAR: &str = "<svg viewBox=\"0 0 16 16\" aria-hidden=\"true\"><circle cx=\"8\" cy=\"8\" r=\"7\"/><path d=\"M4.5 8.5l2.5 2.5 4.5-5.5\"/></svg>";
const CAUTION: &str = "<svg viewBox=\"0 0 16 16\" aria-hidden=\"true\"><path d=\"M8 1.5L15 14.5H1Z\"/><path d=\"M8 6v4.5M8 12.4v.2\"/></svg>";
const STOP: &str = "<svg viewBox=\"0 0 16 16\" aria-hidden=\"true\"><rect class=\"full\" x=\"1\" y=\"1\" width=\"14\" height=\"14\"/><path class=\"bar\" d=\"M4 8h8\"/></svg>";

impl State {
    /// The gravest of some findings.
    pub(super) fn of<'f>(found: impl Iterator<Item = &'f FindingRow>) -> Self {
        let (mut cautions, mut stops) = (0, 0);
        for finding in found {
            match finding.severity {
                Weight::Caution => cautions += 1,
                Weight::Stop => stops += 1,
            }
        }
        match (cautions, stops) {
            (0, 0) => Self::Clear,
            (cautions, 0) => Self::Cautions(cautions),
            (_, stops) => Self::Stops(stops),
        }
    }

    /// How grave it is, for sorting.
    pub(super) const fn rank(self) -> usize {
        match self {
            Self::Clear => 0,
            Self::Notes(n) => n,
            Self::Cautions(n) => 1_000_000 + n,
            Self::Stops(n) => 2_000_000 + n,
        }
    }

    /// `clear`, `2 cautions`.
    pub(super) fn words(self) -> String {
        match self {
            Self::Clear => "clear".to_owned(),
            Self::Notes(n) => format!("fit: {}", counted(n, "note")),
            Self::Cautions(n) => counted(n, "caution"),
            Self::Stops(n) => counted(n, "stop"),
        }
    }

    /// The shape with some words.
    pub(super) fn html(self, words: &str) -> Html {
        let (class, shape) = match self {
            Self::Clear => ("state clear", CLEAR),
            Self::Notes(_) | Self::Cautions(_) => ("state caution", CAUTION),
            Self::Stops(_) => ("state stop", STOP),
        };
        of_class("span", class, Html::own(shape).and(words)).into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_on_the_fit_is_never_clear_and_weighs_less_than_a_caution() {
        let said = |state, notes| Checked { state, notes }.words();
        let noted = Checked::of(std::iter::empty(), 1);
        assert_eq!(noted.words(), "fit: 1 note");
        assert!(noted.html("x").text().contains("state caution"));
        assert_eq!(Checked::of(std::iter::empty(), 0).words(), "clear");
        assert_eq!(said(State::Cautions(2), 0), "2 cautions");
        assert_eq!(said(State::Cautions(2), 2), "2 cautions, fit: 2 notes");
        let order = [State::Clear, State::Notes(9), State::Cautions(1), State::Stops(1)];
        assert!(order.map(State::rank).is_sorted());
    }
}
