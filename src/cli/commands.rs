//! The commands that solve: `make`, `check`, `part`.

use crate::cli::args::OrderArgs;
use crate::cli::args::PartArgs;
use crate::cli::args::SearchArgs;
use crate::cli::drafting::Closing;
use crate::cli::ending::Ending;
use crate::cli::files;
use crate::cli::files::Others;
use crate::cli::files::OutFolder;
use crate::cli::interrupt::Interrupt;
use crate::cli::job_text::JobText;
use crate::cli::job_text::JobUse;
use crate::cli::job_text::read_job;
use crate::cli::job_text::read_part;
use crate::cli::job_text::stopped;
use crate::cli::past;
use crate::cli::search;
use crate::cli::search::Watcher;
use crate::cli::shelf;
use crate::cli::start;
use crate::cli::summary;
use crate::cli::terminal;
use crate::cli::unpack;
use crate::cli::watch;
use anyhow::Context;
use anyhow::bail;
use platewright::history::Past;
use platewright::job;
use platewright::job::Only;
use platewright::job::OrderForm;
use platewright::make;
use platewright::make::Drafts;
use platewright::make::Made;
use platewright::make::Nested;
use platewright::make::OfParts;
use platewright::nest::Progress;
use platewright::nest::Sheet;
use platewright::quantity::Units;
use platewright::report;
use platewright::workshop::Ready;
use platewright::workshop::Stopped;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread;

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
    /// Whether to write the files of an archive even if they differ from those packed.
    pub(super) accept: bool,
}

impl Wishes {
    /// Whether a job is made as `pack` makes it.
    fn are_usual(&self) -> bool {
        (self.drawings, &self.issue) == (Drawings::Made, &None)
            && self.order.form() == OrderForm::default()
            && self.search.is_usual()
    }
}

/// The folder of a job, or of some of its parts, if none is given: spares do not replace what was
/// ordered before.
fn usual_folder(name: &str, only: &[Only]) -> PathBuf {
    let [whole, spares] = past::folders(name);
    if only.is_empty() { whole } else { spares }
}

/// `platewright make`.
pub(super) fn make(
    (path, only): (&Path, &[Only]),
    out: Option<PathBuf>,
    wanted: &Wishes,
) -> anyhow::Result<Ending> {
    let pack = if unpack::is_archive(path) { Some(unpack::open(path)?) } else { None };
    let name = pack.as_ref().map_or_else(|| shelf::stem(path), |pack| pack.name.clone());
    let out = out.unwrap_or_else(|| usual_folder(&name, only));
    let interrupt = Interrupt::listen()?;
    let folder = OutFolder::open(&out)?;
    let text = match pack {
        Some(pack) => JobText::of_pack(pack)?,
        None => JobText::of_file(path, &out)?,
    };
    let Some((ready, made)) = made(&text, only, wanted, (&out, &folder), &interrupt)? else {
        if files::is_made(&out) {
            terminal::say(&format!(
                "the files in {} are those of an earlier run",
                shelf::shown(&out)
            ));
        }
        return Ok(Ending::Stopped);
    };
    terminal::findings(&made.findings, &ready.sources);
    terminal::data(&summary::choices(&ready.job, &ready.solved));
    terminal::data(&summary::text(&ready.job, &made, &out));
    if let Some(words) = summary::undrawn(path, &made) {
        terminal::say(&words);
    }
    // Files that lack pieces must not be taken for a complete job.
    let report = &made.report;
    let complete = report.not_placed.is_empty() && report.stopped.is_empty();
    let complete = complete && made.undrawn.is_empty();
    Ok(if complete { Ending::Done } else { Ending::Stopped })
}

/// `platewright make --watch`.
pub(super) fn make_watched(
    (path, only): (&Path, &[Only]),
    out: Option<PathBuf>,
    mut wanted: Wishes,
) -> anyhow::Result<Ending> {
    if unpack::is_archive(path) {
        bail!("an archive cannot be watched: make it without `--watch`");
    }
    let out = out.unwrap_or_else(|| usual_folder(&shelf::stem(path), only));
    watch::check_folder(path, &out)?;
    let interrupt = Interrupt::listen()?;
    wanted.search.first_layout_unless_said();
    watch::watch(path, &interrupt, || {
        watch::check_folder(path, &out)?;
        let folder = OutFolder::open(&out)?;
        // The last output changes with every save.
        let text = JobText::of_file(path, &out)?;
        let made = made(&text, only, &wanted, (&out, &folder), &interrupt)?;
        let Some((ready, made)) = made else { return Ok(stopped_line(path)) };
        terminal::findings(&made.findings, &ready.sources);
        Ok(summary::line(&ready.job, &made))
    })
}

/// The results of a job that was made, its files written; `None` if it is stopped, which has been
/// reported.
fn made(
    text: &JobText,
    only: &[Only],
    wanted: &Wishes,
    (out, folder): (&Path, &OutFolder),
    interrupt: &Arc<Interrupt>,
) -> anyhow::Result<Option<(Ready, Made)>> {
    let ready = text.solved(only, wanted.issue.clone(), JobUse::Good)?;
    let Some(mut ready) = ready else { return Ok(None) };
    text.refuse_later(out, &ready.solved)?;
    if wanted.drawings == Drawings::LeftOut {
        ready.job.paper = None;
    }
    ready.job.order = wanted.order.form();
    let watcher = Watcher::start(&wanted.search, &ready.job, Arc::clone(interrupt))?;
    let still = || !interrupt.leaves_out() && !watcher.leaves_out();
    let drawings = make::Wanted::while_still(&still);
    let (nested, of_parts) = searched(&ready, folder, &wanted.search, &watcher, &drawings);
    let laid = |nested| ready.laid((nested, of_parts?), &drawings);
    let made = nested.and_then(laid).and_then(|mut made| {
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
    let as_packed = only.is_empty() && wanted.are_usual() && made.undrawn.is_empty();
    if !text.compare(&ready.job, &made, as_packed, wanted.accept) {
        return Ok(None);
    }
    interrupt.writes();
    folder.write(&made.files, Others::TakenAway, interrupt)?;
    Ok(Some((ready, made)))
}

/// The parts on their sheets, and what does not depend on where they lie, which does not wait for it;
/// meanwhile the sheets of the best layouts are drawn, and the files of an earlier run are looked at.
fn searched(
    ready: &Ready,
    folder: &OutFolder,
    wanted: &SearchArgs,
    watcher: &Watcher,
    drawings: &make::Wanted,
) -> (Result<Nested, Stopped>, Result<OfParts, Stopped>) {
    let drafts = Drafts::default();
    let watch = |kind: usize, progress: &Progress| watcher.watch(kind, progress);
    let found = |kind: usize, best: &[Sheet]| watcher.desk.take(kind, best);
    let nest = || {
        let _closing = Closing(&watcher.desk);
        let nested = ready.nest(&search::budget(wanted, &watch, Some(&found)));
        watcher.finish(nested.as_ref().ok());
        nested
    };
    let (nested, of_parts) = thread::scope(|scope| {
        scope.spawn(|| watcher.desk.draw(ready, &drafts));
        scope.spawn(|| folder.look(&|| !watcher.desk.is_closed()));
        rayon::join(nest, || ready.of_parts(drawings))
    });
    (nested.map(|nested| nested.with(drafts)), of_parts)
}

/// The line of a job that is stopped, whose findings have been shown.
fn stopped_line(path: &Path) -> String {
    format!("{}: stopped, nothing was written", shelf::stem(path))
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

/// The results of the checks of a job, in a line; `None` if it is stopped, which has been reported.
fn checked(path: &Path, only: &[Only]) -> anyhow::Result<Option<(String, Ending)>> {
    let past = Past { sent: past::record(path)?.sent, ..Past::default() };
    let Some(mut ready) = read_job(path, only, past, None)? else { return Ok(None) };
    let unfit = make::fits(&ready.job, &ready.solved);
    let ending = if unfit.is_empty() { Ending::Done } else { Ending::Stopped };
    ready.findings.extend(unfit);
    terminal::findings(&ready.findings, &ready.sources);
    let parts = terminal::plural(ready.solved.len(), "part");
    let beside = report::beside(&ready.job, &ready.solved);
    let found = terminal::found(&ready.findings, beside);
    Ok(Some((format!("{}: {parts} checked, {found}", ready.job.name), ending)))
}

/// `platewright part`: the command line, written down as a job, so that findings can point into it.
pub(super) fn part(args: &PartArgs) -> anyhow::Result<Ending> {
    let (recipe, folder) = start::place(&args.recipe)?;
    let text = as_job(args, &recipe)?;
    let interrupt = Interrupt::listen()?;
    let out = OutFolder::open(&args.out)?;
    let Some(ready) = read_part(&recipe, &text, &folder)? else { return Ok(Ending::Stopped) };
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
    let Some(ready) = read_part(&stem, &text, &folder)? else { return Ok(Ending::Stopped) };
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
