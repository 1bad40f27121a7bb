//! The list of files written, and the checks against it.

use crate::cli::files::seen::Seen;
use crate::cli::input;
use crate::cli::shelf::shown;
use anyhow::bail;
use platewright::history::checksum;
use platewright::write::NamedFile;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::path::Component;
use std::path::Path;

/// The list of files written.
pub(super) const LIST: &str = "files.sha256";
/// No list is longer than this, in bytes. Our choice.
const LARGEST: u64 = 64 << 20;
/// The first line of the list. Another tool's list of checksums must not be mistaken for ours.
const HEAD: &str =
    "# written by platewright; a file that no longer matches its checksum is left alone";

/// Checksums by file name; two while files are replaced one by one.
pub(super) type Checksums = BTreeMap<String, BTreeSet<String>>;

/// The checksums of files that are to be written.
pub(super) fn of(files: &[NamedFile]) -> Checksums {
    let of = |file: &NamedFile| (file.name.clone(), BTreeSet::from([checksum(&file.bytes)]));
    files.par_iter().map(of).collect()
}

/// The list in a folder; empty when there is none. `named` is how the user calls the folder.
pub(super) fn read(folder: &Path, named: &Path) -> anyhow::Result<Checksums> {
    let path = folder.join(LIST);
    if !path.exists() {
        return Ok(Checksums::new());
    }
    let text = input::text(&path, LARGEST, "list of files").unwrap_or_default();
    if text.lines().next() != Some(HEAD) {
        bail!(
            "{} was not written by platewright\n\
             nothing was written; move it away, or choose another folder with `--out DIR`",
            shown(&named.join(LIST))
        );
    }
    let mut checksums = Checksums::new();
    for (checksum, name) in text.lines().filter_map(|line| line.split_once("  ")) {
        // A list that names files elsewhere was not written here.
        let plain = |c| matches!(c, Component::Normal(_));
        let inside = Path::new(name).components().all(plain);
        if inside {
            checksums.entry(name.to_owned()).or_default().insert(checksum.to_owned());
        }
    }
    Ok(checksums)
}

/// The text of a list.
pub(super) fn text(checksums: &Checksums) -> String {
    let of = |(name, all): (&String, &BTreeSet<String>)| -> String {
        all.iter().map(|checksum| format!("{checksum}  {name}\n")).collect()
    };
    let lines: String = checksums.iter().map(of).collect();
    format!("{HEAD}\n{lines}")
}

/// Whether a file is as an earlier run left it.
pub(super) fn is_ours(folder: &Path, name: &str, old: &Checksums, seen: &Seen) -> bool {
    let Some(checksums) = old.get(name) else { return false };
    let path = folder.join(name);
    let plain = path.symlink_metadata().is_ok_and(|there| there.is_file());
    plain && seen.checksum(&path).is_ok_and(|checksum| checksums.contains(&checksum))
}

/// Whether a file that is neither ours nor identical is in the place of a new one.
pub(super) fn is_foreign(
    folder: &Path,
    (name, new): (&str, &BTreeSet<String>),
    old: &Checksums,
    seen: &Seen,
) -> bool {
    let path = folder.join(name);
    let within = path.ancestors().skip(1).take_while(|within| *within != folder);
    if within.into_iter().any(|within| within.exists() && !within.is_dir()) {
        return true;
    }
    match path.symlink_metadata() {
        Err(_) => return false,
        Ok(there) if !there.is_file() => return true,
        Ok(_) => {}
    }
    let Ok(checksum) = seen.checksum(&path) else { return true };
    !new.contains(&checksum) && !old.get(name).is_some_and(|ours| ours.contains(&checksum))
}
