//! `platewright check JOB --against FOLDER`: compares returned files with the job.

use crate::cli::ending::Ending;
use crate::cli::input;
use crate::cli::job_text;
use crate::cli::past;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use platewright::history::Sent;
use platewright::make;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// Maximum number of bytes of a file that are read: no flat is as large.
const LARGEST: u64 = 50_000_000;

/// Maximum depth of folders that are read within the folder.
const DEEPEST: usize = 4;

/// Compares every DXF file in a folder with the flats of a job.
pub(super) fn against(path: &Path, folder: &Path, out: Option<&Path>) -> anyhow::Result<Ending> {
    let out = out.map_or_else(|| past::usual_folder(path), Path::to_owned);
    let mut files = Vec::new();
    gather(folder, "", 0, &mut files)?;
    if files.is_empty() {
        bail!("there is no DXF file in {}; unpack the returned files there first", shown(folder));
    }
    let past = past::of(path, &out)?;
    let Some(ready) = job_text::read_job(path, &[], past, None)? else {
        return Ok(Ending::Stopped);
    };
    let checksums = checksums(&out.join("order"));
    let past = ready.job.past.iter().flat_map(|past| &past.sent).collect::<Vec<_>>();
    let sent = |checksum: &str| is_sent(checksum, &checksums, &past);
    let returned = make::against(&ready.job, &ready.solved, &files, &sent);
    for line in &returned.differences {
        terminal::data(&format!("{line}\n"));
    }
    let same = terminal::plural(returned.same.len(), "file");
    let differences = terminal::plural(returned.differences.len(), "difference");
    terminal::data(&format!("{}: {same} as sent, {differences}\n", ready.job.name));
    Ok(if returned.differences.is_empty() { Ending::Done } else { Ending::Stopped })
}

/// The DXF files in a folder and those within it, by name.
fn gather(
    folder: &Path,
    within: &str,
    depth: usize,
    files: &mut Vec<(String, Vec<u8>)>,
) -> anyhow::Result<()> {
    let what = || format!("cannot read {}", shown(folder));
    let mut entries: Vec<_> =
        fs::read_dir(folder).with_context(what)?.collect::<Result<_, _>>().with_context(what)?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        let name = format!("{within}{}", entry.file_name().to_string_lossy());
        if path.is_dir() {
            if depth < DEEPEST {
                gather(&path, &format!("{name}/"), depth + 1, files)?;
            }
            continue;
        }
        if !path.extension().is_some_and(|e| e.eq_ignore_ascii_case("dxf")) {
            continue;
        }
        files.push((name, input::bytes(&path, LARGEST, "flat")?));
    }
    Ok(())
}

/// Whether these very bytes are among the files made to be sent, or were recorded as sent: files
/// made again replace the first, never the second.
fn is_sent(checksum: &str, made: &BTreeSet<String>, past: &[&Sent]) -> bool {
    made.contains(checksum) || past.iter().any(|sent| sent.contains(checksum))
}

/// The checksums of the last order made; empty if there is none.
fn checksums(order: &Path) -> BTreeSet<String> {
    let Ok(entries) = fs::read_dir(order) else { return BTreeSet::new() };
    let lists = entries.filter_map(|entry| {
        let path = entry.ok()?.path();
        path.extension().is_some_and(|e| e == "sha256").then_some(path)
    });
    let text = |path: PathBuf| input::text(&path, LARGEST, "list").ok();
    let texts: Vec<String> = lists.filter_map(text).collect();
    let lines = texts.iter().flat_map(|text| text.lines());
    lines.filter_map(|line| Some(line.split_once("  ")?.0.to_owned())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_recorded_as_sent_is_known_after_it_was_made_anew() {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("S235-4mm.sha256"), "22aa  S235-4mm.zip\n").expect("written");
        let made = checksums(folder.path());
        let files = vec![["S235-4mm/ear.dxf".into(), "11ff".into()]];
        let sent = Sent { files, ..Sent::default() };
        let known = ["22aa", "11ff", "33bb"].map(|sum| is_sent(sum, &made, &[&sent]));
        assert_eq!(known, [true, true, false]);
    }
}
