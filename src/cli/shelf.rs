//! Where recipes and tables are found: beside the job first, then among those compiled in.

use crate::cli::input;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::recipe;
use platewright::table::Tables;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::PoisonError;

/// A folder whose recipes and tables override the shipped ones: recipes as
/// `NAME.toml` or `recipes/NAME.toml`, tables as `tables/NAME.csv`.
pub(super) struct Folder {
    path: PathBuf,
    /// A job, which is no recipe even where it is called like one.
    job: Option<PathBuf>,
    /// A recipe given as a file, which goes before all others of its name.
    own: Option<PathBuf>,
    /// Why files that are named by a job or recipe, and are there, could not be read.
    unread: Mutex<BTreeSet<String>>,
}

/// No recipe, job or table is longer than this, in bytes. Our choice.
const LARGEST: u64 = 16 << 20;

impl Folder {
    /// The folder a job lies in.
    pub(super) fn of_job(file: &Path) -> Self {
        Self { job: Some(file.to_owned()), ..Self::around(file) }
    }

    /// The folder a recipe lies in that is given as a file.
    pub(super) fn of_recipe(file: &Path) -> Self {
        Self { own: Some(file.to_owned()), ..Self::around(file) }
    }

    /// The folder the person stands in.
    pub(super) fn here() -> Self {
        Self::around(Path::new(""))
    }

    fn around(file: &Path) -> Self {
        let parent = file.parent().filter(|p| !p.as_os_str().is_empty());
        let path = parent.unwrap_or(Path::new(".")).to_owned();
        Self { path, job: None, own: None, unread: Mutex::default() }
    }

    /// A recipe by name: where it was found, and its text.
    ///
    /// # Errors
    /// When one's own recipe is there but cannot be read: the shipped one must not take
    /// its place unsaid.
    pub(super) fn recipe(&self, name: &str) -> anyhow::Result<Option<(String, String)>> {
        if let Some(path) = self.own_recipe(name) {
            return Ok(Some((shown(&path), read(&path)?)));
        }
        let shipped = recipe::SHIPPED.iter().find(|(shipped, _)| *shipped == name);
        Ok(shipped.map(|(_, text)| (format!("parts/{name}.toml"), (*text).to_owned())))
    }

    /// One's own recipe of a name. An empty file is none yet: a shell makes one before
    /// `platewright new NAME --copy > NAME.toml` has printed anything.
    fn own_recipe(&self, name: &str) -> Option<PathBuf> {
        let plain = name.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
        let file = format!("{name}.toml");
        let own = self.own.iter().filter(|p| p.file_stem().is_some_and(|s| s == name)).cloned();
        let beside = [self.path.join("recipes").join(&file), self.path.join(&file)];
        let filled = |p: &PathBuf| fs::metadata(p).is_ok_and(|m| m.is_file() && m.len() > 0);
        let is_job = |p: &PathBuf| self.job.as_ref().is_some_and(|job| same(p, job));
        own.chain(beside).filter(|_| plain).find(|p| filled(p) && !is_job(p))
    }

    /// A file named beside the job: where it was found, and its text.
    pub(super) fn file(&self, name: &str) -> Option<(String, String)> {
        let path = self.path.join(name);
        let text = self.noted(&path, read(&path))?;
        Some((shown(&path), text))
    }

    /// A drawing named by a recipe, which lies beside it.
    pub(super) fn drawing(&self, name: &str) -> Option<Vec<u8>> {
        let beside = [self.path.join("recipes").join(name), self.path.join(name)];
        beside.iter().find_map(|path| self.noted(path, bytes(path)))
    }

    /// What was read; why it could not be is kept where the file is there.
    fn noted<T>(&self, path: &Path, read: anyhow::Result<T>) -> Option<T> {
        let why = match read {
            Ok(read) => return Some(read),
            Err(why) => why,
        };
        if path.exists() {
            let mut unread = self.unread.lock().unwrap_or_else(PoisonError::into_inner);
            unread.insert(format!("{why:#}"));
        }
        None
    }

    /// Why files that are there could not be read.
    pub(super) fn unread(&self) -> BTreeSet<String> {
        self.unread.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// The names of all recipes.
    pub(super) fn names(&self) -> Vec<String> {
        let mut names: BTreeSet<String> =
            recipe::SHIPPED.iter().map(|(name, _)| (*name).to_owned()).collect();
        names.extend(stems(&self.path.join("recipes"), "toml"));
        names.into_iter().collect()
    }

    /// Own recipes that stand over a shipped one of the same name.
    pub(super) fn shadowing(&self, name: &str) -> Option<String> {
        let shipped = recipe::SHIPPED.iter().any(|(shipped, _)| *shipped == name);
        let own = self.own_recipe(name)?;
        shipped
            .then(|| format!("recipe `{name}` from {} overrides the shipped recipe", shown(&own)))
    }

    /// The shipped tables with the folder's own on top, and what to say about them.
    pub(super) fn tables(
        &self,
        sources: &mut Sources,
    ) -> anyhow::Result<(Tables, Vec<String>, Vec<Finding>)> {
        let mut tables = Tables::shipped();
        let (mut said, mut findings) = (Vec::new(), Vec::new());
        let folder = self.path.join("tables");
        for name in stems(&folder, "csv") {
            let path = folder.join(format!("{name}.csv"));
            let text = read(&path)?;
            match tables.add(&name, &text) {
                Ok(shadowed) => said.extend(shadowed.iter().map(|s| {
                    let file = shown(&path);
                    format!("row `{}` of {file} overrides the shipped row", s.now.name())
                })),
                Err(errors) => {
                    let source = sources.add(shown(&path), &text);
                    findings.extend(errors.iter().map(|error| {
                        let (start, end) = (error.at.start, error.at.end);
                        Finding::stop("table", error.fault.to_string())
                            .at(Span { source, start, end }, "")
                            .help(error.fault.help())
                    }));
                }
            }
        }
        Ok((tables, said, findings))
    }
}

/// The bytes of a file.
fn bytes(path: &Path) -> anyhow::Result<Vec<u8>> {
    input::bytes(path, LARGEST, "job or recipe")
}

/// The text of a file.
pub(super) fn read(path: &Path) -> anyhow::Result<String> {
    input::text(path, LARGEST, "job or recipe")
}

/// Whether two paths are one file.
fn same(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

/// A path as it is shown.
pub(super) fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// Names of the files with an ending, sorted, without it; none when there is no such folder.
fn stems(folder: &Path, ending: &str) -> BTreeSet<String> {
    let Ok(entries) = fs::read_dir(folder) else { return BTreeSet::new() };
    let stem = |path: PathBuf| {
        let fits = path.extension().is_some_and(|e| e == ending);
        fits.then(|| path.file_stem().map(|s| s.to_string_lossy().into_owned())).flatten()
    };
    entries.filter_map(|entry| stem(entry.ok()?.path())).collect()
}
