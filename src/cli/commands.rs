//! The commands that solve: `make`, `check`, `part`.

use crate::cli::archive::Kind;
use crate::cli::archive::Pack;
use crate::cli::args::OrderArgs;
use crate::cli::args::PartArgs;
use crate::cli::args::SearchArgs;
use crate::cli::ending::Ending;
use crate::cli::files::Others;
use crate::cli::files::OutFolder;
use crate::cli::interrupt::Interrupt;
use crate::cli::past;
use crate::cli::search;
use crate::cli::search::Watcher;
use crate::cli::shelf;
use crate::cli::shelf::Folder;
use crate::cli::start;
use crate::cli::summary;
use crate::cli::terminal;
use crate::cli::unpack;
use anyhow::Context;
use anyhow::bail;
use platewright::diag::Sources;
use platewright::history::Past;
use platewright::job;
use platewright::job::Job;
use platewright::job::Only;
use platewright::job::OrderForm;
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

/// What is known of a job before it is solved.
struct Before {
    /// What was made and sent of it; none where nobody keeps count.
    past: Option<Past>,
    /// The issue that was asked for in place of the job's own.
    issue: Option<String>,
}

impl Before {
    /// Of what is no job: a part by its recipe.
    const NOTHING: Self = Self { past: None, issue: None };
}

/// Reads and solves a job, or some of it; when that is stopped, shows why and gives nothing.
fn ready(
    (name, shown): (&str, &str),
    text: &str,
    folder: &Folder,
    only: &[Only],
    before: Before,
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
    let Before { past, issue } = before;
    asked.job.past = past;
    asked.job.titled.issue = issue.or(asked.job.titled.issue.take());
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
    let ready = asked.solve_and_count(&|| bar.inc(1));
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
pub(super) fn stopped(why: &Stopped) -> Option<Ready> {
    terminal::findings(&why.findings, &why.sources);
    terminal::say(&format!("stopped: {}; nothing was written", terminal::count(&why.findings)));
    None
}

/// The job of a file, or some of it, read and solved; nothing when that is stopped, which has been
/// shown.
pub(super) fn read_job(
    path: &Path,
    only: &[Only],
    past: Past,
    issue: Option<String>,
) -> anyhow::Result<Option<Ready>> {
    let text = shelf::read(path)?;
    let before = Before { past: Some(past), issue };
    ready((&stem(path), &shelf::shown(path)), &text, &Folder::of_job(path), only, before)
}

/// A job of a file or of an archive, with what is known of it.
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
    pub(super) fn of_file(path: &Path, out: &Path, whole: Option<&Path>) -> anyhow::Result<Self> {
        Ok(Self {
            name: stem(path),
            shown: shelf::shown(path),
            text: shelf::read(path)?,
            folder: Folder::of_job(path),
            past: past::of(path, out, whole)?,
            pack: None,
        })
    }

    /// That of an archive.
    fn of_pack(pack: Pack) -> anyhow::Result<Self> {
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

    /// Reads and solves it, or some of it.
    pub(super) fn solved(
        &self,
        only: &[Only],
        issue: Option<String>,
    ) -> anyhow::Result<Option<Ready>> {
        let before = Before { past: Some(self.past.clone()), issue };
        ready((&self.name, &self.shown), &self.text, &self.folder, only, before)
    }

    /// Stops what an archive does not come to as it was packed, unless that is asked for.
    fn compare(&self, job: &Job, made: &Made, usual: bool, as_now: bool) -> bool {
        let Some(pack) = &self.pack else { return true };
        if !usual {
            terminal::say("note: not compared with the files as packed: other options were used");
            return true;
        }
        let lines = unpack::differences(pack, job, made);
        lines.iter().for_each(|line| terminal::say(line));
        if lines.is_empty() {
            terminal::say("note: all files are made as they were packed, byte for byte");
        } else if !as_now {
            terminal::say("nothing was written; `--as-now` writes them as this version makes them");
        }
        lines.is_empty() || as_now
    }
}

/// Where a job is made when nobody says where.
pub(super) fn usual_folder(path: &Path) -> PathBuf {
    Path::new("out").join(stem(path))
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

/// `platewright make`.
pub(super) fn make(
    (path, only): (&Path, &[Only]),
    out: Option<PathBuf>,
    (drawings, issue): (Drawings, Option<String>),
    order: &OrderArgs,
    search: &SearchArgs,
    as_now: bool,
) -> anyhow::Result<Ending> {
    let pack = if unpack::is_archive(path) { Some(unpack::open(path)?) } else { None };
    let stem = pack.as_ref().map_or_else(|| stem(path), |pack| pack.name.clone());
    let usual = Path::new("out").join(&stem);
    // Spares do not take the place of what was ordered before, and have its letters.
    let whole = (out.is_none() && !only.is_empty()).then_some(usual.as_path());
    let spares = || Path::new("out").join(format!("{stem}-only"));
    let out = out.unwrap_or_else(|| if only.is_empty() { usual.clone() } else { spares() });
    let interrupt = Interrupt::listen()?;
    let folder = OutFolder::open(&out)?;
    let as_packed = only.is_empty()
        && (drawings, &issue) == (Drawings::Made, &None)
        && order.form() == OrderForm::default()
        && search.is_usual();
    let text = match pack {
        Some(pack) => JobText::of_pack(pack)?,
        None => JobText::of_file(path, &out, whole)?,
    };
    let Some(mut ready) = text.solved(only, issue)? else { return Ok(Ending::Stopped) };
    if drawings == Drawings::LeftOut {
        ready.job.paper = None;
    }
    ready.job.order = order.form();
    let watcher = Watcher::start(search, &ready.job, Arc::clone(&interrupt))?;
    let watch = |kind: usize, progress: &Progress| watcher.watch(kind, progress);
    let nested = ready.nest(&search::budget(search, &watch));
    watcher.finish(nested.as_ref().ok());
    let made = nested.and_then(|nested| ready.files(nested)).and_then(|mut made| {
        if order.r12 {
            made.files.extend(ready.old_flats()?);
        }
        Ok(made)
    });
    let made = match made {
        Ok(made) => made,
        Err(why) => {
            stopped(&why);
            return Ok(Ending::Stopped);
        }
    };
    if !text.compare(&ready.job, &made, as_packed, as_now) {
        return Ok(Ending::Stopped);
    }
    interrupt.writes();
    folder.write(&made.files, Others::TakenAway, &interrupt)?;
    terminal::findings(&made.findings, &ready.sources);
    terminal::data(&summary::choices(&ready.solved));
    terminal::data(&summary::text(&ready.job, &made, &out));
    // Files that lack pieces must not pass for all that was asked for.
    let complete = made.report.not_placed.is_empty();
    Ok(if complete { Ending::Done } else { Ending::Stopped })
}

/// `platewright check`.
pub(super) fn check(path: &Path, only: &[Only]) -> anyhow::Result<Ending> {
    let past = Past { sent: past::record(path)?.sent, ..Past::default() };
    let Some(mut ready) = read_job(path, only, past, None)? else { return Ok(Ending::Stopped) };
    let unfit = make::fits(&ready.job, &ready.solved);
    let ending = if unfit.is_empty() { Ending::Done } else { Ending::Stopped };
    ready.findings.extend(unfit);
    terminal::findings(&ready.findings, &ready.sources);
    let parts = terminal::plural(ready.solved.len(), "part");
    let found = terminal::count(&ready.findings);
    terminal::data(&format!("{}: {parts} checked, {found}\n{}\n", ready.job.name, job::CAUTION));
    Ok(ending)
}

/// `platewright part`: the command line, written down as a job, so that findings can point into it.
pub(super) fn part(args: &PartArgs) -> anyhow::Result<Ending> {
    let (recipe, folder) = start::place(&args.recipe)?;
    let text = as_job(args, &recipe)?;
    let interrupt = Interrupt::listen()?;
    let out = OutFolder::open(&args.out)?;
    let Some(ready) = ready((&recipe, "command line"), &text, &folder, &[], Before::NOTHING)?
    else {
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
    let Some(ready) = ready((&stem, "command line"), &text, &folder, &[], Before::NOTHING)? else {
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
