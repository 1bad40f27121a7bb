//! `platewright pack JOB`: a job with all it is made from in one archive.

use crate::cli::archive;
use crate::cli::archive::Kind;
use crate::cli::archive::Pack;
use crate::cli::archive::Text;
use crate::cli::ending::Ending;
use crate::cli::files::Replaced;
use crate::cli::input;
use crate::cli::interrupt::Interrupt;
use crate::cli::job_text;
use crate::cli::job_text::JobText;
use crate::cli::job_text::JobUse;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use anyhow::Context;
use anyhow::bail;
use platewright::history::FILE;
use platewright::history::checksum;
use platewright::nest::Progress;
use platewright::place::Search;
use std::ops::ControlFlow;
use std::path::Path;
use std::path::PathBuf;

/// Packs a job with all it is made from.
pub(super) fn pack(
    path: &Path,
    out: Option<PathBuf>,
    made_in: Option<PathBuf>,
) -> anyhow::Result<Ending> {
    let to = out.unwrap_or_else(|| PathBuf::from(format!("{}.zip", shelf::stem(path))));
    refuse_foreign(&to)?;
    let replaced = Replaced::open_or_new(&to)?;
    let interrupt = Interrupt::listen()?;
    let made_in = made_in.unwrap_or_else(|| past::usual_folder(path));
    let job = JobText::of_file(path, &made_in)?;
    let mut texts = vec![Text {
        kind: Kind::Job,
        key: format!("{}.toml", job.name),
        shown: job.shown.clone(),
        shipped: false,
        bytes: job.text.clone().into_bytes(),
    }];
    texts.extend(past_of(path, &made_in)?);
    let Some(ready) = job.solved(&[], None, JobUse::All)? else { return Ok(Ending::Stopped) };
    interrupt.searches();
    let watch = |_: usize, _: &Progress| match interrupt.is_pressed() {
        true => ControlFlow::Break(()),
        false => ControlFlow::Continue(()),
    };
    let made = match ready
        .nest(&Search { watch: &watch, ..Search::usual() })
        .and_then(|nested| ready.files(nested))
    {
        Ok(made) => made,
        Err(why) => {
            job_text::stopped(&why);
            return Ok(Ending::Stopped);
        }
    };
    if interrupt.is_pressed() {
        bail!("interrupted: nothing was packed");
    }
    texts.extend(job.folder.seen());
    let kept = made.files.iter().find(|file| file.name == FILE);
    texts.extend(kept.map(|file| own(Kind::Made, FILE, file.bytes.clone())));
    let version = env!("CARGO_PKG_VERSION").to_owned();
    let files = made.files.iter().map(|file| [file.name.clone(), checksum(&file.bytes)]);
    let pack = Pack { version, name: job.name, texts, made: files.collect() };
    replaced.with(&pack.bytes()?).context("nothing was packed")?;
    terminal::findings(&made.findings, &ready.sources);
    terminal::data(&format!(
        "{}: {}, from which it makes {}: {}\n",
        pack.name,
        plural(pack.texts.len(), "source file"),
        plural(pack.made.len(), "file"),
        shown(&to)
    ));
    Ok(Ending::Done)
}

/// A file of another program is never replaced by an archive.
fn refuse_foreign(path: &Path) -> anyhow::Result<()> {
    if !path.exists() {
        return Ok(());
    }
    match archive::is_sealed(&input::bytes(path, archive::LARGEST, "archive")?) {
        true => Ok(()),
        false => bail!(
            "{} was not packed by platewright, or changed since\n\
             nothing was packed; move it away, or choose another file with `--out FILE`",
            shown(path)
        ),
    }
}

/// The records of what was made and sent before: letters continue from them.
fn past_of(path: &Path, made_in: &Path) -> anyhow::Result<Vec<Text>> {
    let other = |(i, folder): (usize, PathBuf)| {
        (Kind::Before, format!("other-{}-{FILE}", i + 1), folder.join(FILE))
    };
    let mut files = vec![(Kind::Before, FILE.to_owned(), made_in.join(FILE))];
    files.extend(past::others(path, made_in).into_iter().enumerate().map(other));
    files.push((Kind::Sent, "sent.toml".to_owned(), past::record_of(path)));
    let mut texts = Vec::new();
    for (kind, key, file) in files {
        if file.exists() {
            texts.push(own(kind, &key, input::bytes(&file, archive::LARGEST, "record")?));
        }
    }
    Ok(texts)
}

fn own(kind: Kind, key: &str, bytes: Vec<u8>) -> Text {
    Text { kind, key: key.to_owned(), shown: key.to_owned(), shipped: false, bytes }
}
