//! `platewright changes JOB`: the differences from what was made or sent before.

use crate::cli::args::SearchArgs;
use crate::cli::ending::Ending;
use crate::cli::interrupt::Interrupt;
use crate::cli::job_text;
use crate::cli::past;
use crate::cli::search;
use crate::cli::search::Watcher;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use anyhow::bail;
use platewright::changes;
use platewright::history::Past;
use platewright::history::State;
use platewright::nest::Progress;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;

/// The state a job is compared with, and its name.
type With = (String, State);

/// Makes the job without writing it and prints the differences.
pub(super) fn changes(
    path: &Path,
    since: Option<&str>,
    out: Option<PathBuf>,
    args: &SearchArgs,
) -> anyhow::Result<Ending> {
    let out = out.unwrap_or_else(|| past::usual_folder(path));
    let past = past::of(path, &out)?;
    let with = match since {
        Some(since) => Some(named(path, since, &past)?),
        None => past.made.as_ref().map(|made| last(&out, &made.now)),
    };
    let name = shelf::stem(path);
    let Some((with, was)) = with else {
        // Independent of the job: nothing is solved for that.
        shelf::read(path)?;
        terminal::data(&format!(
            "{name}: nothing to compare with: nothing has been made in {}\n",
            shown(&out)
        ));
        return Ok(Ending::Done);
    };
    let interrupt = Interrupt::listen()?;
    let Some(mut ready) = job_text::read_job(path, &[], past, None)? else {
        return Ok(Ending::Stopped);
    };
    // Drawings are not compared.
    ready.job.paper = None;
    let watcher = Watcher::start(args, &ready.job, Arc::clone(&interrupt))?;
    let watch = |kind: usize, progress: &Progress| watcher.watch(kind, progress);
    let nested = ready.nest(&search::budget(args, &watch, None));
    watcher.finish(nested.as_ref().ok());
    let made = match nested.and_then(|nested| ready.files(nested)) {
        Ok(made) => made,
        Err(why) => {
            job_text::stopped(&why);
            return Ok(Ending::Stopped);
        }
    };
    let changes = changes::changes(&with, &was, &made.state, ready.job.units);
    for (i, line) in changes.lines().iter().enumerate() {
        let before = if i == 0 { format!("{name}: ") } else { String::new() };
        terminal::data(&format!("{before}{line}\n"));
    }
    Ok(Ending::Done)
}

fn last(folder: &Path, now: &State) -> With {
    (format!("what was made last in {}", shown(folder)), now.clone())
}

/// The state a user names: an entry of the record, or a folder.
fn named(job: &Path, since: &str, past: &Past) -> anyhow::Result<With> {
    let record = past::record(job)?;
    if let Some(sent) = record.find(since) {
        return Ok((format!("what was sent, {}", sent.words()), sent.state.clone()));
    }
    let folder = Path::new(since);
    if folder.is_dir() {
        return match past::made(folder)? {
            Some(made) => Ok(last(folder, &made.now)),
            None => bail!(
                "there is nothing to compare with in {}: no job was made there",
                shown(folder)
            ),
        };
    }
    let known: Vec<String> = past.sent.iter().map(|sent| sent.words()).collect();
    match known.is_empty() {
        true => bail!(
            "`{since}` is neither a folder nor a sent order: nothing was sent yet; \
             record it with `platewright sent`"
        ),
        false => bail!(
            "`{since}` is neither a folder nor a sent order; sent so far: {}",
            known.join("; ")
        ),
    }
}
