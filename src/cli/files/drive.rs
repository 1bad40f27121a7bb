//! Drives, and other mounted file systems, within a folder.
//!
//! An exchange of folders does not move file systems mounted in them.

use std::fs;
use std::io;
use std::path::Path;
use std::path::PathBuf;

/// The first mount point in a folder, at any depth.
pub(super) fn within(folder: &Path) -> io::Result<Option<PathBuf>> {
    let here = Mount::of(folder)?;
    let mut folders = vec![folder.to_owned()];
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(&at)? {
            let entry = entry?;
            let (path, kind) = (entry.path(), entry.file_type()?);
            if Mount::of(&path)?.differs(&here, kind.is_dir()) {
                return Ok(Some(path));
            }
            if kind.is_dir() {
                folders.push(path);
            }
        }
    }
    Ok(None)
}

/// Whether a folder is mounted in the one above it.
pub(super) fn is_one(folder: &Path, above: &Path) -> bool {
    let both = (Mount::of(folder), Mount::of(above));
    matches!(both, (Ok(folder), Ok(above)) if folder.differs(&above, true))
}

/// Where something is stored.
struct Mount {
    device: u64,
    /// Also distinguishes a folder from the same one mounted a second time; 0 if it is not known.
    number: u64,
}

impl Mount {
    /// That of a file or folder; of a link itself, not of its target.
    fn of(path: &Path) -> io::Result<Self> {
        #[cfg(unix)]
        let device = std::os::unix::fs::MetadataExt::dev(&fs::symlink_metadata(path)?);
        #[cfg(not(unix))]
        let device = 0;
        Ok(Self { device, number: number(path) })
    }

    /// Files of one layered file system may say that they are on several devices; its folders do
    /// not.
    fn differs(&self, other: &Self, folder: bool) -> bool {
        self.number != other.number || (folder && self.device != other.device)
    }
}

#[cfg(target_os = "linux")]
fn number(path: &Path) -> u64 {
    use rustix::fs::AtFlags;
    use rustix::fs::CWD;
    use rustix::fs::StatxFlags;
    let flags = AtFlags::SYMLINK_NOFOLLOW | AtFlags::NO_AUTOMOUNT;
    match rustix::fs::statx(CWD, path, flags, StatxFlags::MNT_ID) {
        Ok(found) if found.stx_mask & StatxFlags::MNT_ID.bits() != 0 => found.stx_mnt_id,
        _ => 0,
    }
}

#[cfg(not(target_os = "linux"))]
fn number(_: &Path) -> u64 {
    0
}
