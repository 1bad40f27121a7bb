//! Files onto the disk: a whole new folder aside, then the two exchanged in one step.
//!
//! Whatever happens, a full disk, a lost file system, a killed run, another run at the
//! same time, the folder contains either all the old files or all the new ones. Files the user put
//! there are carried over, and nothing is removed that was not written here: beside the files lies
//! a list of them with their SHA-256, in the form that checksum tools read, and a file is replaced
//! or left out only while its checksum is still the one in the list.
//!
//! Some systems and some folders, such as the root of a file system, cannot be exchanged.
//! There the new files are moved in one by one, and that is reported.

mod drive;
mod list;
mod old;
mod passing;
mod replace;
mod seen;
mod stage;

pub(super) use passing::fresh_file;
pub(super) use replace::Replaced;

use crate::cli::interrupt::Interrupt;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use list::Checksums;
use list::LIST;
use platewright::write::NamedFile;
use rayon::prelude::*;
use seen::Seen;
use stage::Stage;
use std::fs;
use std::fs::File;
use std::path::Path;
use std::path::PathBuf;

/// A folder that can be written to. Nothing waits in it or beside it before it is written.
pub(super) struct OutFolder {
    /// As the user wrote it.
    named: PathBuf,
    seen: Seen,
}

impl OutFolder {
    /// Makes sure, before the long work, that the folder can be written.
    pub(super) fn open(path: &Path) -> anyhow::Result<Self> {
        let named = path.to_owned();
        if path.exists() {
            Opened::new(path, &Seen::default())?;
            return Ok(Self { named, seen: Seen::default() });
        }
        let above = path.ancestors().filter(|p| !p.as_os_str().is_empty()).find(|p| p.exists());
        let probe = passing::fresh(above.unwrap_or(Path::new(".")), "probe");
        probe.and_then(fs::remove_dir).with_context(|| cannot_write(path))?;
        Ok(Self { named, seen: Seen::default() })
    }

    /// Works out the checksums of the files of an earlier run while there is time, so that writing need
    /// not: one that changes afterwards is read anew.
    pub(super) fn look(&self, go_on: &dyn Fn() -> bool) {
        // A list that cannot be read stops the writing, which says so.
        let names = list::read(&self.named, &self.named).unwrap_or_default().into_keys();
        for path in names.take_while(|_| go_on()).map(|name| self.named.join(name)) {
            if path.symlink_metadata().is_ok_and(|there| there.is_file()) {
                // What cannot be read now is asked for once more.
                let _ = self.seen.checksum(&path);
            }
        }
    }

    /// Writes all files and replaces those of an earlier run. Nothing changes when a file
    /// that is not ours is in the way, the disk is full, or writing is given up.
    pub(super) fn write(
        &self,
        files: &[NamedFile],
        others: Others,
        interrupt: &Interrupt,
    ) -> anyhow::Result<()> {
        if let Some(stray) = files.iter().find(|file| !file.stays_within()) {
            bail!(
                "the file name `{}` points outside the folders of a job; nothing was written",
                stray.name.escape_debug()
            );
        }
        Opened::new(&self.named, &self.seen)?.write(files, others, interrupt)
    }
}

/// Whether files were written into a folder before.
pub(super) fn is_made(folder: &Path) -> bool {
    folder.join(LIST).is_file()
}

/// The files in a folder that have changed since they were written there.
///
/// # Errors
/// When the list of files written is not ours.
pub(super) fn changed(folder: &Path, names: &[String]) -> anyhow::Result<Vec<String>> {
    let checksums = list::read(folder, folder)?;
    let seen = Seen::default();
    let differs = |name: &&String| !list::is_ours(folder, name, &checksums, &seen);
    Ok(names.iter().filter(differs).cloned().collect())
}

fn cannot_write(path: &Path) -> String {
    format!("cannot write to {}; choose another folder with `--out DIR`", shown(path))
}

/// The folder while it is written.
struct Opened<'a> {
    /// As the user wrote it.
    named: PathBuf,
    path: PathBuf,
    /// Where files wait until all of them are there: a folder of this run's own.
    stage: Stage,
    /// Folders that were made for this run, outermost first.
    made: Vec<PathBuf>,
    seen: &'a Seen,
}

/// What becomes of the files of earlier runs that are not made again.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Others {
    /// They stay.
    Kept,
    /// They are removed, unless somebody has changed them.
    TakenAway,
}

impl<'a> Opened<'a> {
    fn new(path: &Path, seen: &'a Seen) -> anyhow::Result<Self> {
        let what = || cannot_write(path);
        let named = path.to_owned();
        let missing = path.ancestors().skip(1).take_while(|p| !p.as_os_str().is_empty());
        let mut made: Vec<PathBuf> =
            missing.take_while(|p| !p.exists()).map(Path::to_owned).collect();
        made.reverse();
        let path = match path.canonicalize() {
            Ok(path) => path,
            Err(_) => {
                let parent = path.parent().filter(|p| !p.as_os_str().is_empty());
                let parent = parent.unwrap_or(Path::new("."));
                fs::create_dir_all(parent).with_context(what)?;
                let name = path.file_name().with_context(what)?;
                parent.canonicalize().with_context(what)?.join(name)
            }
        };
        // The folder cannot be exchanged while it is read.
        let _alone = alone(&path);
        if path.exists() {
            // A folder that takes no files is not to be replaced by one that does.
            let probe = passing::fresh(&path, "probe").with_context(what)?;
            fs::remove_dir(&probe).with_context(what)?;
        }
        let stage = Stage::beside(&path).or_else(|_| Stage::within(&path)).with_context(what)?;
        let opened = Self { named, path, stage, made, seen };
        if opened.stage.is_beside() {
            refuse_drives(&opened.path, &opened.named)?;
        }
        Ok(opened)
    }

    fn write(
        &self,
        files: &[NamedFile],
        others: Others,
        interrupt: &Interrupt,
    ) -> anyhow::Result<()> {
        let (put, new): (_, Checksums) =
            rayon::join(|| put_all(&self.stage, files, interrupt), || list::of(files));
        put?;
        let _alone = alone(&self.path);
        let old = list::read(&self.path, &self.named)?;
        // Those that are not made again, on all cores, before one after another is asked for.
        old.par_iter().filter(|(name, _)| !new.contains_key(*name)).for_each(|(name, _)| {
            self.is_ours(name, &old);
        });
        self.refuse_foreign(&new, &old)?;
        let mut listed = new.clone();
        for (name, checksums) in &old {
            if others == Others::Kept {
                listed.entry(name.clone()).or_insert_with(|| checksums.clone());
            }
        }
        if self.stage.is_beside() {
            refuse_drives(&self.path, &self.named)?;
            let gone = |name: &str| {
                name == LIST
                    || new.contains_key(name)
                    || (others == Others::TakenAway && self.is_ours(name, &old))
            };
            old::carry(&self.path, self.stage.new_folder(), &gone).with_context(|| {
                format!("cannot keep the other files in {}", shown(&self.named))
            })?;
            self.stage.put(LIST, list::text(&listed).as_bytes()).context("nothing was changed")?;
            interrupt.wanted()?;
            match self.stage.exchange(&self.path) {
                Ok(()) => return self.clear(),
                Err(error) if self.path.exists() => terminal::say(&format!(
                    "note: {} cannot be replaced as a whole ({error}); its files are replaced one by one",
                    shown(&self.named)
                )),
                Err(error) => {
                    return Err(error)
                        .with_context(|| format!("cannot write {}", shown(&self.named)));
                }
            }
        } else {
            terminal::say(&format!(
                "note: {} is a drive, or nothing can be written beside it, so it cannot be replaced as a whole; its files are replaced one by one",
                shown(&self.named)
            ));
        }
        self.one_by_one(files, others, &old, &listed, interrupt)
    }

    fn is_ours(&self, name: &str, old: &Checksums) -> bool {
        list::is_ours(&self.path, name, old, self.seen)
    }

    /// Removes the files that the exchange brought out.
    fn clear(&self) -> anyhow::Result<()> {
        if let Some(left) = self.stage.clear(&self.path, self.seen)? {
            terminal::say(&format!("note: {} was added meanwhile and kept", shown(&left)));
        }
        Ok(())
    }

    fn refuse_foreign(&self, new: &Checksums, old: &Checksums) -> anyhow::Result<()> {
        let foreign: Vec<&String> = new
            .par_iter()
            .filter(|(name, checksums)| {
                list::is_foreign(&self.path, (name, checksums), old, self.seen)
            })
            .map(|(name, _)| name)
            .collect();
        if foreign.is_empty() {
            return Ok(());
        }
        let few: Vec<String> =
            foreign.iter().take(5).map(|name| shown(&self.named.join(name))).collect();
        bail!(
            "{} {} not written by platewright, or changed since: {}\n\
             nothing was written; move it away, or choose another folder with `--out DIR`",
            foreign.len(),
            if foreign.len() == 1 { "file was" } else { "files were" },
            few.join(", ")
        );
    }

    /// Moves the files in where the folder cannot be exchanged.
    fn one_by_one(
        &self,
        files: &[NamedFile],
        others: Others,
        old: &Checksums,
        listed: &Checksums,
        interrupt: &Interrupt,
    ) -> anyhow::Result<()> {
        // Files beside it may be on another disk, from which nothing can be moved.
        let within;
        let stage = match self.stage.is_beside() {
            true => {
                within = Leaving(Stage::within(&self.path)?);
                put_all(&within.0, files, interrupt)?;
                &within.0
            }
            false => &self.stage,
        };
        let list = |checksums: &Checksums| -> anyhow::Result<()> {
            stage.put(LIST, list::text(checksums).as_bytes())?;
            self.move_in(stage, LIST)
        };
        interrupt.wanted()?;
        // While files are moved, both the old and the new ones are known as ours.
        let mut both = old.clone();
        for (name, checksums) in listed {
            both.entry(name.clone()).or_default().extend(checksums.iter().cloned());
        }
        list(&both)?;
        for file in files {
            self.move_in(stage, &file.name)?;
        }
        for name in old.keys().filter(|name| !listed.contains_key(*name)) {
            if others == Others::TakenAway && self.is_ours(name, old) {
                let path = self.path.join(name);
                fs::remove_file(&path)
                    .with_context(|| format!("cannot remove {}", shown(&path)))?;
            }
        }
        list(listed)
    }

    fn move_in(&self, stage: &Stage, name: &str) -> anyhow::Result<()> {
        let to = self.path.join(name);
        let what = || format!("cannot write {}", shown(&to));
        if let Some(parent) = to.parent() {
            fs::create_dir_all(parent).with_context(what)?;
        }
        fs::rename(stage.new_folder().join(name), &to).with_context(what)
    }
}

/// Keeps other runs waiting that read a folder or write it; where that cannot be done, they may not
/// wait.
fn alone(path: &Path) -> Option<File> {
    let beside = File::open(path.parent()?).ok()?;
    beside.lock().ok()?;
    Some(beside)
}

/// A file system mounted in the folder would not be moved with it in the exchange, and its files
/// would be mistaken for those of the folder.
fn refuse_drives(path: &Path, named: &Path) -> anyhow::Result<()> {
    if !path.is_dir() {
        return Ok(());
    }
    let cannot = || format!("cannot read {}", shown(named));
    let Some(drive) = drive::within(path).with_context(cannot)? else { return Ok(()) };
    let drive =
        drive.strip_prefix(path).map_or_else(|_| drive.clone(), |inside| named.join(inside));
    bail!(
        "a drive is mounted in the folder to write to: {}\n\
         nothing was written; unmount it, or choose another folder with `--out DIR`",
        shown(&drive)
    );
}

fn put_all(stage: &Stage, files: &[NamedFile], interrupt: &Interrupt) -> anyhow::Result<()> {
    files.par_iter().try_for_each(|file| {
        interrupt.wanted()?;
        stage.put(&file.name, &file.bytes).context("nothing was changed")
    })
}

/// A stage that is removed when it is no longer needed.
struct Leaving(Stage);

impl Drop for Leaving {
    fn drop(&mut self) {
        self.0.discard();
    }
}

impl Drop for Opened<'_> {
    /// Removes leftovers, and folders made for a run that wrote nothing.
    fn drop(&mut self) {
        self.stage.discard();
        for folder in self.made.iter().rev() {
            // Only an empty folder can be removed so.
            let _ = fs::remove_dir(folder);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::interrupt::GivenUp;

    #[test]
    fn a_name_that_leads_elsewhere_is_refused_before_anything_is_written() {
        let parent = tempfile::tempdir().expect("a folder");
        let mine = parent.path().join("mine.dxf");
        fs::write(&mine, "mine").expect("written");
        let out = parent.path().join("out");
        for name in ["flats/../../mine.dxf", "../mine.dxf", "mine/x.dxf", "flats/a\\b.dxf"] {
            let file = |name: &str| NamedFile { name: name.into(), bytes: b"new".to_vec() };
            let files = [file("flats/ear.dxf"), file(name)];
            let folder = OutFolder::open(&out).expect("it can be written");
            let written = folder.write(&files, Others::TakenAway, &Interrupt::new());
            let error = written.expect_err("refused");
            assert!(format!("{error:#}").contains("points outside"), "{name}: {error:#}");
            assert!(!out.exists(), "{name}");
            assert_eq!(fs::read_to_string(&mine).expect("it is there"), "mine", "{name}");
        }
    }

    /// A write that is abandoned leaves the folder as it was, and nothing beside it.
    #[test]
    fn writing_that_is_given_up_leaves_the_folder_as_it_was() {
        let parent = tempfile::tempdir().expect("a folder");
        let out = parent.path().join("out");
        let write = |text: &str, interrupt: &Interrupt| {
            let file = NamedFile { name: "flats/ear.dxf".into(), bytes: text.into() };
            let folder = OutFolder::open(&out).expect("it can be written");
            folder.write(&[file], Others::TakenAway, interrupt)
        };
        let text = || fs::read_to_string(out.join("flats/ear.dxf")).expect("it was written");
        write("old", &Interrupt::new()).expect("written");
        let error = write("new", &Interrupt::twice()).expect_err("given up");
        assert!(error.is::<GivenUp>(), "{error:#}");
        assert_eq!(text(), "old");
        assert_eq!(fs::read_dir(parent.path()).expect("a folder").count(), 1);
        write("new", &Interrupt::new()).expect("written");
        assert_eq!(text(), "new");
    }
}
