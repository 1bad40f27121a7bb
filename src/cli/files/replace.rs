//! A single file of the user's, written as a whole: replaced, or new.

use crate::cli::files::passing::fresh_file;
use crate::cli::shelf::shown;
use anyhow::Context;
use std::fs;
use std::fs::File;
use std::fs::OpenOptions;
use std::io;
use std::io::Write;
use std::path::Path;
use std::path::PathBuf;

/// A file to be written. Other runs that are about to write one in its folder wait.
pub(crate) struct Replaced {
    /// Without links.
    path: PathBuf,
    /// The lock of the folder; `None` where the folder cannot be locked.
    _alone: Option<File>,
}

impl Replaced {
    /// Makes sure that the file, or the one a link leads to, may be written.
    pub(crate) fn open(file: &Path) -> anyhow::Result<Self> {
        let cannot = || format!("cannot write {}", shown(file));
        let path = file.canonicalize().with_context(cannot)?;
        OpenOptions::new().append(true).open(&path).with_context(cannot)?;
        let folder = path.parent().and_then(|folder| File::open(folder).ok());
        let _alone = folder.filter(|folder| folder.lock().is_ok());
        Ok(Self { path, _alone })
    }

    /// The same for a file that may not exist yet. A later reader gets everything that others have
    /// written.
    pub(crate) fn open_or_new(file: &Path) -> anyhow::Result<Self> {
        let cannot = || format!("cannot write {}", shown(file));
        if file.try_exists().with_context(cannot)? {
            return Self::open(file);
        }
        let parent = file.parent().filter(|parent| !parent.as_os_str().is_empty());
        let folder = parent.unwrap_or(Path::new(".")).canonicalize().with_context(cannot)?;
        let path = folder.join(file.file_name().with_context(cannot)?);
        let probe = fresh_file(&folder, "probe").with_context(cannot)?;
        fs::remove_file(probe.0).with_context(cannot)?;
        let _alone = File::open(&folder).ok().filter(|folder| folder.lock().is_ok());
        Ok(Self { path, _alone })
    }

    /// Writes the bytes beside and puts them in place in one step: the file is whole at any time,
    /// and keeps its owner and its permissions where it was there.
    pub(crate) fn with(&self, bytes: &[u8]) -> anyhow::Result<()> {
        let cannot = || format!("cannot write {}", shown(&self.path));
        let folder = self.path.parent().with_context(cannot)?;
        let name = self.path.file_name().with_context(cannot)?.to_string_lossy();
        let (beside, file) = fresh_file(folder, &name).with_context(cannot)?;
        let done = self.fill(file, bytes).and_then(|()| fs::rename(&beside, &self.path));
        if done.is_err() {
            let _ = fs::remove_file(&beside);
        }
        done.with_context(cannot)
    }

    fn fill(&self, mut file: File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)?;
        let there = match fs::metadata(&self.path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return file.sync_all(),
            there => there?,
        };
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            // Only the superuser may change the owner of files; for all other users they are their
            // own.
            let _ = std::os::unix::fs::fchown(&file, Some(there.uid()), Some(there.gid()));
        }
        file.set_permissions(there.permissions())?;
        file.sync_all()
    }
}
