//! Open points beside the findings: a fit that is not certain, and limits of a load that are not
//! judged.

use crate::job::Job;
use crate::num::counted;
use crate::report::fit;
use crate::report::fit::ClevisRow;
use crate::report::fit::NutRow;
use crate::solve::Solved;

/// How many items of a part, or of a job, somebody should look at although no check found anything.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Beside {
    /// Notes on the fit: at least one if parts may touch.
    pub fits: usize,
    /// Limits of loads that are not judged, each once for a load.
    pub limits: usize,
}

impl Beside {
    /// Of a part.
    pub(crate) fn of(job: &Job, solved: &Solved) -> Self {
        let clevis = solved.clevis.as_ref().map(|fit| fit::clevis(job, solved, fit));
        let nut = solved.nut.as_ref().map(fit::nut);
        Self::of_rows(clevis.as_ref(), nut.as_ref(), solved)
    }

    /// The same, where how it fits is calculated.
    pub(super) fn of_rows(
        clevis: Option<&ClevisRow>,
        nut: Option<&NutRow>,
        solved: &Solved,
    ) -> Self {
        let touches = |least: f64| usize::from(least < 0.0);
        let play = |row: &ClevisRow| {
            let least = row.coated_gap.worst_case_mm[0] - (row.coated_gap.drawn_mm - row.play_mm);
            row.worst_case_notes.len().max(touches(least))
        };
        let nut = nut.map_or(0, |row| touches(row.worst_case_clearance_mm));
        let limits = solved.verdicts.iter().map(|(_, verdict)| verdict.not_judged.len()).sum();
        Self { fits: clevis.map_or(0, play) + nut, limits }
    }

    /// Both together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { fits: self.fits + other.fits, limits: self.limits + other.limits }
    }

    /// How much there is of it.
    #[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page counts it"))]
    pub(crate) const fn count(self) -> usize {
        self.fits + self.limits
    }

    /// Whether there are none.
    pub fn is_none(self) -> bool {
        self == Self::default()
    }

    /// `1 limit not judged`; `None` if there is none.
    pub fn limits_words(self) -> Option<String> {
        (self.limits > 0).then(|| format!("{} not judged", counted(self.limits, "limit")))
    }

    /// The results of the checks in words, by the number of stops and of cautions: `clear`, `fit: 1
    /// note`, `2 cautions, 3 limits not judged`.
    pub fn said(self, found: [usize; 2]) -> String {
        let found = match found {
            [0, 0] => None,
            [0, cautions] => Some(counted(cautions, "caution")),
            [stops, 0] => Some(counted(stops, "stop")),
            [stops, cautions] => {
                Some(format!("{}, {}", counted(stops, "stop"), counted(cautions, "caution")))
            }
        };
        let said: Vec<String> = found.into_iter().chain(self.words()).collect();
        if said.is_empty() { "clear".to_owned() } else { said.join(", ") }
    }

    /// Whether it can be ordered, by the number of stops and of cautions.
    pub fn answer(self, found: [usize; 2]) -> &'static str {
        match found {
            [0, 0] if self.is_none() => "Yes",
            [0, _] => "Check first",
            _ => "No",
        }
    }

    /// `fit: 1 note`, `2 limits not judged`; empty if all is clear.
    pub fn words(self) -> Vec<String> {
        let fits = (self.fits > 0).then(|| format!("fit: {}", counted(self.fits, "note")));
        fits.into_iter().chain(self.limits_words()).collect()
    }
}
