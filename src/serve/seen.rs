//! A job as it is seen: its text, read and solved as far as that goes.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use crate::history::Past;
use crate::job::Sheet;
use crate::job::Shelf;
use crate::serve::desk::Desk;
use crate::serve::form;
use crate::serve::form::Form;
use crate::serve::form::Forms;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::solve::Depth;
use crate::solve::Kept;
use crate::solve::Solved;
use crate::workshop::Look;
use crate::workshop::Ready;
use crate::workshop::Workshop;
use std::collections::HashMap;
use std::sync::Arc;

/// A job that was looked at.
pub(super) struct Seen {
    pub(super) text: String,
    /// What came of it, or why nothing could be read.
    pub(super) job: Result<SeenJob, Unread>,
}

/// Why a job could not be read.
pub(super) struct Unread {
    pub(super) findings: Vec<Finding>,
    pub(super) sources: Sources,
}

/// A job that could be read.
pub(super) struct SeenJob {
    pub(super) ready: Ready,
    /// Whether a finding is about more than a part.
    pub(super) all_stop: bool,
    /// The lines of which bends and loads are not looked at yet.
    unfinished: Vec<usize>,
    /// The forms of its recipes, by name.
    pub(super) forms: HashMap<String, Arc<Form>>,
    /// Where each line stands in the text.
    pub(super) entries: Vec<Option<Entry>>,
    /// The rows of the tables that its forms choose from.
    pub(super) rows: HashMap<String, Vec<[String; 2]>>,
}

/// A part of the list: what became of a line, or of one of its hands and plates.
#[derive(Clone, Copy)]
pub(super) struct Listed<'a> {
    pub(super) name: &'a str,
    /// Index of its line.
    pub(super) line: usize,
    /// Nothing where it could not be developed, or none is ordered.
    pub(super) solved: Option<&'a Solved>,
}

impl Seen {
    /// A text looked at.
    ///
    /// # Errors
    /// When there is no workshop for it.
    pub(super) fn of(
        desk: &dyn Desk,
        (kept, forms): ((&Kept, Depth), &Forms),
        past: &Past,
        text: &str,
    ) -> Result<Self, String> {
        Self::with(desk, (kept, forms), past, text, None)
    }

    /// The same with another text in place of a file that the job names.
    ///
    /// # Errors
    /// When there is no workshop for it.
    pub(super) fn with(
        desk: &dyn Desk,
        ((kept, depth), forms): ((&Kept, Depth), &Forms),
        past: &Past,
        text: &str,
        in_place: Option<(&str, &str)>,
    ) -> Result<Self, String> {
        let mut job = None;
        desk.in_workshop(&mut |workshop| {
            let own = workshop.shelf();
            let file = |name: &str| {
                let (path, there) = (own.file)(name)?;
                let new = in_place.filter(|(of, _)| *of == name).map(|(_, new)| new.to_owned());
                Some((path, new.unwrap_or(there)))
            };
            let changed = Workshop::new(Shelf { file: &file, ..*own });
            let workshop = if in_place.is_some() { &changed } else { workshop };
            job = Some(match workshop.read(&desk.name(), &desk.shown(), text) {
                Err(stopped) => {
                    Err(Unread { findings: stopped.findings, sources: stopped.sources })
                }
                Ok(mut asked) => {
                    asked.job.past = Some(past.clone());
                    Ok(SeenJob::of(workshop, forms, asked.look(kept, depth), text))
                }
            });
        })?;
        let job = job.ok_or_else(|| "there is no workshop for this job".to_owned())?;
        Ok(Self { text: text.to_owned(), job })
    }
}

impl Seen {
    /// What is found in a part, by its headlines.
    pub(super) fn headlines(&self, part: &str) -> Vec<String> {
        let Ok(job) = &self.job else { return Vec::new() };
        let found = job.part(part).map(|part| job.found(part)).unwrap_or_default();
        found.into_iter().map(|finding| finding.headline.clone()).collect()
    }

    /// What was found, in a job that could be read or in one that could not, and the texts it points
    /// into.
    pub(super) fn findings(&self) -> (&[Finding], &Sources) {
        match &self.job {
            Ok(job) => (&job.ready.findings, &job.ready.sources),
            Err(unread) => (&unread.findings, &unread.sources),
        }
    }
}

impl SeenJob {
    fn of(workshop: &Workshop, all: &Forms, look: Look, text: &str) -> Self {
        let Look { ready, all_stop, unfinished } = look;
        let shelf = workshop.shelf();
        let (mut forms, mut rows) = (HashMap::new(), HashMap::new());
        for line in &ready.job.lines {
            let name = &line.recipe.0;
            if forms.contains_key(name) {
                continue;
            }
            let Some(form) = all.of(name, shelf) else { continue };
            for table in form.inputs.iter().filter_map(|asked| table_of(&asked.kind)) {
                let all = || form::rows(shelf.tables, table, ready.job.units);
                rows.entry(table.to_owned()).or_insert_with(all);
            }
            forms.insert(name.clone(), form);
        }
        let entries = ready.job.lines.iter().map(|line| text::entry_at(text, line.here.start));
        Self { entries: entries.collect(), all_stop, unfinished, forms, rows, ready }
    }

    /// All parts, in the order of the job.
    pub(super) fn parts(&self) -> Vec<Listed<'_>> {
        let all = || self.ready.solved.iter().chain(&self.ready.left_out.drawn);
        let of_line = |i: usize| -> Vec<Listed<'_>> {
            let made = all().filter(|solved| solved.line == i);
            let made = made.map(|s| Listed { name: &s.name, line: i, solved: Some(s) });
            let made: Vec<Listed> = made.collect();
            let name = self.ready.job.lines[i].name.as_str();
            match made.is_empty() {
                true => vec![Listed { name, line: i, solved: None }],
                false => made,
            }
        };
        (0..self.ready.job.lines.len()).flat_map(of_line).collect()
    }

    /// A part by its name.
    pub(super) fn part(&self, name: &str) -> Option<Listed<'_>> {
        let parts = self.parts();
        let of_line = |part: &&Listed| self.ready.job.lines[part.line].name == name;
        let named = parts.iter().find(|part| part.name == name);
        named.or_else(|| parts.iter().find(of_line)).copied()
    }

    /// What of a part is not looked at yet, in words; of the job, where it is of none. Nothing where
    /// all is: until then nothing may be called clear.
    pub(super) fn checking(&self, part: Option<Listed>) -> Option<&'static str> {
        let Some(part) = part else {
            return (!self.unfinished.is_empty()).then_some("being checked");
        };
        let is_bent = part.solved.is_some_and(|solved| !solved.part.bends.is_empty());
        let words = if is_bent { "bends being checked" } else { "strength being checked" };
        self.unfinished.contains(&part.line).then_some(words)
    }

    /// The sheet of a part; nothing while none is chosen for it.
    pub(super) fn sheet(&self, part: Listed) -> Option<&Sheet> {
        let line = &self.ready.job.lines[part.line];
        let is_open = line.open.iter().any(|(name, _)| name == "sheet");
        let own =
            part.solved.map(|solved| solved.sheet).or_else(|| (!is_open).then_some(line.sheet));
        own.map(|sheet| &self.ready.job.sheets[sheet])
    }

    /// The findings that are about a part.
    pub(super) fn found(&self, part: Listed) -> Vec<&Finding> {
        let here = self.ready.job.lines[part.line].here;
        let is_of = |finding: &&Finding| {
            finding.parts().any(|name| name == part.name)
                || finding.marks.iter().any(|mark| mark.span == here)
        };
        self.ready.findings.iter().filter(is_of).collect()
    }

    /// How many stops and cautions there are among findings.
    pub(super) fn count<'f>(findings: impl IntoIterator<Item = &'f Finding>) -> [usize; 2] {
        let mut count = [0, 0];
        for finding in findings {
            count[usize::from(finding.weight == Weight::Caution)] += 1;
        }
        count
    }
}

fn table_of(kind: &crate::recipe::Kind) -> Option<&str> {
    match kind {
        crate::recipe::Kind::Row(table) => Some(table),
        _ => None,
    }
}
