//! Clear, caution or stop: a shape and a word, never a colour alone.

use crate::diag::Weight;
use crate::report::FindingRow;
use crate::report_page::figures::counted;
use crate::report_page::html::Html;
use crate::report_page::html::of_class;

/// What came of the checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    Clear,
    Cautions(usize),
    Stops(usize),
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
            Self::Cautions(n) => n,
            Self::Stops(n) => 1_000_000 + n,
        }
    }

    /// `clear`, `2 cautions`.
    pub(super) fn words(self) -> String {
        match self {
            Self::Clear => "clear".to_owned(),
            Self::Cautions(n) => counted(n, "caution"),
            Self::Stops(n) => counted(n, "stop"),
        }
    }

    /// The shape with some words.
    pub(super) fn html(self, words: &str) -> Html {
        let (class, shape) = match self {
            Self::Clear => ("state clear", CLEAR),
            Self::Cautions(_) => ("state caution", CAUTION),
            Self::Stops(_) => ("state stop", STOP),
        };
        of_class("span", class, Html::own(shape).and(words)).into()
    }
}
