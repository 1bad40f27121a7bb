//! `page`: a job on a page in the browser.

use crate::cli::begin;
use crate::cli::ending::Ending;
use crate::cli::files::Others;
use crate::cli::files::OutFolder;
use crate::cli::files::Replaced;
use crate::cli::interrupt::Interrupt;
use crate::cli::job_text;
use crate::cli::past;
use crate::cli::sent;
use crate::cli::shelf;
use crate::cli::shelf::Folder;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::watch;
use anyhow::Context;
use anyhow::anyhow;
use anyhow::bail;
use platewright::history::Past;
use platewright::serve;
use platewright::serve::Desk;
use platewright::serve::Key;
use platewright::serve::Opened;
use platewright::workshop::Workshop;
use platewright::write::NamedFile;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::future::IntoFuture;
use std::net::Ipv4Addr;
use std::net::Ipv6Addr;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::thread;
use tokio::net::TcpListener;

#[derive(clap::Args)]
pub(super) struct PageArgs {
    /// The job file, or the folder it is in; a file that does not exist is created [default: this folder]
    job: Option<PathBuf>,
    /// Open the page in the browser
    #[arg(long)]
    open: bool,
    /// View only; nothing is written
    #[arg(long)]
    read_only: bool,
    /// Local port to serve the page on [default: any free port]
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    port: u16,
    /// Output folder, created if missing [default: out/JOB]
    #[arg(short, long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// Bytes of a key. Our choice: enough not to be guessed.
const KEY: usize = 24;

/// A job on the disk.
struct OnDisk {
    path: PathBuf,
    out: PathBuf,
    /// What a job begins with whose file has not existed so far.
    beginning: Mutex<Option<String>>,
}

impl OnDisk {
    /// A file that the job names: beside it, or reached from there.
    fn beside(&self, name: &str) -> PathBuf {
        self.path.parent().map_or_else(|| PathBuf::from(name), |folder| folder.join(name))
    }

    /// The text of a job that has no file yet. Once there is one it is the truth: where that is removed,
    /// the job does not begin anew.
    fn unwritten(&self) -> Option<String> {
        let mut beginning = self.beginning.lock().unwrap_or_else(PoisonError::into_inner);
        if beginning.is_some() && self.path.exists() {
            *beginning = None;
        }
        beginning.clone()
    }

    /// Why the file of a job that was written cannot be used, where it has been removed.
    fn removed(&self) -> Result<(), String> {
        match self.path.try_exists() {
            Ok(false) => Err(format!(
                "{} has been removed or renamed: put it back, or close this page",
                shown(&self.path)
            )),
            _ => Ok(()),
        }
    }
}

fn message(error: anyhow::Error) -> String {
    format!("{error:#}")
}

impl Desk for OnDisk {
    fn name(&self) -> String {
        shelf::stem(&self.path)
    }

    fn shown(&self) -> String {
        shown(&self.path)
    }

    fn is_written(&self) -> bool {
        self.unwritten().is_none()
    }

    fn text(&self) -> Result<String, String> {
        if let Some(text) = self.unwritten() {
            return Ok(text);
        }
        self.removed()?;
        shelf::read(&self.path).map_err(message)
    }

    fn save(&self, was: &str, text: &str) -> Result<bool, String> {
        // Other runs of this program that are about to write it wait until it is done.
        let file = match self.is_written() {
            true => Replaced::open(&self.path),
            false => Replaced::open_or_new(&self.path),
        };
        let file = file.map_err(message)?;
        if self.text()? != was {
            return Ok(false);
        }
        file.with(text.as_bytes()).map_err(message)?;
        Ok(true)
    }

    fn file(&self, name: &str) -> Result<Option<String>, String> {
        let path = self.beside(name);
        if path.is_file() { shelf::read(&path).map(Some).map_err(message) } else { Ok(None) }
    }

    fn save_file(&self, name: &str, was: &str, text: &str) -> Result<bool, String> {
        let path = self.beside(name);
        let file = Replaced::open(&path).map_err(message)?;
        if self.file(name)?.as_deref() != Some(was) {
            return Ok(false);
        }
        file.with(text.as_bytes()).map_err(message)?;
        Ok(true)
    }

    fn past(&self) -> Result<Past, String> {
        past::of(&self.path, &self.out).map_err(message)
    }

    fn sent(
        &self,
        to: &str,
        packages: &BTreeSet<String>,
        parts: &BTreeSet<String>,
    ) -> Result<String, String> {
        let kept = sent::Kept { packages: packages.clone(), parts: parts.clone() };
        sent::recorded(&self.path, &self.out, (to, None), &kept).map_err(message)
    }

    fn in_workshop(&self, work: &mut dyn FnMut(&Workshop)) -> Result<(), String> {
        let folder = Folder::of_job(&self.path);
        job_text::in_workshop(&folder, &|_| (), |workshop, _| work(workshop)).map_err(message)
    }

    fn write(&self, files: &[NamedFile]) -> Result<String, String> {
        let folder = OutFolder::open(&self.out).map_err(message)?;
        folder.write(files, Others::TakenAway, &Interrupt::new()).map_err(message)?;
        Ok(shown(&self.out))
    }
}

/// `platewright page`.
pub(super) fn page(args: &PageArgs) -> anyhow::Result<Ending> {
    let job = which(args.job.as_deref().unwrap_or(Path::new(".")))?;
    let beginning = begun(&job, args.read_only)?;
    let out = args.out.clone().unwrap_or_else(|| past::usual_folder(&job));
    watch::check_folder(&job, &out)?;
    let desk = OnDisk { path: job.clone(), out, beginning: Mutex::new(beginning) };
    let opened = Opened::open(Box::new(desk), args.read_only).map_err(|why| anyhow!(why))?;
    let follower = (Arc::clone(&opened), job);
    thread::spawn(move || {
        let (opened, job) = follower;
        let saved = |all| {
            if let Err(why) = opened.outside(all) {
                terminal::say(&format!("note: {why}"));
            }
        };
        if let Err(why) = watch::follow(&job, saved) {
            terminal::say(&format!("note: {why:#}: changes saved in an editor are picked up late"));
        }
    });
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let served = runtime.context("cannot serve the page")?.block_on(served(args, opened));
    served.map(|()| Ending::Done)
}

/// The job file that is meant: of a folder its only job, or a new one where there is none.
fn which(job: &Path) -> anyhow::Result<PathBuf> {
    if !job.is_dir() {
        return Ok(job.to_owned());
    }
    let here = |name: &std::ffi::OsStr| match job == Path::new(".") {
        true => PathBuf::from(name),
        false => job.join(name),
    };
    let entries = fs::read_dir(job).with_context(|| format!("cannot read {}", shown(job)))?;
    let mut jobs: Vec<PathBuf> = entries
        .filter_map(|entry| Some(here(&entry.ok()?.file_name())))
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml") && is_job(path))
        .collect();
    jobs.sort();
    match jobs.as_slice() {
        [] => Ok(here(std::ffi::OsStr::new("job.toml"))),
        [one] => Ok(one.clone()),
        several => {
            let names: Vec<String> = several.iter().map(|path| shown(path)).collect();
            bail!("there are several jobs: give one of {}", names.join(", "))
        }
    }
}

/// Whether a file is a job by its entries: a shop file, a recipe and a record have others.
fn is_job(path: &Path) -> bool {
    const ENTRIES: [&str; 4] = ["[[part]]", "[[family]]", "[[link]]", "[[tube]]"];
    let text = fs::read_to_string(path).unwrap_or_default();
    let has = |word: &str| text.lines().any(|line| line.trim_start().starts_with(word));
    ENTRIES.iter().any(|entry| has(entry)) || (has("process") && has("[[sheet]]"))
}

/// What a job begins with where its file does not exist yet: that is written with the first change.
fn begun(job: &Path, read_only: bool) -> anyhow::Result<Option<String>> {
    if job.exists() {
        return Ok(None);
    }
    let file = shown(job);
    let folder = job.parent().filter(|folder| !folder.as_os_str().is_empty());
    if let Some(folder) = folder.filter(|folder| !folder.is_dir()) {
        bail!("there is no folder {}: create it, and {file} will be created there", shown(folder));
    }
    if job.extension().is_none_or(|ext| ext != "toml") {
        bail!("there is no {file}: a job file ends in .toml, such as {file}.toml");
    }
    if read_only {
        bail!(
            "there is no {file}, and a page that is read-only cannot begin it: leave `--read-only` out"
        );
    }
    terminal::say(&format!("note: there is no {file} yet: it is written with the first change"));
    Ok(Some(begin::empty_job(folder.unwrap_or(Path::new("")))))
}

async fn served(args: &PageArgs, opened: Arc<Opened>) -> anyhow::Result<()> {
    let cannot = || format!("cannot serve the page on port {}; choose another", args.port);
    let first = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port)).await.with_context(cannot)?;
    let port = first.local_addr().with_context(cannot)?.port();
    // Not every machine has the other one.
    let second = TcpListener::bind((Ipv6Addr::LOCALHOST, port)).await.ok();
    let key = Key::new(&fresh_key()?, port);
    let router = serve::router(opened, key.clone());
    terminal::data(&format!("{}\n", key.address()));
    if args.open
        && let Err(error) = open::that(key.address())
    {
        terminal::say(&format!("note: the browser cannot be opened: {error}"));
    }
    if let Some(second) = second {
        tokio::spawn(axum::serve(second, router.clone()).into_future());
    }
    tokio::spawn(axum::serve(first, router).into_future());
    tokio::signal::ctrl_c().await.context("cannot listen for Ctrl-C")?;
    Ok(())
}

/// A key that nobody has had before.
fn fresh_key() -> anyhow::Result<String> {
    let mut bytes = [0; KEY];
    if let Err(error) = getrandom::fill(&mut bytes) {
        bail!("cannot get a random key from the system: {error}");
    }
    let mut key = String::new();
    for byte in bytes {
        // Writing to a string cannot fail.
        let _ = write!(key, "{byte:02x}");
    }
    Ok(key)
}
