//! What differs between a job as it is made now and as it was made or sent before, by part and
//! in the words of a shop: what is cut again, bent again, or only needed in another number.

mod bends;
mod contours;
mod now;
mod part;
mod whole;

pub(crate) use contours::SAME;
pub(crate) use contours::max_deviation;
pub(crate) use now::state;
pub use part::Overlay;
pub use part::PartChange;
pub use part::Verdict;
pub use whole::JobChange;

use crate::history::PartState;
use crate::history::State;
use crate::num::counted;
use crate::quantity::Units;
use serde::Serialize;

/// What differs.
#[derive(Clone, Debug, Serialize)]
pub struct Changes {
    /// What it is compared with, in words.
    pub compared_with: String,
    /// In one line.
    pub words: String,
    /// Every part, those that are no longer made last.
    pub parts: Vec<PartChange>,
    /// What belongs to no part: hardware, tubes, sheets, price, findings.
    pub job: Vec<JobChange>,
}

/// Compares the present state with an earlier one; `with` describes the latter.
pub fn changes(with: &str, was: &State, now: &State, units: Units) -> Changes {
    let mut left: Vec<&PartState> = was.part.iter().collect();
    let mut take = |is: &dyn Fn(&PartState) -> bool| {
        let at = left.iter().position(|part| is(part))?;
        Some(left.remove(at))
    };
    let named: Vec<_> = now.part.iter().map(|p| take(&|was| was.name == p.name)).collect();
    let mut parts = Vec::new();
    for (part, found) in now.part.iter().zip(named) {
        // A part that is only called differently is the same part.
        let found = found.or_else(|| take(&|was| was.geometry == part.geometry));
        parts.push(part::change(was, found, now, part, units));
    }
    parts.extend(left.into_iter().map(|part| part::left_out(was, part)));
    let job = whole::changes(was, now, units);
    let words = words(&parts, &job);
    Changes { compared_with: with.to_owned(), words, parts, job }
}

impl Changes {
    /// Whether nothing differs.
    pub fn is_none(&self) -> bool {
        let same =
            |part: &PartChange| part.verdict == Verdict::Unchanged && part.differences.is_empty();
        self.job.is_empty() && self.parts.iter().all(same)
    }

    /// All of it as lines of text; parts that are unchanged are counted.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = vec![format!("compared with {}: {}", self.compared_with, self.words)];
        for part in self.parts.iter().filter(|part| !part.is_plain()) {
            lines.push(format!("{}: {}{}", part.part, part.words, part.issues()));
            lines.extend(part.differences.iter().map(|words| format!("  {words}")));
        }
        lines.extend(self.job.iter().map(|change| format!("{}: {}", change.kind, change.words)));
        lines
    }
}

/// `1 part to remake from a new blank, 2 unchanged; also: hardware, price`.
fn words(parts: &[PartChange], job: &[JobChange]) -> String {
    let mut said = Vec::new();
    for verdict in Verdict::ALL {
        let count = parts.iter().filter(|part| part.verdict == verdict).count();
        if count > 0 {
            let noun = if said.is_empty() { counted(count, "part") } else { count.to_string() };
            let with = match verdict {
                Verdict::More | Verdict::Fewer => "with ",
                Verdict::CutAgain | Verdict::BendAgain | Verdict::FinishAgain => "to ",
                _ => "",
            };
            said.push(format!("{noun} {with}{}", verdict.in_words()));
        }
    }
    let mut kinds: Vec<&str> = job.iter().map(|change| change.kind).collect();
    kinds.dedup();
    let mut words = if said.is_empty() { "no parts".to_owned() } else { said.join(", ") };
    if !kinds.is_empty() {
        words += &format!("; also: {}", kinds.join(", "));
    }
    words
}
