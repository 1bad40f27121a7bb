//! Files onto the disk: first aside, then into place; nothing of the user's is touched.
//!
//! Beside the files lies a list of them with their SHA-256, in the form that checksum
//! tools read. A file is replaced only while its sum is still the one in the list.

use crate::cli::shelf::shown;
use anyhow::Context;
use anyhow::bail;
use platewright::job::NamedFile;
use sha2::Digest;
use sha2::Sha256;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::Component;
use std::path::Path;
use std::path::PathBuf;

/// The list of what was written.
const LIST: &str = "files.sha256";
/// The first line of the list. Another tool's list of sums must not be taken for ours.
const HEAD: &str = "# written by platewright; a file that no longer has its sum is left alone";

/// A new folder within another, whatever lies there already.
fn fresh(within: &Path) -> std::io::Result<PathBuf> {
    let name = |n: u32| within.join(format!(".platewright-{}-{n}", std::process::id()));
    let mut n = 0;
    loop {
        match fs::create_dir(name(n)) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists && n < 1000 => n += 1,
            result => return result.map(|()| name(n)),
        }
    }
}

/// A folder that can be written to.
pub(super) struct OutFolder {
    path: PathBuf,
    /// Where files wait until all of them are there: a folder of this run's own.
    aside: PathBuf,
    /// Folders that were made for this run, outermost first.
    made: Vec<PathBuf>,
}

/// What becomes of the files of earlier runs that are not made again.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Others {
    /// They stay.
    Kept,
    /// They are taken away, unless somebody has changed them.
    TakenAway,
}

/// Sums by file name; two while a run is replacing the one by the other.
type Sums = BTreeMap<String, BTreeSet<String>>;

impl OutFolder {
    /// Makes sure, before the long work, that the folder can be written.
    pub(super) fn open(path: &Path) -> anyhow::Result<Self> {
        let what =
            || format!("cannot write to {}; choose another folder with `--out DIR`", shown(path));
        let missing = path.ancestors().take_while(|p| !p.as_os_str().is_empty() && !p.exists());
        let mut made: Vec<PathBuf> = missing.map(Path::to_owned).collect();
        made.reverse();
        fs::create_dir_all(path).with_context(what)?;
        let aside = fresh(path).with_context(what)?;
        Ok(Self { path: path.to_owned(), aside, made })
    }

    /// Writes all files and replaces those of an earlier run. Nothing changes when a file
    /// that is not ours is in the way.
    pub(super) fn write(&self, files: &[NamedFile], others: Others) -> anyhow::Result<()> {
        let aside = &self.aside;
        let old = self.sums()?;
        let new: Sums =
            files.iter().map(|f| (f.name.clone(), BTreeSet::from([sum(&f.bytes)]))).collect();
        let foreign: Vec<String> = new
            .iter()
            .filter(|(name, sums)| self.is_foreign(name, sums, &old))
            .map(|(n, _)| n.clone())
            .collect();
        if !foreign.is_empty() {
            bail!(
                "{} {} not written by platewright, or changed since: {}\n\
                 nothing was written; move it away, or choose another folder with `--out DIR`",
                foreign.len(),
                if foreign.len() == 1 { "file was" } else { "files were" },
                foreign
                    .iter()
                    .take(5)
                    .map(|n| shown(&self.path.join(n)))
                    .collect::<Vec<_>>()
                    .join(", ")
            );
        }
        for file in files {
            let path = aside.join(&file.name);
            let what = || format!("cannot write {}", shown(&path));
            if let Some(parent) = path.parent() {
                fs::create_dir_all(parent).with_context(what)?;
            }
            fs::write(&path, &file.bytes).with_context(what)?;
        }
        // While files are moved, both the old and the new ones are known as ours.
        let mut both = old.clone();
        for (name, sums) in &new {
            both.entry(name.clone()).or_default().extend(sums.iter().cloned());
        }
        self.list(&both)?;
        for file in files {
            let to = self.path.join(&file.name);
            let what = || format!("cannot write {}", shown(&to));
            if let Some(parent) = to.parent() {
                fs::create_dir_all(parent).with_context(what)?;
            }
            fs::rename(aside.join(&file.name), &to).with_context(what)?;
        }
        let mut listed = new;
        for (name, sums) in old {
            if others == Others::Kept {
                listed.entry(name).or_insert(sums);
            } else if !listed.contains_key(&name) {
                self.take_away(&name, &sums)?;
            }
        }
        self.list(&listed)
    }

    /// Whether a file lies where a new one goes that is neither ours nor the very same.
    fn is_foreign(&self, name: &str, new: &BTreeSet<String>, old: &Sums) -> bool {
        let path = self.path.join(name);
        let folders = path.ancestors().skip(1).take_while(|folder| *folder != self.path);
        if folders.into_iter().any(|folder| folder.exists() && !folder.is_dir()) {
            return true;
        }
        match path.symlink_metadata() {
            Err(_) => return false,
            Ok(there) if !there.is_file() => return true,
            Ok(_) => {}
        }
        let Ok(bytes) = fs::read(&path) else { return true };
        let is = sum(&bytes);
        !new.contains(&is) && !old.get(name).is_some_and(|sums| sums.contains(&is))
    }

    /// Takes away a file of an earlier run, unless somebody has changed it since.
    fn take_away(&self, name: &str, sums: &BTreeSet<String>) -> anyhow::Result<()> {
        let path = self.path.join(name);
        let ours = fs::read(&path).is_ok_and(|bytes| sums.contains(&sum(&bytes)));
        if ours {
            fs::remove_file(&path).with_context(|| format!("cannot remove {}", shown(&path)))?;
        }
        Ok(())
    }

    fn sums(&self) -> anyhow::Result<Sums> {
        let path = self.path.join(LIST);
        if !path.exists() {
            return Ok(Sums::new());
        }
        let text = fs::read_to_string(&path).unwrap_or_default();
        if text.lines().next() != Some(HEAD) {
            bail!(
                "{} was not written by platewright\n\
                 nothing was written; move it away, or choose another folder with `--out DIR`",
                shown(&path)
            );
        }
        let mut sums = Sums::new();
        for (sum, name) in text.lines().filter_map(|line| line.split_once("  ")) {
            // A list that names files elsewhere was not written here.
            let plain = |c| matches!(c, Component::Normal(_));
            let inside = Path::new(name).components().all(plain);
            if inside {
                sums.entry(name.to_owned()).or_default().insert(sum.to_owned());
            }
        }
        Ok(sums)
    }

    fn list(&self, sums: &Sums) -> anyhow::Result<()> {
        let path = self.path.join(LIST);
        let lines = sums.iter().flat_map(|(name, sums)| sums.iter().map(move |sum| (sum, name)));
        let lines: String = lines.map(|(sum, name)| format!("{sum}  {name}\n")).collect();
        let text = format!("{HEAD}\n{lines}");
        let aside = self.aside.join(LIST);
        fs::write(&aside, text)
            .and_then(|()| fs::rename(&aside, &path))
            .with_context(|| format!("cannot write {}", shown(&path)))
    }
}

impl Drop for OutFolder {
    /// Takes away what waited aside, and folders made for a run that wrote nothing.
    fn drop(&mut self) {
        // Leftovers do no harm: the next run makes a folder of its own.
        let _ = fs::remove_dir_all(&self.aside);
        for folder in self.made.iter().rev() {
            // Only an empty folder can be removed so.
            let _ = fs::remove_dir(folder);
        }
    }
}

fn sum(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
