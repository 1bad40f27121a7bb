//! `platewright sent JOB --to RECIPIENT`: records the order made last as sent.

use crate::cli::book::Book;
use crate::cli::day::day;
use crate::cli::ending::Ending;
use crate::cli::files;
use crate::cli::files::Replaced;
use crate::cli::input;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use anyhow::Context;
use anyhow::anyhow;
use anyhow::bail;
use platewright::history::FILE;
use platewright::history::Made;
use platewright::history::Sent;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// No list of an order is longer than this, in bytes. Our choice.
const LARGEST: u64 = 64 << 20;

/// Maximum number of letters of a recipient. Our choice.
const LONGEST: usize = 100;

/// Records the order that was made last.
pub(super) fn sent(
    job: &Path,
    to: &str,
    date: Option<String>,
    out: Option<PathBuf>,
) -> anyhow::Result<Ending> {
    let out = out.unwrap_or_else(|| past::usual_folder(job));
    terminal::data(&recorded(job, &out, (to, date), &Kept::default())?);
    Ok(Ending::Done)
}

/// What of an order is kept and not sent.
#[derive(Default)]
pub(super) struct Kept {
    /// Packages by name.
    pub(super) packages: BTreeSet<String>,
    /// Parts by name.
    pub(super) parts: BTreeSet<String>,
}

/// Records the order that was made last in a folder, except what is kept; gives what was recorded, in
/// words.
pub(super) fn recorded(
    job: &Path,
    out: &Path,
    (to, date): (&str, Option<String>),
    kept_here: &Kept,
) -> anyhow::Result<String> {
    let to = whom(to)?;
    let date = day(date)?;
    shelf::read(job)?;
    let Some(made) = past::made(out)? else {
        bail!(
            "nothing was made in {}: make the job first, or say where it was made with `--out DIR`",
            shown(out)
        );
    };
    let mut files = order(out)?;
    let is_kept = |name: &str| {
        let stem = name.strip_prefix("order/").and_then(|name| name.rsplit_once('.'));
        stem.is_some_and(|(stem, _)| kept_here.packages.contains(stem))
    };
    files.retain(|[name, _]| !is_kept(name));
    let record = past::record_of(job);
    // From here on no other run adds to the record.
    let replaced = Replaced::open_or_new(&record)?;
    let before = past::record(job)?;
    let Made { version, now: mut state, .. } = made;
    // Of a part that was not sent no piece was.
    for part in state.part.iter_mut().filter(|part| kept_here.parts.contains(&part.name)) {
        part.pieces = 0;
    }
    let number = before.sent.len() as u32 + 1;
    let sent = Sent { number, to, date, version, files, state };
    let text = before
        .with(sent.clone())
        .map_err(|error| anyhow!("the record cannot be written: {error}"))?;
    let kept = || replaced.with(text.as_bytes()).context("nothing was recorded");
    // Both have it or none: the record beside the job, and the stock book where there is one.
    let of_shop = past::book_of(job)?;
    let book = match Book::open(&of_shop).context("nothing was recorded")? {
        None => kept().map(|()| None)?,
        Some(mut book) => {
            book.sent(&shelf::stem(job), &sent, kept).map(|()| Some(shown(&of_shop)))?
        }
    };
    let after = past::read_record(&record, &text)?;
    let mut words = after.sent.last().map_or_else(String::new, |sent| message(job, &record, sent));
    if let Some(book) = book {
        words += &format!("  and in the book {book}\n");
    }
    Ok(words)
}

fn message(job: &Path, record: &Path, sent: &Sent) -> String {
    let parts: Vec<_> = sent.parts().collect();
    let mut text = format!(
        "{}: recorded as {}: {} in {}\n",
        shelf::stem(job),
        sent.words(),
        plural(parts.len(), "part"),
        shown(record)
    );
    for part in parts {
        let (issue, hash) = (sent.state.issue_of(part), &part.geometry);
        let pieces = plural(part.pieces as usize, "piece");
        text += &format!("  {}: {pieces}, issue {issue} · {hash}\n", part.name);
    }
    text
}

/// A name that can be found again.
fn whom(to: &str) -> anyhow::Result<String> {
    let to = to.trim();
    if to.is_empty() || to.chars().count() > LONGEST || to.chars().any(char::is_control) {
        bail!("`--to` is a name of 1 to {LONGEST} characters on one line");
    }
    if to.trim_start_matches("no. ").parse::<u32>().is_ok() {
        bail!("`--to {to}` is a number, and sent orders are numbered; write a name");
    }
    Ok(to.to_owned())
}

/// The files of the order with their checksums, once all of them are as they were made.
fn order(out: &Path) -> anyhow::Result<Vec<[String; 2]>> {
    let folder = out.join("order");
    let mut lists: Vec<PathBuf> = match fs::read_dir(&folder) {
        Ok(entries) => entries.filter_map(|entry| Some(entry.ok()?.path())).collect(),
        Err(_) => Vec::new(),
    };
    lists.retain(|path| path.extension().is_some_and(|end| end == "sha256"));
    lists.sort();
    if lists.is_empty() {
        bail!("there is no order in {}: nothing can have been sent", shown(&folder));
    }
    let name = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let zip = name.replace(".sha256", ".zip");
        [format!("order/{name}"), format!("order/{zip}")]
    };
    let mut names: Vec<String> = lists.iter().flat_map(name).collect();
    names.push(FILE.to_owned());
    let changed = files::changed(out, &names)?;
    if !changed.is_empty() {
        bail!(
            "not as made: {}\n\
             nothing was recorded; make the job again and send what that writes",
            changed.iter().map(|name| shown(&out.join(name))).collect::<Vec<_>>().join(", ")
        );
    }
    let mut files = Vec::new();
    for list in &lists {
        let text = input::text(list, LARGEST, "list")?;
        let lines = text.lines().filter_map(|line| line.split_once("  "));
        files.extend(lines.map(|(sum, name)| [name.to_owned(), sum.to_owned()]));
    }
    Ok(files)
}
