//! The folder in which a run puts its files together.
//!
//! It is beside the folder it is to replace and has its name, with a point before it, so that it is
//! on the same disk and that a later run finds one left by a killed run. A run locks its own; one
//! without a lock is not needed by any run.

use crate::cli::files::drive;
use crate::cli::files::old;
use crate::cli::files::passing::fresh;
use crate::cli::files::seen::Seen;
use anyhow::Context;
use std::fs;
use std::fs::File;
use std::fs::TryLockError;
use std::io;
use std::path::Path;
use std::path::PathBuf;

/// The new folder within it.
const NEW: &str = "new";
/// Made right before the exchange: from then on the new folder may be the old one.
const TURN: &str = "turn";

/// A folder of this run's own.
pub(super) struct Stage {
    path: PathBuf,
    new: PathBuf,
    beside: bool,
    /// The lock, until the run ends.
    lock: Option<File>,
}

impl Stage {
    /// One beside a folder, after leftovers of killed runs were removed.
    pub(super) fn beside(folder: &Path) -> io::Result<Self> {
        let none = || io::Error::from(io::ErrorKind::InvalidInput);
        let (parent, name) =
            (folder.parent().ok_or_else(none)?, folder.file_name().ok_or_else(none)?);
        if drive::is_one(folder, parent) {
            return Err(io::Error::from(io::ErrorKind::CrossesDevices));
        }
        let name = name.to_string_lossy();
        take_away_leftovers(parent, &name, folder);
        Self::new(parent, &name, true)
    }

    /// One within a folder, where nothing can be made beside it.
    pub(super) fn within(folder: &Path) -> io::Result<Self> {
        Self::new(folder, "stage", false)
    }

    fn new(within: &Path, name: &str, beside: bool) -> io::Result<Self> {
        loop {
            let path = fresh(within, name)?;
            // Before it is locked, another run may mistake the folder for a leftover.
            let lock = match File::open(&path) {
                Ok(folder) => match folder.try_lock() {
                    Err(TryLockError::WouldBlock) => continue,
                    _ => folder,
                },
                Err(_) if !path.exists() => continue,
                Err(error) => return Err(error),
            };
            let new = path.join(NEW);
            match fs::create_dir(&new) {
                Err(_) if !path.exists() => {}
                made => return made.map(|()| Self { path, new, beside, lock: Some(lock) }),
            }
        }
    }

    pub(super) fn is_beside(&self) -> bool {
        self.beside
    }

    pub(super) fn new_folder(&self) -> &Path {
        &self.new
    }

    /// Writes a file into the new folder.
    pub(super) fn put(&self, name: &str, bytes: &[u8]) -> anyhow::Result<()> {
        let path = self.new.join(name);
        let what = || format!("cannot write {name}");
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).with_context(what)?;
        }
        fs::write(&path, bytes).with_context(what)
    }

    /// Puts the new folder in the place of the old one in one step.
    pub(super) fn exchange(&self, folder: &Path) -> io::Result<()> {
        let turn = self.path.join(TURN);
        File::create(&turn)?;
        let done = match folder.exists() {
            true => swap(&self.new, folder),
            false => fs::rename(&self.new, folder),
        };
        if done.is_err() {
            let _ = fs::remove_file(turn);
        }
        done
    }

    /// Removes the files that the exchange brought here; returns those that could not be removed.
    pub(super) fn clear(&self, folder: &Path, seen: &Seen) -> io::Result<Option<PathBuf>> {
        clear(&self.path, folder, seen)
    }

    /// Takes it all away while nothing was exchanged.
    pub(super) fn discard(&mut self) {
        if !self.path.join(TURN).exists() {
            // Leftovers do no harm: the next run takes them away.
            let _ = fs::remove_dir_all(&self.path);
        }
        self.lock = None;
    }
}

fn clear(stage: &Path, folder: &Path, seen: &Seen) -> io::Result<Option<PathBuf>> {
    let new = stage.join(NEW);
    let left = if new.exists() { old::clear(&new, folder, seen)? } else { None };
    if left.is_none() {
        fs::remove_file(stage.join(TURN))?;
        fs::remove_dir(stage)?;
    }
    Ok(left)
}

/// Leftovers of killed runs beside a folder. One that cannot be removed now can be later.
fn take_away_leftovers(parent: &Path, name: &str, folder: &Path) {
    let Ok(entries) = fs::read_dir(parent) else { return };
    let start = format!(".{name}.platewright-");
    for entry in entries.flatten() {
        let left = entry.file_name().to_string_lossy().starts_with(&start);
        let left = left && entry.file_type().is_ok_and(|kind| kind.is_dir());
        let Some(lock) = left.then(|| File::open(entry.path()).ok()).flatten() else { continue };
        if lock.try_lock().is_err() {
            continue;
        }
        let stage = entry.path();
        let _ = match stage.join(TURN).exists() {
            true => clear(&stage, folder, &Seen::default()).map(|_| ()),
            false => fs::remove_dir_all(&stage),
        };
    }
}

#[cfg(any(target_os = "linux", target_os = "macos"))]
fn swap(a: &Path, b: &Path) -> io::Result<()> {
    use rustix::fs::CWD;
    use rustix::fs::RenameFlags;
    rustix::fs::renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE).map_err(Into::into)
}

#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn swap(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::Error::from(io::ErrorKind::Unsupported))
}
