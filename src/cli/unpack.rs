//! A job from an archive, and the messages if its files come out differently.

use crate::cli::archive;
use crate::cli::archive::Kind;
use crate::cli::archive::Pack;
use crate::cli::archive::Text;
use crate::cli::input;
use crate::cli::shelf::shown;
use crate::cli::terminal::plural;
use anyhow::anyhow;
use platewright::changes;
use platewright::history::FILE;
use platewright::history::Issued;
use platewright::history::Made as Kept;
use platewright::history::PartState;
use platewright::history::Past;
use platewright::history::Record;
use platewright::history::State;
use platewright::history::checksum;
use platewright::job::Job;
use platewright::make::Made;
use platewright::recipe;
use platewright::solve::Solved;
use platewright::table;
use platewright::write::NamedFile;
use std::path::Path;

/// Files that are named when some are made differently; the rest is counted.
const NAMED: usize = 5;

/// Whether a file is an archive by its name.
pub(super) fn is_archive(path: &Path) -> bool {
    path.extension().is_some_and(|end| end.eq_ignore_ascii_case("zip"))
}

/// Reads an archive.
pub(super) fn open(path: &Path) -> anyhow::Result<Pack> {
    let bytes = input::bytes(path, archive::LARGEST, "archive")?;
    Pack::read(&bytes).map_err(|error| anyhow!("cannot make {}: {error:#}", shown(path)))
}

/// What was known of the job when it was packed.
pub(super) fn past_in(pack: &Pack) -> anyhow::Result<Past> {
    let mut past = Past::default();
    for text in pack.of(Kind::Before) {
        let made = Kept::read(&String::from_utf8_lossy(&text.bytes));
        let made =
            made.map_err(|error| anyhow!("what was made before, in the archive: {error}"))?;
        match text.key == FILE {
            true => past.made = Some(made),
            false => past.others.push(made),
        }
    }
    if let Some(text) = pack.of(Kind::Sent).next() {
        let record = Record::read(&String::from_utf8_lossy(&text.bytes));
        past.sent = record.map_err(|error| anyhow!("what was sent, in the archive: {error}"))?.sent;
    }
    Ok(past)
}

/// The issues that lie in a folder and from which what an archive makes does not count on, as
/// words.
pub(super) fn later(there: &Kept, past: &Past, solved: &[Solved]) -> Vec<String> {
    let part = |part: &Solved| PartState {
        name: part.name.clone(),
        letter: part.issue.letter.clone().unwrap_or_default(),
        geometry: part.issue.geometry.clone(),
        ..PartState::default()
    };
    let state = State { part: solved.iter().map(part).collect(), ..State::default() };
    let made =
        past.made.as_ref().map_or_else(|| Kept::first(state.clone()), |m| m.then(state.clone()));
    let words =
        |issued: Issued| format!("`{}` {} · {}", issued.part, issued.letter, issued.geometry);
    made.lacks(there).into_iter().map(words).collect()
}

/// What this version makes differently of an archive, in lines; empty where all bytes are the same.
pub(super) fn differences(pack: &Pack, job: &Job, made: &Made) -> Vec<String> {
    let now = |name: &str| made.files.iter().find(|file| file.name == name);
    let differs = |name: &str, sum: &str| now(name).is_none_or(|f| checksum(&f.bytes) != sum);
    let packed = pack.made.iter().filter(|[name, sum]| differs(name, sum)).map(|[name, _]| name);
    let is_new = |file: &&NamedFile| pack.made.iter().all(|[name, _]| *name != file.name);
    let new = made.files.iter().filter(is_new).map(|file| &file.name);
    let names: Vec<&str> = packed.chain(new).map(String::as_str).collect();
    if names.is_empty() {
        return Vec::new();
    }
    let more = match names.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let mut lines = vec![format!(
        "{} was packed by version {}; version {} makes {} of {} differently: {}{more}",
        pack.name,
        pack.version,
        env!("CARGO_PKG_VERSION"),
        names.len(),
        plural(pack.made.len(), "file"),
        names[..names.len().min(NAMED)].join(", ")
    )];
    let state = pack.text(Kind::Made, FILE);
    let state = state.and_then(|text| Kept::read(&String::from_utf8_lossy(&text.bytes)).ok());
    if let Some(state) = state {
        lines.extend(
            changes::changes("what was packed", &state.now, &made.state, job.units).lines(),
        );
    }
    lines
}

/// The shipped recipes and tables of an archive that this version has otherwise.
pub(super) fn shipped_otherwise(pack: &Pack) -> Vec<String> {
    let now = |text: &Text| {
        let (all, word, key) = match text.kind {
            Kind::Recipe => (recipe::SHIPPED, "recipe", &text.key),
            Kind::Table => (table::SHIPPED, "table", &text.shown),
            _ => return None,
        };
        let now = all.iter().find(|(name, _)| name == key).map(|(_, now)| now.as_bytes());
        let differs = text.shipped && now != Some(text.bytes.as_slice());
        differs.then(|| {
            format!("this version ships a different {word} `{key}`; the archive's is used")
        })
    };
    pack.texts.iter().filter_map(now).collect()
}
