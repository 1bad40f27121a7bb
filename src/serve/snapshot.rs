//! A snapshot of a job: its text, read and solved as far as possible.

mod index;

use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Span;
use crate::diag::Weight;
use crate::history::Past;
use crate::job::Line;
use crate::job::Sheet;
use crate::job::Shelf;
use crate::quantity::Units;
use crate::report::Beside;
use crate::serve::desk::Desk;
use crate::serve::form;
use crate::serve::form::Form;
use crate::serve::form::Forms;
use crate::serve::places;
use crate::serve::snapshot::index::Index;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::solve::Depth;
use crate::solve::SolveCache;
use crate::solve::Solved;
use crate::workshop::Look;
use crate::workshop::Ready;
use crate::workshop::Workshop;
use std::collections::BTreeSet;
use std::collections::HashMap;
use std::collections::HashSet;
use std::sync::Arc;
use std::sync::OnceLock;
use toml_edit::Document;

/// A job that was read and solved.
pub(super) struct Snapshot {
    pub(super) text: String,
    /// The results of it, or why nothing could be read.
    pub(super) job: Result<SnapshotJob, Unread>,
    /// The text read once, for the contents of its entries.
    document: OnceLock<Option<Document<String>>>,
}

/// Why a job could not be read.
pub(super) struct Unread {
    pub(super) findings: Vec<Finding>,
    pub(super) sources: Sources,
}

/// A job that could be read.
pub(super) struct SnapshotJob {
    pub(super) ready: Ready,
    /// Whether a finding is about more than a part.
    pub(super) all_stop: bool,
    /// The lines whose bends and loads have not been checked yet.
    unfinished: Vec<usize>,
    /// The forms of its recipes, by name.
    pub(super) forms: HashMap<String, Arc<Form>>,
    /// Where each line is in the text.
    pub(super) entries: Vec<Option<Entry>>,
    /// The rows of the tables that its forms choose from.
    pub(super) rows: HashMap<String, Vec<[String; 2]>>,
    index: Index,
}

/// A part of the list: what became of a line, or of one of its hands and plates.
#[derive(Clone, Copy)]
pub(super) struct ListedPart<'a> {
    pub(super) name: &'a str,
    /// Index of its line.
    pub(super) line: usize,
    /// `None` if it could not be developed, or its quantity is 0.
    pub(super) solved: Option<&'a Solved>,
}

impl Snapshot {
    /// A text read and solved.
    ///
    /// # Errors
    /// When there is no workshop for it.
    pub(super) fn of(
        desk: &dyn Desk,
        (kept, forms): ((&SolveCache, Depth), &Forms),
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
        ((kept, depth), forms): ((&SolveCache, Depth), &Forms),
        past: &Past,
        text: &str,
        in_place: Option<(&str, &str)>,
    ) -> Result<Self, String> {
        let mut job = None;
        within(desk, in_place, &mut |workshop| {
            job = Some(match workshop.read_begun(&desk.name(), &desk.shown(), text) {
                Err(stopped) => {
                    Err(Unread { findings: stopped.findings, sources: stopped.sources })
                }
                Ok(mut asked) => {
                    asked.job.past = Some(past.clone());
                    Ok(SnapshotJob::of(
                        workshop,
                        forms,
                        asked.look(kept, depth),
                        (text, &desk.shown()),
                    ))
                }
            });
        })?;
        let job = job.ok_or_else(|| "there is no workshop for this job".to_owned())?;
        Ok(Self { text: text.to_owned(), job, document: OnceLock::new() })
    }
}

/// Why a text cannot be read with another in place of a file that it names; nothing where it can. Nothing
/// is solved.
///
/// # Errors
/// When there is no workshop for it.
pub(super) fn unread(
    desk: &dyn Desk,
    text: &str,
    in_place: Option<(&str, &str)>,
) -> Result<Option<Unread>, String> {
    let mut unread = None;
    within(desk, in_place, &mut |workshop| {
        let stopped = workshop.read_begun(&desk.name(), &desk.shown(), text).err();
        unread = stopped.map(|of| Unread { findings: of.findings, sources: of.sources });
    })?;
    Ok(unread)
}

/// Runs a function in the workshop of a desk, with another text in place of a file.
fn within(
    desk: &dyn Desk,
    in_place: Option<(&str, &str)>,
    work: &mut dyn FnMut(&Workshop),
) -> Result<(), String> {
    desk.in_workshop(&mut |workshop| {
        let own = workshop.shelf();
        let file = |name: &str| {
            let (path, there) = (own.file)(name)?;
            let new = in_place.filter(|(of, _)| *of == name).map(|(_, new)| new.to_owned());
            Some((path, new.unwrap_or(there)))
        };
        let changed = Workshop::new(Shelf { file: &file, ..*own });
        work(if in_place.is_some() { &changed } else { workshop });
    })
}

impl Snapshot {
    /// The units of the job; while it cannot be read, those that its text names.
    pub(super) fn units(&self) -> Units {
        match &self.job {
            Ok(job) => job.ready.job.units,
            Err(_) => units_of(&self.text),
        }
    }

    /// A value of an entry as in the text: see [`text::value`].
    pub(super) fn value(&self, entry: Entry, key: &str) -> Option<String> {
        let read = || Document::parse(self.text.clone()).ok();
        let document = self.document.get_or_init(read).as_ref()?;
        text::value_in(document.as_table(), &self.text, entry, key)
    }

    /// The findings of a part, by their headlines.
    pub(super) fn headlines(&self, part: &str) -> Vec<String> {
        let Ok(job) = &self.job else { return Vec::new() };
        let found = job.part(part).map(|part| job.found(part)).unwrap_or_default();
        found.into_iter().map(|finding| finding.headline.clone()).collect()
    }

    /// The findings of a job that could be read or of one that could not, and the texts they point
    /// into.
    pub(super) fn findings(&self) -> (&[Finding], &Sources) {
        match &self.job {
            Ok(job) => (&job.ready.findings, &job.ready.sources),
            Err(unread) => (&unread.findings, &unread.sources),
        }
    }
}

impl SnapshotJob {
    fn of(workshop: &Workshop, all: &Forms, look: Look, (text, shown): (&str, &str)) -> Self {
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
        let own = places::Entries::of(text);
        let entry = |line: &Line| {
            // A line of a table is in a separate file.
            let is_here = ready.sources.name(line.here.source) == shown;
            is_here.then(|| own.at(line.here.start)).flatten()
        };
        let entries = ready.job.lines.iter().map(entry).collect();
        Self { entries, all_stop, unfinished, forms, rows, index: Index::of(&ready), ready }
    }

    /// All parts, in the order of the job.
    pub(super) fn parts(&self) -> Vec<ListedPart<'_>> {
        (0..self.index.parts.len()).map(|i| self.listed(i)).collect()
    }

    fn listed(&self, i: usize) -> ListedPart<'_> {
        let (line, made) = self.index.parts[i];
        let Ready { solved, left_out, .. } = &self.ready;
        let made = made.map(|i| solved.get(i).unwrap_or_else(|| &left_out.drawn[i - solved.len()]));
        let name = made.map_or(&self.ready.job.lines[line].name, |solved| &solved.name);
        ListedPart { name, line, solved: made }
    }

    /// A part by its name, or the first of a line by that.
    pub(super) fn part(&self, name: &str) -> Option<ListedPart<'_>> {
        self.index.names.get(name).map(|i| self.listed(*i))
    }

    /// What has not been checked yet of a part, in words; of the job, if no part is given. `None`
    /// if all is checked: until then nothing may be called clear.
    pub(super) fn checking(&self, part: Option<ListedPart>) -> Option<&'static str> {
        let Some(part) = part else {
            return (!self.unfinished.is_empty()).then_some("being checked");
        };
        let is_bent = part.solved.is_some_and(|solved| !solved.part.bends.is_empty());
        let words = if is_bent { "bends being checked" } else { "strength being checked" };
        self.unfinished.contains(&part.line).then_some(words)
    }

    /// The sheet of a part; `None` while none is chosen for it.
    pub(super) fn sheet(&self, part: ListedPart) -> Option<&Sheet> {
        let line = &self.ready.job.lines[part.line];
        let is_open = line.open.iter().any(|(name, _)| name == "sheet");
        let own =
            part.solved.map(|solved| solved.sheet).or_else(|| (!is_open).then_some(line.sheet));
        own.map(|sheet| &self.ready.job.sheets[sheet])
    }

    /// The lines that a sheet is for: those that are on it, and those that may choose it.
    pub(super) fn using(&self, sheet: &str) -> Vec<&str> {
        let is_it = |i: usize| self.ready.job.sheets.get(i).is_some_and(|of| of.name == sheet);
        let uses = |line: &&Line| {
            let open = line.open.iter().find(|(name, _)| name == "sheet");
            let is_own = match open.map(|(_, choices)| choices.item.list().unwrap_or_default()) {
                Some(choices) => choices.iter().any(|item| item.text() == Some(sheet)),
                None => is_it(line.sheet),
            };
            let of_faces = line.sheets.iter().map(|(_, i, _)| *i);
            is_own || of_faces.chain(line.part_sheet).any(is_it)
        };
        let mut names: Vec<&str> =
            self.ready.job.lines.iter().filter(uses).map(|line| line.name.as_str()).collect();
        names.dedup();
        names
    }

    /// The findings that are about a part.
    pub(super) fn found(&self, part: ListedPart) -> Vec<&Finding> {
        let line = &self.ready.job.lines[part.line];
        let at = |span: &Span| self.index.at.get(span);
        // A recipe that is not there, or cannot be read, is told where it is named first.
        let recipe = self.index.recipes.get(&line.recipe.0);
        let about = self.index.about.get(part.name);
        // Those of others of its family point at the same line.
        let is_others = |name: &str| {
            name != part.name && self.part(name).is_some_and(|other| other.name == name)
        };
        let is_own = |i: &&usize| {
            let mut names = self.ready.findings[**i].parts().peekable();
            names.peek().is_none() || !names.all(is_others)
        };
        let here = [at(&line.here), recipe.and_then(at)].into_iter().flatten().flatten();
        let all: BTreeSet<usize> =
            about.into_iter().flatten().chain(here.filter(is_own)).copied().collect();
        all.into_iter().map(|i| &self.ready.findings[i]).collect()
    }

    /// What of a part is not clear beside the findings.
    pub(super) fn beside(&self, part: ListedPart) -> Beside {
        part.solved.map_or_else(Beside::default, |solved| Beside::of(&self.ready.job, solved))
    }

    /// Whether a part should have been drawn and is not: where no finding says why, it still is not clear.
    fn is_missing(&self, part: ListedPart) -> bool {
        part.solved.is_none() && !self.ready.job.lines[part.line].is_idle()
    }

    /// What came of the checks of a part, in words.
    pub(super) fn said(&self, part: ListedPart, found: [usize; 2]) -> String {
        match found {
            [0, 0] if self.is_missing(part) => "not drawn".to_owned(),
            _ => self.beside(part).said(found),
        }
    }

    /// How much of a part is not clear beside the findings.
    pub(super) fn notes(&self, part: ListedPart) -> usize {
        self.beside(part).count() + usize::from(self.is_missing(part))
    }

    /// The findings that are about no part.
    pub(super) fn found_elsewhere(&self) -> Vec<&Finding> {
        let lines = &self.ready.job.lines;
        let parts: HashSet<&str> = self.parts().iter().map(|part| part.name).collect();
        let recipes = self.index.recipes.values().copied();
        let places: HashSet<Span> = lines.iter().map(|line| line.here).chain(recipes).collect();
        let is_elsewhere = |finding: &&Finding| {
            finding.parts().all(|name| !parts.contains(name))
                && finding.marks.iter().all(|mark| !places.contains(&mark.span))
        };
        self.ready.findings.iter().filter(is_elsewhere).collect()
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

/// The units that a text names, even where it cannot be read.
fn units_of(text: &str) -> Units {
    let named = text.lines().find_map(|line| {
        let value = line.trim_start().strip_prefix("units")?.trim_start().strip_prefix('=')?;
        value.trim_start().trim_start_matches(['"', '\'']).split(['"', '\'']).next()
    });
    if named == Some(Units::Inch.word()) { Units::Inch } else { Units::Millimetre }
}

fn table_of(kind: &crate::recipe::Kind) -> Option<&str> {
    match kind {
        crate::recipe::Kind::Row(table) => Some(table),
        _ => None,
    }
}
