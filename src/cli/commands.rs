//! The commands that solve: `make`, `check`, `part`.

use crate::cli::args::OrderArgs;
use crate::cli::args::PartArgs;
use crate::cli::args::SearchArgs;
use crate::cli::ending::Ending;
use crate::cli::files::Others;
use crate::cli::files::OutFolder;
use crate::cli::interrupt::Interrupt;
use crate::cli::search;
use crate::cli::search::Watcher;
use crate::cli::shelf;
use crate::cli::shelf::Folder;
use crate::cli::start;
use crate::cli::summary;
use crate::cli::terminal;
use crate::cli::watch;
use anyhow::Context;
use anyhow::bail;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Only;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::nest::Progress;
use platewright::quantity::Units;
use platewright::workshop::Ready;
use platewright::workshop::Stopped;
use platewright::workshop::Workshop;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;

/// Reads and solves a job, or some of it; when that is stopped, shows why and gives nothing.
fn ready(
    (name, shown): (&str, &str),
    text: &str,
    folder: &Folder,
    only: &[Only],
    wanted: Wanted,
) -> anyhow::Result<Option<Ready>> {
    let mut sources = Sources::default();
    let (tables, said, findings) = folder.tables(&mut sources)?;
    for line in said {
        terminal::say(&format!("note: {line}"));
    }
    // What cannot be read is said below, by name.
    let looked_for = RefCell::new(BTreeSet::new());
    let recipe = |name: &str| {
        looked_for.borrow_mut().insert(name.to_owned());
        folder.recipe(name).ok().flatten()
    };
    let names = || folder.names();
    let file = |name: &str| folder.file(name);
    let drawing = |name: &str| folder.drawing(name);
    let shelf =
        Shelf { drawing: &drawing, file: &file, recipe: &recipe, names: &names, tables: &tables };
    let workshop = Workshop::new(shelf).with_findings(findings, sources);
    let unread = || folder.unread().iter().for_each(|why| terminal::say(&format!("note: {why}")));
    let mut asked = match workshop.read(name, shown, text) {
        Ok(asked) => asked,
        Err(why) => {
            unread();
            return Ok(stopped(&why));
        }
    };
    asked.job.keep_only(only)?;
    let mut used: Vec<String> = asked.job.lines.iter().map(|l| l.recipe.0.clone()).collect();
    used.sort_unstable();
    used.dedup();
    for name in &used {
        folder.recipe(name)?;
    }
    for said in used.iter().filter_map(|name| folder.shadowing(name)) {
        terminal::say(&format!("note: {said}"));
    }
    let bar = terminal::progress(asked.job.lines.len(), "solving");
    let ready = match wanted {
        Wanted::All => asked.solve_and_count(&|| bar.inc(1)),
        Wanted::Good => asked.solve_the_good(&|| bar.inc(1)),
    };
    bar.finish_and_clear();
    unread();
    // Those that recipes use are known only now.
    for name in looked_for.borrow().iter().filter(|name| !used.contains(name)) {
        folder.recipe(name)?;
        if let Some(said) = folder.shadowing(name) {
            terminal::say(&format!("note: {said}"));
        }
    }
    Ok(ready.map_or_else(|why| stopped(&why), Some))
}

/// Shows why a job is stopped.
fn stopped(why: &Stopped) -> Option<Ready> {
    terminal::findings(&why.findings, &why.sources);
    terminal::say(&format!("stopped: {}; nothing was written", terminal::count(&why.findings)));
    None
}

/// The job of a file, or some of it, read and solved; nothing when that is stopped, which has been
/// shown.
pub(super) fn read_job(path: &Path, only: &[Only]) -> anyhow::Result<Option<Ready>> {
    read(path, only, Wanted::All)
}

fn read(path: &Path, only: &[Only], wanted: Wanted) -> anyhow::Result<Option<Ready>> {
    let text = shelf::read(path)?;
    ready((&stem(path), &shelf::shown(path)), &text, &Folder::of_job(path), only, wanted)
}

/// What is wanted of a job of which a part is stopped.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wanted {
    /// All parts or none.
    All,
    /// Those that nothing stops.
    Good,
}

pub(super) fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(|| "job".into(), |s| s.to_string_lossy().into_owned())
}

/// Whether `make` writes shop drawings and templates.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Drawings {
    /// As the job says.
    Made,
    /// None.
    LeftOut,
}

/// How a job is made.
pub(super) struct Wishes {
    pub(super) drawings: Drawings,
    /// In place of the job's own.
    pub(super) issue: Option<String>,
    pub(super) order: OrderArgs,
    pub(super) search: SearchArgs,
}

/// Where a job is written. Spares do not take the place of what was ordered before.
fn out_of(path: &Path, only: &[Only], out: Option<PathBuf>) -> PathBuf {
    let folder = if only.is_empty() { stem(path) } else { format!("{}-only", stem(path)) };
    out.unwrap_or_else(|| Path::new("out").join(folder))
}

/// `platewright make`.
pub(super) fn make(
    (path, only): (&Path, &[Only]),
    out: Option<PathBuf>,
    wanted: &Wishes,
) -> anyhow::Result<Ending> {
    let out = out_of(path, only, out);
    let interrupt = Interrupt::listen()?;
    let folder = OutFolder::open(&out)?;
    let Some(ready) = read(path, only, Wanted::Good)? else { return Ok(Ending::Stopped) };
    let Some((ready, made)) = made(ready, wanted, &folder, &interrupt)? else {
        return Ok(Ending::Stopped);
    };
    terminal::findings(&made.findings, &ready.sources);
    terminal::data(&summary::choices(&ready.solved));
    terminal::data(&summary::text(&ready.job, &made, &out));
    // Files that lack pieces must not pass for all that was asked for.
    let complete = made.report.not_placed.is_empty() && made.report.stopped.is_empty();
    Ok(if complete { Ending::Done } else { Ending::Stopped })
}

/// `platewright make --watch`.
pub(super) fn make_watched(
    (path, only): (&Path, &[Only]),
    out: Option<PathBuf>,
    mut wanted: Wishes,
) -> anyhow::Result<Ending> {
    let out = out_of(path, only, out);
    let interrupt = Interrupt::listen()?;
    wanted.search.first_layout_unless_said();
    watch::watch(path, &interrupt, || {
        let folder = OutFolder::open(&out)?;
        let ready = match read(path, only, Wanted::Good)? {
            Some(ready) => made(ready, &wanted, &folder, &interrupt)?,
            None => None,
        };
        let Some((ready, made)) = ready else { return Ok(stopped_line(path)) };
        terminal::findings(&made.findings, &ready.sources);
        Ok(summary::line(&ready.job, &made))
    })
}

/// What came of a job that was made, its files written; nothing when it is stopped, which has been
/// shown.
fn made(
    mut ready: Ready,
    wanted: &Wishes,
    folder: &OutFolder,
    interrupt: &Arc<Interrupt>,
) -> anyhow::Result<Option<(Ready, Made)>> {
    if wanted.drawings == Drawings::LeftOut {
        ready.job.paper = None;
    }
    ready.job.titled.issue = wanted.issue.clone().or(ready.job.titled.issue.take());
    ready.job.order = wanted.order.form();
    let watcher = Watcher::start(&wanted.search, &ready.job, Arc::clone(interrupt))?;
    let watch = |kind: usize, progress: &Progress| watcher.watch(kind, progress);
    let nested = ready.nest(&search::budget(&wanted.search, &watch));
    watcher.finish(nested.as_ref().ok());
    let made = nested.and_then(|nested| ready.files(nested)).and_then(|mut made| {
        if wanted.order.r12 {
            made.files.extend(ready.old_flats()?);
        }
        Ok(made)
    });
    let made = match made {
        Ok(made) => made,
        Err(why) => {
            stopped(&why);
            return Ok(None);
        }
    };
    interrupt.writes();
    folder.write(&made.files, Others::TakenAway, interrupt)?;
    Ok(Some((ready, made)))
}

/// The line of a job that is stopped, whose findings have been shown.
fn stopped_line(path: &Path) -> String {
    format!("{}: stopped, nothing was written", stem(path))
}

/// `platewright check`.
pub(super) fn check(path: &Path, only: &[Only]) -> anyhow::Result<Ending> {
    let Some((words, ending)) = checked(path, only)? else { return Ok(Ending::Stopped) };
    terminal::data(&format!("{words}\n{}\n", job::CAUTION));
    Ok(ending)
}

/// `platewright check --watch`.
pub(super) fn check_watched(path: &Path, only: &[Only]) -> anyhow::Result<Ending> {
    let interrupt = Interrupt::listen()?;
    watch::watch(path, &interrupt, || {
        Ok(checked(path, only)?.map_or_else(|| stopped_line(path), |(words, _)| words))
    })
}

/// What came of the checks of a job, in a line; nothing when it is stopped, which has been shown.
fn checked(path: &Path, only: &[Only]) -> anyhow::Result<Option<(String, Ending)>> {
    let Some(mut ready) = read_job(path, only)? else { return Ok(None) };
    let unfit = make::fits(&ready.job, &ready.solved);
    let ending = if unfit.is_empty() { Ending::Done } else { Ending::Stopped };
    ready.findings.extend(unfit);
    terminal::findings(&ready.findings, &ready.sources);
    let parts = terminal::plural(ready.solved.len(), "part");
    let found = terminal::count(&ready.findings);
    Ok(Some((format!("{}: {parts} checked, {found}", ready.job.name), ending)))
}

/// `platewright part`: the command line, written down as a job, so that findings can point into it.
pub(super) fn part(args: &PartArgs) -> anyhow::Result<Ending> {
    let (recipe, folder) = start::place(&args.recipe)?;
    let text = as_job(args, &recipe)?;
    let interrupt = Interrupt::listen()?;
    let out = OutFolder::open(&args.out)?;
    let Some(ready) = ready((&recipe, "command line"), &text, &folder, &[], Wanted::All)? else {
        return Ok(Ending::Stopped);
    };
    let files = match ready.flats() {
        Ok(files) => files,
        Err(why) => {
            stopped(&why);
            return Ok(Ending::Stopped);
        }
    };
    interrupt.writes();
    out.write(&files, Others::Kept, &interrupt)?;
    terminal::findings(&ready.findings, &ready.sources);
    for solved in &ready.solved {
        terminal::data(&summary::part(&ready.job, solved));
    }
    for file in &files {
        terminal::data(&format!("{}\n", shelf::shown(&args.out.join(&file.name))));
    }
    Ok(Ending::Done)
}

/// Draws the part a recipe makes by its defaults. Findings are shown, as for any part.
pub(super) fn picture(recipe: &str, file: &Path) -> anyhow::Result<Ending> {
    let (stem, folder) = start::place(recipe)?;
    let args = PartArgs {
        recipe: recipe.to_owned(),
        values: Vec::new(),
        material: "S235".into(),
        thickness: "4 mm".into(),
        process: "waterjet".into(),
        coating: "0 mm".into(),
        units: "mm".into(),
        name: None,
        out: PathBuf::new(),
    };
    let text = as_job(&args, &stem)?;
    let Some(ready) = ready((&stem, "command line"), &text, &folder, &[], Wanted::All)? else {
        return Ok(Ending::Stopped);
    };
    let svg = make::picture(&ready.job, &ready.solved);
    std::fs::write(file, svg).with_context(|| format!("cannot write {}", shelf::shown(file)))?;
    Ok(Ending::Done)
}

fn as_job(args: &PartArgs, recipe: &str) -> anyhow::Result<String> {
    let quoted = |text: &str| serde_json::to_string(text);
    let mut given = Vec::new();
    for value in &args.values {
        let Some((name, value)) = value.split_once('=') else {
            bail!("`{value}` is not NAME=VALUE; write a value, such as `reach=\"30 mm\"`");
        };
        let value = match value {
            "true" | "false" => value.to_owned(),
            _ => quoted(value)?,
        };
        given.push(format!("{name} = {value}\n"));
    }
    let name = args.name.as_deref().unwrap_or(recipe);
    let sheet = format!("{} {}", args.material, args.thickness);
    Ok(format!(
        "units = {}\nprocess = {}\ncoating = {}\n\n[[sheet]]\nname = {}\nmaterial = {}\nthickness = {}\nstock = []\n\n\
         [[part]]\nrecipe = {}\nname = {}\nsheet = {}\n\n[part.given]\n{}",
        quoted(&args.units)?,
        quoted(&args.process)?,
        quoted(&args.coating)?,
        quoted(&sheet)?,
        quoted(&args.material)?,
        quoted(&args.thickness)?,
        quoted(recipe)?,
        quoted(name)?,
        quoted(&sheet)?,
        given.concat(),
    ))
}

/// How lengths are shown where no job says.
pub(super) const UNITS: Units = Units::Millimetre;
