//! Where recipes and tables are found: beside the job first, then among those compiled in.

use crate::cli::archive::Kind;
use crate::cli::archive::Pack;
use crate::cli::archive::Text;
use crate::cli::input;
use anyhow::anyhow;
use platewright::book;
use platewright::book::Book;
use platewright::book::Entry;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::diag::nearest;
use platewright::recipe;
use platewright::table;
use platewright::table::Tables;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;

/// A folder whose recipes and tables override the shipped ones: recipes as
/// `NAME.toml` or `recipes/NAME.toml`, tables as `tables/NAME.csv`.
pub(super) struct Folder {
    path: PathBuf,
    /// A job, which is no recipe even where it is called like one.
    job: Option<PathBuf>,
    /// A recipe given as a file, which overrides all others of its name.
    own: Option<PathBuf>,
    /// Why files that are named by a job or recipe, and are there, could not be read.
    unread: Mutex<BTreeSet<String>>,
    /// An archive, in place of the disk and the shipped files.
    pack: Option<Arc<Pack>>,
    /// Everything that was read, by what it is for and its name.
    seen: Mutex<BTreeMap<(Kind, bool, String), Text>>,
}

/// What a shop file is called where nothing says.
pub(super) const SHOP: &str = "shop.toml";

/// The book of a shop file: `shop.db` beside `shop.toml`.
pub(super) fn book_of(shop: &Path) -> PathBuf {
    shop.with_extension("db")
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

    /// The current directory.
    pub(super) fn here() -> Self {
        Self::around(Path::new(""))
    }

    /// The contents of an archive.
    pub(super) fn of_pack(pack: Arc<Pack>) -> Self {
        Self { pack: Some(pack), ..Self::around(Path::new("")) }
    }

    fn around(file: &Path) -> Self {
        let parent = file.parent().filter(|p| !p.as_os_str().is_empty());
        let path = parent.unwrap_or(Path::new(".")).to_owned();
        let (unread, seen) = (Mutex::default(), Mutex::default());
        Self { path, job: None, own: None, unread, pack: None, seen }
    }

    /// A recipe by name: where it was found, and its text.
    ///
    /// # Errors
    /// When the user's own recipe exists but cannot be read: it must not be replaced silently by
    /// the shipped one.
    pub(super) fn recipe(&self, name: &str) -> anyhow::Result<Option<(String, String)>> {
        if let Some(pack) = &self.pack {
            return Ok(pack.text(Kind::Recipe, name).map(written));
        }
        if let Some(path) = self.own_recipe(name) {
            let text = read(&path)?;
            return Ok(Some(self.saw(Kind::Recipe, name, false, shown(&path), text)));
        }
        let shipped = recipe::SHIPPED.iter().find(|(shipped, _)| *shipped == name);
        Ok(shipped.map(|(_, text)| {
            let shown = format!("parts/{name}.toml");
            self.saw(Kind::Recipe, name, true, shown, (*text).to_owned())
        }))
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
        if let Some(pack) = &self.pack {
            return pack.text(Kind::File, name).map(written);
        }
        let path = self.path.join(name);
        let text = self.noted(&path, read(&path))?;
        Some(self.saw(Kind::File, name, false, shown(&path), text))
    }

    /// A drawing named by a recipe, which lies beside it.
    pub(super) fn drawing(&self, name: &str) -> Option<Vec<u8>> {
        if let Some(pack) = &self.pack {
            return pack.text(Kind::Outline, name).map(|text| text.bytes.clone());
        }
        let beside = [self.path.join("recipes").join(name), self.path.join(name)];
        let (path, bytes) =
            beside.iter().find_map(|path| Some((path, self.noted(path, bytes(path))?)))?;
        self.keep(Kind::Outline, name, false, shown(path), bytes.clone());
        Some(bytes)
    }

    /// What the book has of the shop whose file a job names, or of the folder's own; none where there
    /// is no book. `entries` are those of a book on the disk.
    ///
    /// # Errors
    /// When there is one that cannot be read.
    pub(super) fn book(
        &self,
        shop: Option<&str>,
        entries: &dyn Fn(&Path) -> anyhow::Result<Option<Vec<Entry>>>,
    ) -> anyhow::Result<Option<Book>> {
        let key = shop.unwrap_or(SHOP);
        if let Some(pack) = &self.pack {
            let Some(text) = pack.text(Kind::Stock, key) else { return Ok(None) };
            let (shown, text) = written(text);
            let source = Sources::default().add(&shown, &text);
            let entries = book::read(source, &text).map_err(|found| {
                let first = found.first().map_or("", |finding| finding.headline.as_str());
                anyhow!("this version cannot read the sheets in the archive: {first}")
            })?;
            return Ok(Some(Book { shown, entries }));
        }
        let path = book_of(&self.path.join(key));
        let Some(entries) = entries(&path)? else { return Ok(None) };
        self.keep(Kind::Stock, key, false, shown(&path), book::written(&entries).into_bytes());
        Ok(Some(Book { shown: shown(&path), entries }))
    }

    /// Keeps a text that was read.
    fn saw(
        &self,
        kind: Kind,
        key: &str,
        shipped: bool,
        shown: String,
        text: String,
    ) -> (String, String) {
        self.keep(kind, key, shipped, shown.clone(), text.clone().into_bytes());
        (shown, text)
    }

    fn keep(&self, kind: Kind, key: &str, shipped: bool, shown: String, bytes: Vec<u8>) {
        let text = Text { kind, key: key.to_owned(), shown, shipped, bytes };
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        // The shipped ones first: own rows override them.
        seen.insert((kind, !shipped, key.to_owned()), text);
    }

    /// Everything that was read, in an order that is always the same.
    pub(super) fn seen(&self) -> Vec<Text> {
        let seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        seen.values().cloned().collect()
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
        if let Some(pack) = &self.pack {
            return pack.of(Kind::Recipe).map(|text| text.key.clone()).collect();
        }
        let mut names: BTreeSet<String> =
            recipe::SHIPPED.iter().map(|(name, _)| (*name).to_owned()).collect();
        names.extend(stems(&self.path.join("recipes"), "toml"));
        names.into_iter().collect()
    }

    /// Own recipes that override a shipped one of the same name.
    pub(super) fn shadowing(&self, name: &str) -> Option<String> {
        let shipped = recipe::SHIPPED.iter().any(|(shipped, _)| *shipped == name);
        let own = match &self.pack {
            Some(pack) => pack.text(Kind::Recipe, name).filter(|t| !t.shipped)?.shown.clone(),
            None => shown(&self.own_recipe(name)?),
        };
        shipped.then(|| format!("recipe `{name}` from {own} overrides the shipped recipe"))
    }

    /// The shipped tables with the folder's own on top, and what to say about them.
    pub(super) fn tables(
        &self,
        sources: &mut Sources,
    ) -> anyhow::Result<(Tables, Vec<String>, Vec<Finding>)> {
        let (mut tables, own) = self.table_texts()?;
        let (mut said, mut findings) = (Vec::new(), Vec::new());
        for (name, file, text) in own {
            let known = || table::SHIPPED.iter().map(|(known, _)| *known);
            if let Some(near) = nearest(&name, known()).filter(|near| *near != name) {
                said.push(format!(
                    "{file} is a table of its own: no shipped table is called `{name}`; for rows of \
                     `{near}` call it tables/{near}.csv"
                ));
            }
            match tables.add(&name, &text) {
                Ok(shadowed) => said.extend(shadowed.iter().map(|s| {
                    format!("row `{}` of {file} overrides the shipped row", s.now.name())
                })),
                Err(errors) => {
                    let source = sources.add(file, &text);
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

    /// The shipped tables, and the texts of the folder's own, each by its name and its place.
    fn table_texts(&self) -> anyhow::Result<(Tables, Vec<OwnTable>)> {
        let Some(pack) = &self.pack else {
            // They are packed in the order in which they are read.
            for (i, (name, text)) in table::SHIPPED.iter().enumerate() {
                let key = format!("{i:02}-{name}");
                self.keep(Kind::Table, &key, true, (*name).to_owned(), text.as_bytes().to_vec());
            }
            let folder = self.path.join("tables");
            let mut own = Vec::new();
            for name in stems(&folder, "csv") {
                let path = folder.join(format!("{name}.csv"));
                let (shown, text) = self.saw(Kind::Table, &name, false, shown(&path), read(&path)?);
                own.push((name, shown, text));
            }
            return Ok((Tables::shipped(), own));
        };
        let mut tables = Tables::default();
        let mut own = Vec::new();
        for table in pack.of(Kind::Table) {
            let (shown, text) = written(table);
            match table.shipped {
                false => own.push((table.key.clone(), shown, text)),
                true => drop(tables.add(&shown, &text).map_err(|errors| {
                    let first = errors.first().map_or_else(String::new, ToString::to_string);
                    anyhow!("this version cannot read the `{shown}` table of the archive: {first}")
                })?),
            }
        }
        Ok((tables, own))
    }
}

/// Name, place and text of one's own table.
type OwnTable = (String, String, String);

/// A text of an archive: how findings call it, and its words.
fn written(text: &Text) -> (String, String) {
    (text.shown.clone(), String::from_utf8_lossy(&text.bytes).into_owned())
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
pub(super) fn same(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

/// What a job is called: its file, without the ending.
pub(super) fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(|| "job".into(), |s| s.to_string_lossy().into_owned())
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
