//! The archive of a job: a zip of all texts it was made from, with a list of them and of the
//! checksums of the files that were made.
//!
//! Nothing in it is compressed and nothing is dated, so that the same job gives the same bytes
//! with any version of any zip program. It ends with a checksum of all its bytes, in the comment
//! that the format has for words: one byte that differs, or a file more, and it does not match.

use anyhow::Context;
use anyhow::anyhow;
use anyhow::bail;
use platewright::history::checksum;
use serde::Deserialize;
use serde::Serialize;
use std::collections::BTreeSet;
use std::io::Cursor;
use std::io::Read as _;
use std::io::Write as _;
use std::path::Component;
use std::path::Path;
use zip::CompressionMethod;
use zip::DateTime;
use zip::ZipArchive;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// Name and version of this form.
const FORMAT: &str = "platewright pack 1";

/// The list of contents.
const LIST: &str = "pack.toml";

/// The text before the checksum in the comment.
const SEAL: &str = "platewright pack, sha256 ";

/// Maximum size of an archive, and of its contents together, in bytes. Our choice.
pub(super) const LARGEST: u64 = 256 << 20;

/// Digits of a SHA-256.
const DIGITS: usize = 64;

/// The purpose of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Kind {
    /// The job itself.
    Job,
    /// A file that the job names, such as its shop.
    File,
    /// A recipe.
    Recipe,
    /// An outline file.
    Outline,
    /// A table.
    Table,
    /// The record of what was made before, and with it the letters of issues.
    Before,
    /// The record of orders sent before.
    Sent,
    /// What is compared of the files made of it.
    Made,
    /// The contents of the stock book.
    Stock,
}

/// A text by the name under which it is requested.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Text {
    pub(super) kind: Kind,
    pub(super) key: String,
    /// How findings call it.
    pub(super) shown: String,
    /// Whether it was the program's own.
    pub(super) shipped: bool,
    pub(super) bytes: Vec<u8>,
}

/// All that a job was made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Pack {
    /// The version that packed it.
    pub(super) version: String,
    /// The name of the job.
    pub(super) name: String,
    pub(super) texts: Vec<Text>,
    /// The files that were made, each by name with its SHA-256.
    pub(super) made: Vec<[String; 2]>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    format: String,
    version: String,
    name: String,
    made: Vec<[String; 2]>,
    text: Vec<Listed>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Listed {
    kind: Kind,
    key: String,
    shown: String,
    shipped: bool,
    path: String,
    sha256: String,
}

impl Pack {
    /// The text of a kind that has a name.
    pub(super) fn text(&self, kind: Kind, key: &str) -> Option<&Text> {
        self.texts.iter().find(|text| text.kind == kind && text.key == key)
    }

    /// All texts of a kind.
    pub(super) fn of(&self, kind: Kind) -> impl Iterator<Item = &Text> {
        self.texts.iter().filter(move |text| text.kind == kind)
    }

    /// The bytes of the archive. The same job gives the same bytes.
    pub(super) fn bytes(&self) -> anyhow::Result<Vec<u8>> {
        let mut taken = BTreeSet::from([LIST.to_owned()]);
        let listed = |text: &Text| Listed {
            kind: text.kind,
            key: text.key.clone(),
            shown: text.shown.clone(),
            shipped: text.shipped,
            path: path(text, &mut taken),
            sha256: checksum(&text.bytes),
        };
        let list = List {
            format: FORMAT.to_owned(),
            version: self.version.clone(),
            name: self.name.clone(),
            made: self.made.clone(),
            text: self.texts.iter().map(listed).collect(),
        };
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .last_modified_time(DateTime::DEFAULT)
            .unix_permissions(0o644);
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        zip.set_comment(format!("{SEAL}{}", "0".repeat(DIGITS)))?;
        let own = toml::to_string(&list)?;
        let files = list.text.iter().zip(&self.texts).map(|(l, t)| (l.path.as_str(), &t.bytes[..]));
        for (path, bytes) in std::iter::once((LIST, own.as_bytes())).chain(files) {
            zip.start_file(path, options)?;
            zip.write_all(bytes)?;
        }
        let mut bytes = zip.finish()?.into_inner();
        let sum = checksum(&bytes);
        let end = bytes.len() - DIGITS;
        bytes[end..].copy_from_slice(sum.as_bytes());
        Ok(bytes)
    }

    /// The contents of an archive.
    ///
    /// # Errors
    /// When it was not written by `pack`, or anything in it has changed since.
    pub(super) fn read(bytes: &[u8]) -> anyhow::Result<Self> {
        if !is_sealed(bytes) {
            let what = match files(bytes).and_then(|files| Self::of_files(&files)) {
                Ok(_) => "one of its bytes has changed since it was packed".to_owned(),
                Err(error) => format!("{error:#}"),
            };
            bail!("{what}; its checksum does not match: use an unaltered copy");
        }
        Self::of_files(&files(bytes)?)
    }

    fn of_files(files: &[(String, Vec<u8>)]) -> anyhow::Result<Self> {
        let find = |path: &str| files.iter().find(|(name, _)| name == path).map(|(_, b)| b);
        let list = find(LIST).context("it is not an archive that `platewright pack` wrote")?;
        let list = std::str::from_utf8(list).context("its list is not text")?;
        let list: List = toml::from_str(list).map_err(|e| anyhow!("its list: {}", e.message()))?;
        if list.format != FORMAT {
            bail!("its format is `{}`; this version reads `{FORMAT}`", list.format);
        }
        if !is_plain(&list.name) {
            bail!("`{}` is not a job name", list.name.escape_debug());
        }
        let known = |name: &str| name == LIST || list.text.iter().any(|text| text.path == name);
        if let Some((name, _)) = files.iter().find(|(name, _)| !known(name)) {
            bail!("`{name}` in it was not packed");
        }
        let mut texts = Vec::new();
        for text in list.text {
            let bytes = find(&text.path).with_context(|| format!("`{}` is missing", text.path))?;
            if checksum(bytes) != text.sha256 {
                bail!("`{}` in it has changed since it was packed", text.path);
            }
            let Listed { kind, key, shown, shipped, .. } = text;
            texts.push(Text { kind, key, shown, shipped, bytes: bytes.clone() });
        }
        Ok(Self { version: list.version, name: list.name, texts, made: list.made })
    }
}

/// Whether the checksum at the end is that of all bytes.
pub(super) fn is_sealed(bytes: &[u8]) -> bool {
    let Some(end) = bytes.len().checked_sub(DIGITS) else { return false };
    let (head, seal) = bytes.split_at(end);
    let zeros = [b'0'; DIGITS];
    head.ends_with(SEAL.as_bytes()) && checksum(&[head, &zeros].concat()).as_bytes() == seal
}

/// Whether a name is that of one file or folder: the files of the job are put into a folder of its
/// name.
fn is_plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let first = parts.next().filter(|part| matches!(part, Component::Normal(_)));
    let whole = first.is_some_and(|part| part.as_os_str() == name) && parts.next().is_none();
    whole && !name.chars().any(|c| c.is_control() || "/\\".contains(c))
}

/// All files of a zip.
fn files(bytes: &[u8]) -> anyhow::Result<Vec<(String, Vec<u8>)>> {
    within(bytes, LARGEST)
}

/// All files of a zip, with a maximum total of bytes.
fn within(bytes: &[u8], mut room: u64) -> anyhow::Result<Vec<(String, Vec<u8>)>> {
    let mut zip = ZipArchive::new(Cursor::new(bytes))
        .map_err(|_| anyhow!("it is not a zip file, or is truncated"))?;
    let mut files = Vec::new();
    for i in 0..zip.len() {
        let file = zip.by_index(i).map_err(|e| anyhow!("it cannot be read: {e}"))?;
        let name = file.name().map_err(|e| anyhow!("it cannot be read: {e}"))?.into_owned();
        let mut inside = Vec::new();
        file.take(room + 1)
            .read_to_end(&mut inside)
            .map_err(|e| anyhow!("`{name}` in it cannot be read: {e}"))?;
        let Some(left) = room.checked_sub(inside.len() as u64) else {
            bail!("its contents are larger than an archive may be");
        };
        room = left;
        files.push((name, inside));
    }
    Ok(files)
}

/// Where a text lies in the archive: a folder for each kind, under a name that every system takes.
fn path(text: &Text, taken: &mut BTreeSet<String>) -> String {
    let folder = match text.kind {
        Kind::Job => "job",
        Kind::File => "files",
        Kind::Recipe => "recipes",
        Kind::Outline => "outlines",
        Kind::Table if text.shipped => "tables",
        Kind::Table => "own-tables",
        Kind::Before | Kind::Sent => "before",
        Kind::Made => "made",
        Kind::Stock => "stock",
    };
    let plain = |c: char| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' };
    let name: String = text.key.chars().map(plain).collect();
    let mut path = format!("{folder}/{name}");
    let mut number = 2;
    while !taken.insert(path.to_lowercase()) {
        path = format!("{folder}/{number}-{name}");
        number += 1;
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack() -> Pack {
        let text = |kind, key: &str, bytes: &[u8]| Text {
            kind,
            key: key.into(),
            shown: format!("shown/{key}"),
            shipped: kind == Kind::Table,
            bytes: bytes.to_vec(),
        };
        let texts = vec![
            text(Kind::Job, "cart.toml", b"process = \"laser\"\n"),
            text(Kind::Outline, "../a b.dxf", b"0\r\nEOF\r\n"),
            text(Kind::Outline, "..-a-b.dxf", b""),
            text(Kind::Table, "bolt", b"name\nM8\n"),
        ];
        let made = vec![["flats/ear.dxf".into(), "00ff".into()]];
        Pack { version: "0.1.0".into(), name: "cart".into(), texts, made }
    }

    #[test]
    fn an_archive_is_read_as_it_was_packed_and_packed_to_the_same_bytes() {
        let bytes = pack().bytes().unwrap();
        assert_eq!(Pack::read(&bytes).unwrap(), pack());
        assert_eq!(pack().bytes().unwrap(), bytes);
        let names: Vec<String> = files(&bytes).unwrap().into_iter().map(|(name, _)| name).collect();
        let wanted = [
            "pack.toml",
            "job/cart.toml",
            "outlines/..-a-b.dxf",
            "outlines/2-..-a-b.dxf",
            "tables/bolt",
        ];
        assert_eq!(names, wanted);
    }

    #[test]
    fn an_archive_with_any_byte_changed_or_cut_off_is_refused() {
        let bytes = pack().bytes().unwrap();
        for at in 0..bytes.len() {
            let mut changed = bytes.clone();
            changed[at] ^= 1;
            let error = Pack::read(&changed).unwrap_err().to_string();
            assert!(error.contains("checksum does not match"), "byte {at}: {error}");
            assert!(Pack::read(&bytes[..at]).is_err(), "cut at {at}");
        }
        assert!(Pack::read(&[&bytes[..], b"0"].concat()).is_err());
    }

    /// Files of other archives must not be placed beside the folder of a job.
    #[test]
    fn a_name_that_leads_elsewhere_is_refused() {
        let named = |name: &str| {
            let bytes = Pack { name: name.into(), ..pack() }.bytes().unwrap();
            Pack::read(&bytes).map(|pack| pack.name).map_err(|error| error.to_string())
        };
        for name in ["cart", "cart 2", ".cart", "Wagen-ä"] {
            assert_eq!(named(name).unwrap(), name);
        }
        for name in
            ["", ".", "..", "../cart", "../../x", "/home/u", "a/b", "a/", "./a", "a\\b", "a\0b"]
        {
            let error = named(name).unwrap_err();
            assert!(error.contains("is not a job name"), "{name}: {error}");
        }
    }

    /// Many files that are small each, or a large one.
    #[test]
    fn the_files_of_an_archive_are_counted_together() {
        let bytes = pack().bytes().unwrap();
        let all: u64 = files(&bytes).unwrap().iter().map(|(_, bytes)| bytes.len() as u64).sum();
        assert_eq!(within(&bytes, all).unwrap(), files(&bytes).unwrap());
        for room in [0, all / 2, all - 1] {
            let error = within(&bytes, room).unwrap_err().to_string();
            assert!(
                error.contains("its contents are larger than an archive may be"),
                "{room}: {error}"
            );
        }
    }

    #[test]
    fn a_foreign_file_a_missing_one_and_a_changed_one_are_named() {
        let bytes = pack().bytes().unwrap();
        type Inside = Vec<(String, Vec<u8>)>;
        let again = |change: &dyn Fn(&mut Inside)| {
            let mut inside = files(&bytes).unwrap();
            change(&mut inside);
            let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
            for (name, bytes) in inside {
                zip.start_file(name, SimpleFileOptions::default()).unwrap();
                zip.write_all(&bytes).unwrap();
            }
            let error = Pack::read(&zip.finish().unwrap().into_inner()).unwrap_err();
            error.to_string()
        };
        assert!(
            again(&|all| all.push(("a.exe".into(), vec![1])))
                .contains("`a.exe` in it was not packed")
        );
        assert!(again(&|all| drop(all.remove(1))).contains("`job/cart.toml` is missing"));
        assert!(again(&|all| all[4].1.push(b'x')).contains("`tables/bolt` in it has changed"));
        assert!(
            again(&|_| ()).contains("one of its bytes has changed"),
            "packed by another program"
        );
        assert!(Pack::read(b"no zip").unwrap_err().to_string().contains("it is not a zip file"));
    }
}
