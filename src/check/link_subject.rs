//! What a check of links looks at.

use crate::check::limits::Limits;
use crate::diag::About;
use crate::diag::Span;
use crate::link::Link;
use crate::link::LinkLoad;
use crate::quantity::Units;

/// The data of a link check.
pub struct LinkSubject<'a> {
    /// The link.
    pub link: &'a Link,
    /// What pulls and pushes at it.
    pub(crate) loads: &'a [&'a LinkLoad],
    /// Where its far pin is to come, beside its setting.
    pub(crate) reaches: &'a [Reach],
    /// Coating thickness on every face, mm.
    pub coating: f64,
    /// The limits for every part of the job.
    pub limits: &'a Limits,
    /// How lengths are printed.
    pub units: Units,
}

/// A place of the machine that a link is to reach.
pub(crate) struct Reach {
    /// The name of the point.
    pub point: String,
    /// From the near pin, mm.
    pub distance: f64,
    /// Where it is named.
    pub span: Span,
}

impl LinkSubject<'_> {
    /// The link, as the subject of a finding.
    pub(super) fn of_link(&self) -> About {
        About::Link(self.link.name.clone())
    }

    /// The next round length above one, as it is typed.
    pub(super) fn longer_than(&self, mm: f64) -> String {
        let step = match self.units {
            Units::Millimetre => 10.0,
            Units::Inch => 0.5 * self.units.in_mm(),
        };
        self.show(((mm / step).floor() + 1.0) * step)
    }

    /// A length as printed.
    pub(super) fn show(&self, mm: f64) -> String {
        self.units.length(mm)
    }
}
