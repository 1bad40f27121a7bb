//! The issue of a part: a letter that advances when its cut or bent geometry changes, and a short
//! hash of that, by which two prints can be distinguished.

use crate::history::Past;
use crate::job::Job;

/// The issue of a part.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Issue {
    /// Its letter; `None` if no issues are kept, or the job sets its own.
    pub letter: Option<String>,
    /// The first digits of the SHA-256 of its geometry, metal and thickness.
    pub geometry: String,
}

impl Issue {
    /// That of a part with this hash, continued from the records of the job.
    pub(super) fn of(job: &Job, part: &str, geometry: String) -> Self {
        let letter = |past: &Past| past.letter(part, &geometry).to_string();
        let past = job.past.as_ref().filter(|_| job.titled.issue.is_none());
        Self { letter: past.map(letter), geometry }
    }

    /// That of a part that is stopped: it is not made, so that no letter is given to it.
    pub(super) fn of_none(geometry: String) -> Self {
        Self { letter: None, geometry }
    }

    /// As printed: the job's own text or the letter, then the hash.
    pub fn words(&self, job: &Job) -> String {
        match self.name(job) {
            Some(name) => format!("{name} · {}", self.geometry),
            None => self.geometry.clone(),
        }
    }

    /// The job's own words, else the letter.
    pub fn name<'i>(&'i self, job: &'i Job) -> Option<&'i str> {
        job.titled.issue.as_deref().or(self.letter.as_deref())
    }
}
