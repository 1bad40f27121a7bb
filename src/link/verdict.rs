//! The result of a load on a link.

use crate::link::load::Way;
use crate::link::not_judged::NotJudged;
use crate::num;
use crate::quantity::Units;
use crate::strength::Limit;
use crate::strength::Shape;

/// Where a limit of a link is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// In its tube.
    Tube,
    /// At one end, from 0.
    End(usize),
    /// In a part at its end, by name.
    Part(String),
}

/// A way to fail of a link.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    /// Which way it is loaded.
    pub(crate) way: Way,
    /// Where it is.
    pub(crate) place: Place,
    /// From pin to pin at the setting, mm; none where the setting does not matter.
    pub(crate) pins: Option<f64>,
    /// The force at which it happens, on the whole link, and the factor.
    pub(crate) limit: Limit,
}

/// The result of a load on a link. Forces are those on each link.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LinkVerdict {
    /// The case.
    pub(crate) case: String,
    /// Name of the link.
    pub(crate) link: String,
    /// Which ways the load acts, in words.
    pub(crate) acting: String,
    /// The load, N.
    pub(crate) force: f64,
    /// Why it is not judged, where it is not.
    pub(crate) lack: Option<NotJudged>,
    /// Every way to fail; none where it is not judged.
    pub(crate) limits: Vec<Found>,
    /// The rules of shape.
    pub(crate) shapes: Vec<Shape>,
    /// The slenderness KL/r at the longest setting, where it is in compression.
    pub(crate) slenderness: Option<f64>,
    /// What was assumed where the job does not say.
    pub(crate) assumed: Vec<String>,
    /// What could not be looked at beside what was.
    pub(crate) not_judged: Vec<String>,
}

impl Found {
    /// Where it is, which way and at which setting, with its factor.
    pub(crate) fn words(&self, units: Units) -> String {
        let place = match &self.place {
            Place::Tube => "in the tube".to_owned(),
            Place::End(i) => format!("at end {}", i + 1),
            Place::Part(name) => format!("at the ears `{name}`"),
        };
        let pins =
            self.pins.map(|pins| format!(", set to {} from pin to pin", units.setting(pins)));
        let factor = num::text(self.limit.factor, 2);
        format!("{place}, in {}{}; Ω {factor}", self.way.acting(), pins.unwrap_or_default())
    }
}

impl LinkVerdict {
    /// The limit that allows the least; none where the load is not judged.
    pub(crate) fn governing(&self) -> Option<&Found> {
        self.limits.iter().min_by(|a, b| a.limit.allowable().total_cmp(&b.limit.allowable()))
    }

    /// The remainder of the limit that governs, as a share of the load: negative if the limit is
    /// exceeded.
    pub(crate) fn margin(&self) -> Option<f64> {
        self.governing().map(|found| found.limit.allowable() / self.force - 1.0)
    }

    /// Sets no margin for want of data, unless a limit that was found is exceeded already: an
    /// unknown does not improve that.
    pub(super) fn lack(&mut self, lacks: Vec<NotJudged>) {
        let fails = self.margin().is_some_and(|margin| margin < 0.0);
        let mut lacks = lacks.into_iter();
        if !fails {
            self.lack = lacks.next();
            if self.lack.is_some() {
                self.limits.clear();
            }
        }
        self.not_judged.extend(lacks.map(|lack| format!("{lack}: {}", lack.help())));
    }
}
