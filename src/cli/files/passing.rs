//! Names of the folders that a run makes in passing.

use std::fs;
use std::io;
use std::path::Path;
use std::path::PathBuf;

/// Whether a name is that of a folder a run made in passing.
pub(super) fn is_passing(name: &str) -> bool {
    [".probe.platewright-", ".stage.platewright-"].iter().any(|start| name.starts_with(start))
}

/// A new folder within another, whatever lies there already.
pub(super) fn fresh(within: &Path, what: &str) -> io::Result<PathBuf> {
    let name = |n: u32| within.join(format!(".{what}.platewright-{}-{n}", std::process::id()));
    let mut n = 0;
    loop {
        match fs::create_dir(name(n)) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && n < 1000 => n += 1,
            result => return result.map(|()| name(n)),
        }
    }
}
