//! `--watch`: a job is made or checked again whenever it, or a file it uses, is saved.
//!
//! Watched are the folders of the job, of its recipes and tables, and of the files it names; what is
//! looked at is whether recipes, jobs, tables and drawings in them have changed. So the files that
//! `make` writes start nothing.

use crate::cli::clock::now;
use crate::cli::ending::Ending;
use crate::cli::interrupt::Interrupt;
use crate::cli::past;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use notify::Event;
use notify::EventKind;
use notify::RecursiveMode;
use notify::Watcher;
use notify::event::AccessKind;
use notify::event::AccessMode;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::sync::mpsc;
use std::sync::mpsc::Receiver;
use std::sync::mpsc::Sender;
use std::time::Duration;
use std::time::SystemTime;

/// Endings of the files that a job is made of, the stock book among them.
const ENDINGS: [&str; 5] = ["toml", "csv", "dxf", "svg", "db"];

/// A program saves a file in several steps: what follows within this is the same save. Our choice.
const QUIET: Duration = Duration::from_millis(15);

/// A save that continues for longer is not waited for. Our choice: of the tenth of a second within which
/// a job is begun anew.
const LONGEST: Duration = Duration::from_millis(60);

/// Depth to which jobs named in jobs are followed. Our choice.
const DEEPEST: usize = 4;

/// What is compared of a file: its size and when it was changed.
type Stamp = (u64, Option<SystemTime>);

/// Runs at once, and again after each save, until an interrupt ends it. `run` returns its one-line
/// message; an error is printed and does not end it.
pub(super) fn watch(
    job: &Path,
    interrupt: &Interrupt,
    mut run: impl FnMut() -> anyhow::Result<String>,
) -> anyhow::Result<Ending> {
    let (send, saved) = mpsc::channel();
    let mut watcher = notify::recommended_watcher(hear(send)).context("cannot watch files")?;
    let mut watched = BTreeSet::new();
    let mut after = String::new();
    loop {
        let folders = folders(job);
        // A folder that is not there yet may come later.
        let new = folders.difference(&watched).cloned().collect::<Vec<_>>().into_iter();
        watched.extend(new.filter(|f| watcher.watch(f, RecursiveMode::NonRecursive).is_ok()));
        let before = stamps(&folders);
        let begun = now();
        let words = run().unwrap_or_else(|error| format!("error: {error:#}"));
        let took = begun.elapsed().as_millis();
        terminal::data(&format!("{words}; {took} ms{after}; watching, Ctrl-C ends\n"));
        if interrupt.waits() {
            return Ok(Ending::Done);
        }
        if !changed(&saved, job, &folders, &before) {
            return Ok(Ending::Done);
        }
        after = differing(&before, &stamps(&self::folders(job)));
        interrupt.solves();
    }
}

/// Hands on whether what was heard of files is to be trusted.
fn hear(send: Sender<bool>) -> impl Fn(notify::Result<Event>) {
    move |event| {
        if !event.as_ref().is_ok_and(is_look) {
            // Nobody listens any more when the program ends.
            let _ = send.send(event.is_ok());
        }
    }
}

/// Whether a file or folder was only looked at. To look whether something has changed opens it:
/// a watcher that reacts to that wakes itself.
fn is_look(event: &Event) -> bool {
    let is_written = EventKind::Access(AccessKind::Close(AccessMode::Write));
    event.kind.is_access() && event.kind != is_written
}

/// Calls `saved` after each save, for good: with no where only the job itself has changed, with yes
/// where a file has that it uses.
#[cfg(feature = "page")]
pub(super) fn follow(job: &Path, mut saved: impl FnMut(bool)) -> anyhow::Result<()> {
    let (send, heard) = mpsc::channel();
    let mut watcher = notify::recommended_watcher(hear(send)).context("cannot watch files")?;
    let mut watched = BTreeSet::new();
    let others = |stamps: &BTreeMap<PathBuf, Stamp>| {
        // What was sent is not what the job is made of.
        let record = past::record_of(job);
        let own =
            |path: &PathBuf| [job, &record].iter().any(|own| path.file_name() == own.file_name());
        let other = stamps.iter().filter(|(path, _)| !own(path));
        other.map(|(path, stamp)| (path.clone(), *stamp)).collect::<Vec<_>>()
    };
    let mut before = stamps(&folders(job));
    loop {
        let folders = folders(job);
        let new = folders.difference(&watched).cloned().collect::<Vec<_>>().into_iter();
        watched.extend(new.filter(|f| watcher.watch(f, RecursiveMode::NonRecursive).is_ok()));
        if !changed(&heard, job, &folders, &before) {
            return Ok(());
        }
        let now = stamps(&self::folders(job));
        saved(others(&now) != others(&before));
        before = now;
    }
}

/// Makes sure that the folder a job is written to is none that it is read from: it is exchanged for a
/// new one with every make, and what was heard of the old one is heard no more.
pub(super) fn check_folder(job: &Path, out: &Path) -> anyhow::Result<()> {
    let Ok(out_there) = out.canonicalize() else { return Ok(()) };
    let is_it = |folder: &PathBuf| folder.canonicalize().is_ok_and(|folder| folder == out_there);
    if folders(job).iter().any(is_it) {
        bail!(
            "the output folder {} holds files that the job is made from: it cannot be watched; \
             choose another folder with `--out DIR`",
            shown(out)
        );
    }
    Ok(())
}

/// Waits until a file is another than before; no when nothing can come any more.
fn changed(
    saved: &Receiver<bool>,
    job: &Path,
    folders: &BTreeSet<PathBuf>,
    before: &BTreeMap<PathBuf, Stamp>,
) -> bool {
    loop {
        // A folder of recipes or tables may have come beside the job.
        if stamps(folders) != *before || self::folders(job) != *folders {
            return true;
        }
        if saved.recv().is_err() {
            return false;
        }
        let since = now();
        while since.elapsed() < LONGEST && saved.recv_timeout(QUIET).is_ok() {}
    }
}

/// Which files differ, in words; nothing where none does.
fn differing(before: &BTreeMap<PathBuf, Stamp>, now: &BTreeMap<PathBuf, Stamp>) -> String {
    let all = before.keys().chain(now.keys()).collect::<BTreeSet<_>>().into_iter();
    let differ = all.filter(|path| before.get(*path) != now.get(*path));
    let names: Vec<_> = differ.filter_map(|path| path.file_name()?.to_str()).collect();
    match names[..] {
        [] => String::new(),
        [one] => format!(" after a change to {one}"),
        [one, ref rest @ ..] => format!(" after a change to {one} and {} more", rest.len()),
    }
}

/// The files in some folders that a job may be made of.
fn stamps(folders: &BTreeSet<PathBuf>) -> BTreeMap<PathBuf, Stamp> {
    let entries = folders.iter().filter_map(|folder| fs::read_dir(folder).ok()).flatten();
    let paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let of_job = paths.filter(|path| {
        path.extension().is_some_and(|end| ENDINGS.iter().any(|of| end.eq_ignore_ascii_case(of)))
    });
    let stamp = |path: PathBuf| {
        let there = fs::metadata(&path).ok().filter(fs::Metadata::is_file)?;
        Some((path, (there.len(), there.modified().ok())))
    };
    of_job.filter_map(stamp).collect()
}

/// The folders of a job, its recipes and tables, and of the files it names.
fn folders(job: &Path) -> BTreeSet<PathBuf> {
    let mut found = BTreeSet::new();
    let mut open = vec![(job.to_owned(), 0)];
    let mut seen = BTreeSet::new();
    while let Some((file, depth)) = open.pop() {
        if depth > DEEPEST || !seen.insert(file.clone()) {
            continue;
        }
        let folder = file.parent().filter(|path| !path.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new(".")).to_owned();
        let text = fs::read_to_string(&file).unwrap_or_default();
        for named in named_files(&text) {
            open.push((folder.join(named), depth + 1));
        }
        let within = ["recipes", "tables"].map(|name| folder.join(name));
        found.extend(within.into_iter().filter(|path| path.is_dir()));
        found.insert(folder);
    }
    found
}

/// What looks like the name of a file in a job: `"../shop.toml"`, `"frame.toml#mount"`.
fn named_files(text: &str) -> impl Iterator<Item = &str> {
    let quoted = text.lines().flat_map(|line| line.split('"').skip(1).step_by(2));
    let names = quoted.filter_map(|word| word.split('#').next());
    names.filter(|name| {
        let end = Path::new(name).extension();
        end.is_some_and(|end| ENDINGS.iter().any(|of| end.eq_ignore_ascii_case(of)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_only_looked_at_wakes_nobody() {
        let event = |kind| is_look(&Event::new(kind));
        assert!(event(EventKind::Access(AccessKind::Open(AccessMode::Any))));
        assert!(event(EventKind::Access(AccessKind::Close(AccessMode::Read))));
        assert!(!event(EventKind::Access(AccessKind::Close(AccessMode::Write))));
        assert!(!event(EventKind::Any));
    }

    #[test]
    fn the_files_that_a_job_names_are_found_in_its_text() {
        let text = "shop = \"../shop.toml\"\nabout = \"a.b\"\nfrom = \"frame.toml#mount\"\n\
            stock = [ { file = \"left.DXF\" } ]\n";
        let found: Vec<&str> = named_files(text).collect();
        assert_eq!(found, ["../shop.toml", "frame.toml", "left.DXF"]);
    }
}
