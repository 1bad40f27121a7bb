//! Where the records of a job are: among the files of the last make, in a file beside the job, and
//! in the book of its shop. Only this file knows the places.

use crate::cli::input;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use anyhow::Context;
use anyhow::anyhow;
use platewright::history::FILE;
use platewright::history::Made;
use platewright::history::Past;
use platewright::history::Record;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::fs;
use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::path::PathBuf;

/// No such file is longer than this, in bytes. Our choice.
const LARGEST: u64 = 256 << 20;

/// This many bytes of a file show whose it is. Our choice, amply.
const HEAD: u64 = 1024;

/// The record of orders sent of a job: `JOB.sent.toml`, beside it.
pub(super) fn record_of(job: &Path) -> PathBuf {
    job.with_extension("sent.toml")
}

/// The one key of a job that says where the book is.
#[derive(Deserialize)]
struct Shop {
    shop: Option<String>,
}

/// The book of the shop that a job names, or of its folder.
///
/// # Errors
/// When the job cannot be read.
pub(super) fn book_of(job: &Path) -> anyhow::Result<PathBuf> {
    Ok(shelf::book_of(&shop_of(job)?))
}

/// The shop file that a job names, or that of its folder.
///
/// # Errors
/// When the job cannot be read.
pub(super) fn shop_of(job: &Path) -> anyhow::Result<PathBuf> {
    let text = shelf::read(job)?;
    let read: Shop = toml::from_str(&text)
        .map_err(|error| anyhow!("cannot read {}: {}", shown(job), error.message()))?;
    let folder = job.parent().unwrap_or(Path::new(""));
    Ok(folder.join(read.shop.as_deref().unwrap_or(shelf::SHOP)))
}

/// Where a job of a name is made when no folder is given: the whole job, and some of it.
pub(super) fn folders(name: &str) -> [PathBuf; 2] {
    [name.to_owned(), format!("{name}-only")].map(|folder| Path::new("out").join(folder))
}

/// Where a whole job is made when no folder is given.
pub(super) fn usual_folder(job: &Path) -> PathBuf {
    let [whole, _] = folders(&shelf::stem(job));
    whole
}

/// The folders beside the output folder in which letters may have been given as well: letters
/// continue from the latest of all of them. They are those where the job is usually made, and all
/// in which it was made within `out`, this folder, or that of the output.
pub(super) fn others(job: &Path, out: &Path) -> Vec<PathBuf> {
    let name = shelf::stem(job);
    let mut folders = folders(&name).to_vec();
    let beside = out.parent().filter(|folder| !folder.as_os_str().is_empty());
    for within in [Path::new(""), Path::new("out")].into_iter().chain(beside) {
        folders.extend(made_within(within, &name));
    }
    let mut seen = BTreeSet::new();
    let place = |folder: &PathBuf| folder.canonicalize().unwrap_or_else(|_| folder.clone());
    let own = place(&out.to_owned());
    folders.retain(|folder| place(folder) != own && seen.insert(place(folder)));
    folders
}

/// The folders within another in which a job of a name was made, sorted. Hidden ones are being made.
fn made_within(within: &Path, name: &str) -> Vec<PathBuf> {
    let this = if within.as_os_str().is_empty() { Path::new(".") } else { within };
    let entries = fs::read_dir(this).into_iter().flatten().flatten();
    let folders = entries.filter(|entry| !entry.file_name().as_encoded_bytes().starts_with(b"."));
    let mut found: Vec<PathBuf> = folders
        .map(|entry| within.join(entry.file_name()))
        .filter(|folder| head(&folder.join(FILE)).is_some_and(|text| Made::is_of(&text, name)))
        .collect();
    found.sort();
    found
}

/// The beginning of a regular file.
fn head(path: &Path) -> Option<String> {
    fs::metadata(path).ok().filter(fs::Metadata::is_file)?;
    let mut bytes = Vec::new();
    File::open(path).ok()?.take(HEAD).read_to_end(&mut bytes).ok()?;
    Some(String::from_utf8_lossy(&bytes).into_owned())
}

/// All records of a job: of what was made last in a folder and where it is usually made, and of
/// what was sent.
pub(super) fn of(job: &Path, out: &Path) -> anyhow::Result<Past> {
    let others = others(job, out).iter().map(|folder| made(folder)).collect::<Result<Vec<_>, _>>();
    Ok(Past {
        made: made(out)?,
        others: others?.into_iter().flatten().collect(),
        sent: record(job)?.sent,
    })
}

/// The record of what was made last in a folder; `None` if there is none.
///
/// # Errors
/// When it exists and cannot be read: the letters of issues must not restart silently.
pub(super) fn made(folder: &Path) -> anyhow::Result<Option<Made>> {
    let path = folder.join(FILE);
    let Some(text) = text(&path)? else { return Ok(None) };
    let read = Made::read(&text).map_err(|error| {
        anyhow!(
            "cannot read {}, from which the issue letters continue: {error}\n\
             nothing was written; put the file back as it was, or move it away to begin with what \
             was sent, or at A",
            shown(&path)
        )
    });
    read.map(Some)
}

/// The record of orders sent; empty if there are none.
///
/// # Errors
/// When it is there and was cut short or changed.
pub(super) fn record(job: &Path) -> anyhow::Result<Record> {
    let path = record_of(job);
    match text(&path)? {
        None => Ok(Record::default()),
        Some(text) => read_record(&path, &text),
    }
}

/// A record that was read.
pub(super) fn read_record(path: &Path, text: &str) -> anyhow::Result<Record> {
    Record::read(text).map_err(|damaged| {
        anyhow!(
            "cannot read {}, the record of what was sent: {damaged}\n\
             nothing was written; put back a complete copy, or remove everything from there on",
            shown(path)
        )
    })
}

fn text(path: &Path) -> anyhow::Result<Option<String>> {
    match path.try_exists() {
        Ok(true) => input::text(path, LARGEST, "record").map(Some),
        Ok(false) => Ok(None),
        Err(error) => Err(error).with_context(|| format!("cannot read {}", shown(path))),
    }
}
