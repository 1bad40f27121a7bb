//! Names of the files and folders that a run makes in passing.

use std::fs;
use std::fs::File;
use std::io;
use std::path::Path;
use std::path::PathBuf;

/// Whether a name is that of a folder a run made in passing.
pub(super) fn is_passing(name: &str) -> bool {
    [".probe.platewright-", ".stage.platewright-"].iter().any(|start| name.starts_with(start))
}

/// A new folder within another, whatever is there already.
pub(super) fn fresh(within: &Path, what: &str) -> io::Result<PathBuf> {
    fresh_by(within, what, |path| fs::create_dir(path)).map(|(path, ())| path)
}

/// A new file within a folder, open for writing, whatever is there already.
pub(crate) fn fresh_file(within: &Path, what: &str) -> io::Result<(PathBuf, File)> {
    fresh_by(within, what, |path| File::create_new(path))
}

fn fresh_by<T>(
    within: &Path,
    what: &str,
    make: impl Fn(&Path) -> io::Result<T>,
) -> io::Result<(PathBuf, T)> {
    let mut n = 0;
    loop {
        let path = within.join(format!(".{what}.platewright-{}-{n}", std::process::id()));
        match make(&path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && n < 1000 => n += 1,
            result => return result.map(|made| (path, made)),
        }
    }
}
