//! Clear, caution or stop: a shape and a word, never a colour alone.

use crate::diag::Weight;
use crate::report::Beside;
use crate::report::FindingRow;
use crate::report_page::html::Html;
use crate::report_page::html::of_class;

/// The results of the checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    Clear,
    /// Findings there are none, but notes on the fit or limits that are not judged.
    Notes(Beside),
    Cautions(usize),
    /// So many, and so many cautions with them.
    Stops(usize, usize),
}

/// The results of the checks of a part, or of all, and the open points beside them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Checked {
    pub(super) state: State,
    pub(super) notes: Beside,
}

impl Checked {
    /// The gravest of some findings, else the open points beside them.
    pub(super) fn of<'f>(found: impl Iterator<Item = &'f FindingRow>, notes: Beside) -> Self {
        match State::of(found) {
            State::Clear if !notes.is_none() => Self { state: State::Notes(notes), notes },
            state => Self { state, notes },
        }
    }

    /// `clear`, `fit: 1 note`, `2 cautions, fit: 1 note, 3 limits not judged`.
    pub(super) fn words(self) -> String {
        self.notes.said(self.state.found())
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
            (cautions, stops) => Self::Stops(stops, cautions),
        }
    }

    /// How grave it is, for sorting.
    pub(super) const fn rank(self) -> usize {
        match self {
            Self::Clear => 0,
            Self::Notes(of) => of.fits + of.limits,
            Self::Cautions(n) => 1_000_000 + n,
            Self::Stops(n, _) => 2_000_000 + n,
        }
    }

    /// `clear`, `2 cautions`.
    pub(super) fn words(self) -> String {
        self.beside().said(self.found())
    }

    /// Whether it can be ordered.
    pub(super) fn answer(self) -> &'static str {
        self.beside().answer(self.found())
    }

    /// The number of stops and of cautions.
    const fn found(self) -> [usize; 2] {
        match self {
            Self::Clear | Self::Notes(_) => [0, 0],
            Self::Cautions(n) => [0, n],
            Self::Stops(stops, cautions) => [stops, cautions],
        }
    }

    fn beside(self) -> Beside {
        match self {
            Self::Notes(of) => of,
            _ => Beside::default(),
        }
    }

    /// The shape with some words.
    pub(super) fn html(self, words: &str) -> Html {
        let (class, shape) = match self {
            Self::Clear => ("state clear", CLEAR),
            Self::Notes(_) | Self::Cautions(_) => ("state caution", CAUTION),
            Self::Stops(..) => ("state stop", STOP),
        };
        of_class("span", class, Html::own(shape).and(words)).into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_open_beside_the_findings_is_never_clear_and_weighs_less_than_a_caution() {
        let fits = |fits| Beside { fits, limits: 0 };
        let said = |state, count| Checked { state, notes: fits(count) }.words();
        let noted = Checked::of(std::iter::empty(), fits(1));
        assert_eq!(noted.words(), "fit: 1 note");
        assert!(noted.html("x").text().contains("state caution"));
        assert_eq!(Checked::of(std::iter::empty(), fits(0)).words(), "clear");
        assert_eq!(said(State::Cautions(2), 0), "2 cautions");
        assert_eq!(said(State::Cautions(2), 2), "2 cautions, fit: 2 notes");
        assert_eq!(said(State::Stops(1, 0), 0), "1 stop");
        assert_eq!(said(State::Stops(2, 3), 1), "2 stops, 3 cautions, fit: 1 note");
        let unjudged = Checked::of(std::iter::empty(), Beside { fits: 0, limits: 3 });
        assert_eq!(unjudged.words(), "3 limits not judged");
        assert!(unjudged.html("x").text().contains("state caution"));
        let answers = [State::Clear, State::Notes(fits(1)), State::Cautions(1), State::Stops(1, 0)];
        assert_eq!(answers.map(State::answer), ["Yes", "Check first", "Check first", "No"]);
        let order = [State::Clear, State::Notes(fits(9)), State::Cautions(1), State::Stops(1, 3)];
        assert!(order.map(State::rank).is_sorted());
    }
}
