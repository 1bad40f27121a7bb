//! The files in the folder already: carried over into the new one, or removed.

use crate::cli::files::list;
use crate::cli::files::list::LIST;
use crate::cli::files::passing::is_passing;
use crate::cli::files::seen::Seen;
use std::fs;
use std::fs::Metadata;
use std::io;
use std::path::Path;
use std::path::PathBuf;

/// Puts everything of a folder into another, except for the files that are `gone`, by name. Files
/// are linked, not copied, so that they are the same files. Folders are included if they were empty
/// or something in them is.
pub(super) fn carry(from: &Path, to: &Path, gone: &dyn Fn(&str) -> bool) -> io::Result<()> {
    if !from.exists() {
        return Ok(());
    }
    walk(from, to, "", gone)?;
    like(from, to)
}

fn walk(from: &Path, to: &Path, within: &str, gone: &dyn Fn(&str) -> bool) -> io::Result<()> {
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let name = format!("{within}{}", entry.file_name().to_string_lossy());
        let (from, to) = (entry.path(), to.join(entry.file_name()));
        let kind = entry.file_type()?;
        if kind.is_dir() {
            let empty = fs::read_dir(&from)?.next().is_none();
            if empty && is_passing(&name) {
                continue;
            }
            let there = to.exists();
            fs::create_dir_all(&to)?;
            walk(&from, &to, &format!("{name}/"), gone)?;
            if !empty && !there {
                // Stays when something was carried into it.
                let _ = fs::remove_dir(&to);
            }
            if to.exists() {
                like(&from, &to)?;
            }
        } else if !gone(&name) {
            if kind.is_symlink() {
                link_like(&from, &to)?;
            } else if let Err(error) = fs::hard_link(&from, &to) {
                // A pipe or a device would be read without end.
                if !kind.is_file() {
                    return Err(error);
                }
                fs::copy(&from, &to)?;
            }
        }
    }
    Ok(())
}

/// Gives a folder the owner and the permissions of another.
fn like(from: &Path, to: &Path) -> io::Result<()> {
    let there = fs::metadata(from)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        // Only the superuser may change the owner of folders; for all other users they are their
        // own.
        let _ = std::os::unix::fs::chown(to, Some(there.uid()), Some(there.gid()));
    }
    fs::set_permissions(to, there.permissions())
}

#[cfg(unix)]
fn link_like(from: &Path, to: &Path) -> io::Result<()> {
    std::os::unix::fs::symlink(fs::read_link(from)?, to)
}

#[cfg(not(unix))]
fn link_like(from: &Path, to: &Path) -> io::Result<()> {
    fs::copy(from, to).map(|_| ())
}

/// Removes an old folder after its replacement: files that are unchanged since they were written
/// here, and those the new folder has as well. Any other file added meanwhile is moved to the new
/// folder. Returns the first that could not be placed there.
pub(super) fn clear(old: &Path, new: &Path, seen: &Seen) -> io::Result<Option<PathBuf>> {
    let checksums = list::read(old, old).unwrap_or_default();
    let mut left = None;
    let is_ours = |name: &str| list::is_ours(old, name, &checksums, seen);
    sweep([old, old, new], &is_ours, &mut left)?;
    if left.is_none() {
        // The list is removed last: without it a later run could not tell whose the rest is.
        let list = old.join(LIST);
        if list.exists() {
            fs::remove_file(list)?;
        }
        fs::remove_dir(old)?;
    }
    Ok(left)
}

/// The same for a folder within the old one.
fn sweep(
    [root, folder, new]: [&Path; 3],
    is_ours: &dyn Fn(&str) -> bool,
    left: &mut Option<PathBuf>,
) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let inside = path.strip_prefix(root).unwrap_or(&path).to_owned();
        let there = path.symlink_metadata()?;
        if there.is_dir() {
            sweep([root, &path, new], is_ours, left)?;
            if left.is_none() {
                fs::remove_dir(&path)?;
            }
            continue;
        }
        let name = inside.to_string_lossy().replace('\\', "/");
        if name == LIST {
            continue;
        }
        let twin = new.join(&inside);
        if is_ours(&name) || same(&path, &there, &twin) {
            fs::remove_file(&path)?;
        } else if twin.symlink_metadata().is_err() {
            if let Some(parent) = twin.parent() {
                fs::create_dir_all(parent)?;
            }
            fs::rename(&path, &twin)?;
        } else {
            left.get_or_insert(path);
        }
    }
    Ok(())
}

/// Whether two names are one file, or have the same contents.
fn same(path: &Path, there: &Metadata, twin: &Path) -> bool {
    let Ok(other) = twin.symlink_metadata() else { return false };
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        // Pipes and sockets are carried over as well, and large files need not be read.
        if (there.dev(), there.ino()) == (other.dev(), other.ino()) {
            return true;
        }
    }
    if there.is_symlink() {
        return fs::read_link(path).ok() == fs::read_link(twin).ok();
    }
    there.is_file()
        && other.is_file()
        && there.len() == other.len()
        && fs::read(path).ok() == fs::read(twin).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use platewright::write::NamedFile;

    fn put(folder: &Path, files: &[(&str, &str)]) -> Vec<NamedFile> {
        let file = |(name, text): &(&str, &str)| {
            let path = folder.join(name);
            fs::create_dir_all(path.parent().expect("a file lies in a folder")).expect("made");
            fs::write(path, text).expect("written");
            NamedFile { name: (*name).into(), bytes: (*text).into() }
        };
        files.iter().map(file).collect()
    }

    /// While any file is left, the list shows whose it is, whichever run removes it.
    #[test]
    fn the_list_outlives_what_it_lists() {
        let folder = tempfile::tempdir().expect("a folder");
        let (old, new) = (folder.path().join("old"), folder.path().join("new"));
        let ours = put(&old, &[("flats/ear.dxf", "ear"), ("parts.csv", "parts")]);
        put(&old, &[(LIST, &list::text(&list::of(&ours)))]);
        put(&old, &[("notes.txt", "mine, in the old folder"), ("photo.txt", "mine")]);
        put(&new, &[("notes.txt", "mine, put there meanwhile"), ("parts.csv", "more parts")]);
        let left = clear(&old, &new, &Seen::default()).expect("cleared");
        assert_eq!(left, Some(old.join("notes.txt")));
        assert!(!old.join("parts.csv").exists() && !old.join("photo.txt").exists());
        assert!(old.join(LIST).exists(), "something still lies there");
        assert!(new.join("photo.txt").exists() && !new.join("flats/ear.dxf").exists());
        fs::remove_file(old.join("notes.txt")).expect("removed");
        assert_eq!(clear(&old, &new, &Seen::default()).expect("cleared"), None);
        assert!(!old.exists());
    }
}
