//! The text of a job, from a file or an archive, read and solved.

use crate::cli::archive::Kind;
use crate::cli::archive::Pack;
use crate::cli::book::Book;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::shelf::Folder;
use crate::cli::terminal;
use crate::cli::unpack;
use anyhow::Context;
use anyhow::bail;
use platewright::book::Book as OnHand;
use platewright::diag::Sources;
use platewright::history::Past;
use platewright::job::Job;
use platewright::job::Only;
use platewright::job::Shelf;
use platewright::make::Made;
use platewright::solve::Solved;
use platewright::workshop::ReadJob;
use platewright::workshop::Ready;
use platewright::workshop::Stopped;
use platewright::workshop::Workshop;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

/// The use of a job of which a part is stopped.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum JobUse {
    /// All parts or none.
    All,
    /// Those that are not stopped.
    Good,
    /// All or none, to be viewed: no file of the job is written.
    Seen,
}

/// The records of a job before it is solved.
struct Before {
    /// The records of what was made and sent of it; `None` if no issues are kept.
    past: Option<Past>,
    /// The issue requested in place of the job's own.
    issue: Option<String>,
}

/// A job of a file or of an archive, with its context.
pub(super) struct JobText {
    /// Its name.
    pub(super) name: String,
    /// How findings call it.
    pub(super) shown: String,
    pub(super) text: String,
    pub(super) folder: Folder,
    pub(super) past: Past,
    /// The archive it is from.
    pack: Option<Arc<Pack>>,
}

impl JobText {
    /// That of a file.
    pub(super) fn of_file(path: &Path, out: &Path) -> anyhow::Result<Self> {
        Ok(Self {
            name: shelf::stem(path),
            shown: shelf::shown(path),
            text: shelf::read(path)?,
            folder: Folder::of_job(path),
            past: past::of(path, out)?,
            pack: None,
        })
    }

    /// That of an archive.
    pub(super) fn of_pack(pack: Pack) -> anyhow::Result<Self> {
        for line in unpack::shipped_otherwise(&pack) {
            terminal::say(&format!("note: {line}"));
        }
        let pack = Arc::new(pack);
        let job = pack.of(Kind::Job).next().context("there is no job in the archive")?;
        Ok(Self {
            name: pack.name.clone(),
            shown: job.shown.clone(),
            text: String::from_utf8_lossy(&job.bytes).into_owned(),
            folder: Folder::of_pack(Arc::clone(&pack)),
            past: unpack::past_in(&pack)?,
            pack: Some(pack),
        })
    }

    /// Reads and solves it, or some of it; when that is stopped, shows why and gives nothing.
    pub(super) fn solved(
        &self,
        only: &[Only],
        issue: Option<String>,
        wanted: JobUse,
    ) -> anyhow::Result<Option<Ready>> {
        let before = Before { past: Some(self.past.clone()), issue };
        ready((&self.name, &self.shown), &self.text, &self.folder, only, (before, wanted))
    }

    /// Refuses to overwrite issues from which the archive does not continue.
    pub(super) fn refuse_later(&self, out: &Path, solved: &[Solved]) -> anyhow::Result<()> {
        if self.pack.is_none() {
            return Ok(());
        }
        let Some(there) = past::made(out)? else { return Ok(()) };
        let later = unpack::later(&there, &self.past, solved);
        if later.is_empty() {
            return Ok(());
        }
        bail!(
            "{} holds issues that the archive does not know: {}\n\
             nothing was written; choose another folder with `--out DIR`",
            shelf::shown(out),
            later.join(", ")
        );
    }

    /// Refuses an archive whose files would differ from those packed, unless that is accepted.
    pub(super) fn compare(&self, job: &Job, made: &Made, usual: bool, accept: bool) -> bool {
        let Some(pack) = &self.pack else { return true };
        if !usual {
            terminal::say("note: not compared with the files as packed: other options were used");
            return true;
        }
        let lines = unpack::differences(pack, job, made);
        lines.iter().for_each(|line| terminal::say(line));
        if lines.is_empty() {
            terminal::say("note: all files are made as they were packed, byte for byte");
        } else if !accept {
            terminal::say(
                "nothing was written; `--accept-changes` writes them as this version \
                           makes them",
            );
        }
        lines.is_empty() || accept
    }
}

/// The job of a file, or some of it, read and solved with all its parts; `None` if that is stopped,
/// which has been reported.
pub(super) fn read_job(
    path: &Path,
    only: &[Only],
    past: Past,
    issue: Option<String>,
) -> anyhow::Result<Option<Ready>> {
    let text = shelf::read(path)?;
    let before = (Before { past: Some(past), issue }, JobUse::All);
    ready((&shelf::stem(path), &shelf::shown(path)), &text, &Folder::of_job(path), only, before)
}

/// The same for a job that is only viewed.
pub(super) fn seen_job(path: &Path) -> anyhow::Result<Option<Ready>> {
    let text = shelf::read(path)?;
    let before = (Before { past: Some(Past::default()), issue: None }, JobUse::Seen);
    ready((&shelf::stem(path), &shelf::shown(path)), &text, &Folder::of_job(path), &[], before)
}

/// A part by its recipe instead of a job, read and solved: no issues of it are kept.
pub(super) fn read_part(
    recipe: &str,
    text: &str,
    folder: &Folder,
) -> anyhow::Result<Option<Ready>> {
    let before = (Before { past: None, issue: None }, JobUse::All);
    ready((recipe, "command line"), text, folder, &[], before)
}

/// Shows why a job is stopped.
pub(super) fn stopped(why: &Stopped) -> Option<Ready> {
    stopped_as(JobUse::All, why)
}

fn stopped_as(wanted: JobUse, why: &Stopped) -> Option<Ready> {
    terminal::findings(&why.findings, &why.sources);
    let written = if wanted == JobUse::Seen { "" } else { "; nothing was written" };
    terminal::say(&format!("stopped: {}{written}", terminal::count(&why.findings)));
    None
}

/// Runs a function in the workshop of a folder. `noted` is called with every recipe that is looked
/// for; findings on the tables come with the workshop.
pub(super) fn in_workshop<T>(
    folder: &Folder,
    noted: &dyn Fn(&str),
    work: impl FnOnce(&Workshop, Vec<String>) -> T,
) -> anyhow::Result<T> {
    let mut sources = Sources::default();
    let (tables, said, findings) = folder.tables(&mut sources)?;
    // An unreadable recipe is reported, by name, when it is used.
    let recipe = |name: &str| {
        noted(name);
        folder.recipe(name).ok().flatten()
    };
    let names = || folder.names();
    let file = |name: &str| folder.file(name);
    let drawing = |name: &str| folder.drawing(name);
    let book = |shop: Option<&str>| book(folder, shop);
    let shelf = Shelf {
        drawing: &drawing,
        file: &file,
        recipe: &recipe,
        names: &names,
        tables: &tables,
        book: &book,
    };
    Ok(work(&Workshop::new(shelf).with_findings(findings, sources), said))
}

/// Reads and solves a job, or some of it; when that is stopped, shows why and gives nothing.
fn ready(
    named: (&str, &str),
    text: &str,
    folder: &Folder,
    only: &[Only],
    before: (Before, JobUse),
) -> anyhow::Result<Option<Ready>> {
    let looked_for = RefCell::new(BTreeSet::new());
    let noted = |name: &str| {
        looked_for.borrow_mut().insert(name.to_owned());
    };
    in_workshop(folder, &noted, |workshop, said| {
        for line in said {
            terminal::say(&format!("note: {line}"));
        }
        ready_in(workshop, (named, text), (folder, &looked_for), only, before)
    })?
}

fn ready_in(
    workshop: &Workshop,
    ((name, shown), text): ((&str, &str), &str),
    (folder, looked_for): (&Folder, &RefCell<BTreeSet<String>>),
    only: &[Only],
    (before, wanted): (Before, JobUse),
) -> anyhow::Result<Option<Ready>> {
    let unread = || folder.unread().iter().for_each(|why| terminal::say(&format!("note: {why}")));
    let mut asked = match workshop.read(name, shown, text) {
        Ok(asked) => asked,
        Err(why) => {
            unread();
            return Ok(stopped_as(wanted, &why));
        }
    };
    asked.job.keep_only(only)?;
    let Before { past, issue } = before;
    asked.job.past = past;
    asked.job.titled.issue = issue.or(asked.job.titled.issue.take());
    let used = used(&asked, folder)?;
    let bar = terminal::progress(asked.job.lines.len(), "solving");
    let ready = match wanted {
        JobUse::All | JobUse::Seen => asked.solve_and_count(&|| bar.inc(1)),
        JobUse::Good => asked.solve_the_good(&|| bar.inc(1)),
    };
    bar.finish_and_clear();
    unread();
    // Only now the recipes that recipes use are known.
    for name in looked_for.borrow().iter().filter(|name| !used.contains(name)) {
        folder.recipe(name)?;
        if let Some(said) = folder.shadowing(name) {
            terminal::say(&format!("note: {said}"));
        }
    }
    Ok(ready.map_or_else(|why| stopped_as(wanted, &why), Some))
}

/// The stock in the book on the disk of the shop that a job names.
fn book(folder: &Folder, shop: Option<&str>) -> Result<Option<OnHand>, String> {
    let entries = |path: &Path| Book::open(path)?.map(|book| book.entries()).transpose();
    folder.book(shop, &entries).map_err(|error| format!("{error:#}"))
}

/// The recipes that the lines of a job name, each once; those that override a shipped one are
/// reported.
fn used(asked: &ReadJob, folder: &Folder) -> anyhow::Result<Vec<String>> {
    let mut used: Vec<String> = asked.job.lines.iter().map(|l| l.recipe.0.clone()).collect();
    used.sort_unstable();
    used.dedup();
    for name in &used {
        folder.recipe(name)?;
    }
    for said in used.iter().filter_map(|name| folder.shadowing(name)) {
        terminal::say(&format!("note: {said}"));
    }
    Ok(used)
}
