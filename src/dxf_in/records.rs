//! A DXF file as its records: pairs of a group code and a value, from each code 0 to the next.

use crate::dxf_in::binary;
use crate::dxf_in::binary::Pair;
use crate::dxf_in::error::DxfError;
use crate::dxf_in::letters::Letters;

/// One record: an entity, a layer, the start of a block, a mark between sections.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Record {
    /// What follows code 0.
    pub(super) kind: String,
    /// Line on which it begins, from 1, or the byte.
    at: usize,
    /// Which of them.
    unit: &'static str,
    pairs: Vec<(i32, String)>,
}

impl Record {
    /// The first value of a code.
    pub(super) fn text(&self, code: i32) -> Option<&str> {
        self.pairs.iter().find(|pair| pair.0 == code).map(|pair| pair.1.as_str())
    }

    /// The first value of a code as a number; `usual` where it is not there.
    pub(super) fn number(&self, code: i32, usual: f64) -> Result<f64, DxfError> {
        self.text(code).map_or(Ok(usual), |text| self.parsed(code, text))
    }

    /// The first value of a code as a whole number; 0 where it is not there.
    pub(super) fn whole(&self, code: i32) -> Result<i64, DxfError> {
        // Some programs write flags as `1.0`.
        self.number(code, 0.0).map(|number| number as i64)
    }

    /// Every pair of this record with one of these codes, as numbers, in order.
    pub(super) fn numbers(&self, codes: &[i32]) -> Result<Vec<(i32, f64)>, DxfError> {
        let wanted = self.pairs.iter().filter(|pair| codes.contains(&pair.0));
        wanted.map(|(code, text)| Ok((*code, self.parsed(*code, text)?))).collect()
    }

    /// Where it begins: `line 12`.
    pub(super) fn spot(&self) -> String {
        format!("{} {}", self.unit, self.at)
    }

    /// Its identification for the user: `handle 2F on line 12`.
    pub(super) fn place(&self) -> String {
        match self.text(5).map(str::trim).filter(|handle| !handle.is_empty()) {
            Some(handle) => format!("handle {handle}, {}", self.spot()),
            None => self.spot(),
        }
    }

    /// Every value of a code.
    pub(super) fn texts(&self, code: i32) -> impl Iterator<Item = &str> {
        self.pairs.iter().filter(move |pair| pair.0 == code).map(|pair| pair.1.as_str())
    }

    fn parsed(&self, code: i32, text: &str) -> Result<f64, DxfError> {
        let number: f64 = text.trim().parse().map_err(|_| {
            DxfError::Unreadable(format!(
                "`{text}` is not a number (group {code} of the {} on {})",
                self.kind,
                self.spot()
            ))
        })?;
        if number.is_finite() { Ok(number) } else { Err(DxfError::NotFinite) }
    }
}

/// The sections of a file by name, each with its records.
pub(super) struct Sections {
    all: Vec<(String, Vec<Record>)>,
    /// The code page of its header, where that is not known and its texts need it.
    pub(super) unknown_page: Option<String>,
}

impl Sections {
    /// The records of a section; empty if the file does not have it.
    pub(super) fn of(&self, name: &str) -> &[Record] {
        let section = self.all.iter().find(|section| section.0 == name);
        section.map_or(&[], |section| section.1.as_slice())
    }

    /// The value of a header variable behind its name: the first of that code.
    pub(super) fn header(&self, name: &str, code: i32) -> Option<&str> {
        let pairs = &self.of("HEADER").first()?.pairs;
        let at = pairs.iter().position(|(code, text)| *code == 9 && text == name)?;
        let own = pairs[at + 1..].iter().take_while(|(code, _)| *code != 9);
        own.filter(|pair| pair.0 == code).map(|pair| pair.1.as_str()).next()
    }
}

/// Reads either form.
///
/// # Errors
/// When it is truncated, or contains something that is not a pair.
pub(super) fn sections(bytes: &[u8]) -> Result<Sections, DxfError> {
    let is_binary = binary::is_binary(bytes);
    let pairs = if is_binary { binary::pairs(bytes)? } else { text_pairs(bytes)? };
    let letters = Letters::of(&pairs);
    let unknown_page = letters.unknown.clone();
    let mut sections: Vec<(String, Vec<Record>)> = Vec::new();
    for record in records(pairs, &letters, if is_binary { "byte" } else { "line" })? {
        match record.kind.as_str() {
            "SECTION" => {
                let name = record.text(2).unwrap_or_default().trim().to_owned();
                // Pairs between a section's name and its first record belong to the section: the
                // variables of a header.
                sections.push((name, vec![record]));
            }
            "ENDSEC" | "EOF" => {}
            _ => match sections.last_mut() {
                Some(section) => section.1.push(record),
                None => {
                    let words = format!("there is no section before {}", record.spot());
                    return Err(DxfError::Unreadable(words));
                }
            },
        }
    }
    Ok(Sections { all: sections, unknown_page })
}

/// The pairs of the text form.
fn text_pairs(bytes: &[u8]) -> Result<Vec<Pair>, DxfError> {
    // The text form has no zero bytes.
    if bytes.contains(&0) {
        return Err(DxfError::Binary);
    }
    // Old systems close a text with the mark of a file's end, and some leave more behind it.
    let is_end = |line: &[u8]| {
        line.trim_ascii().strip_suffix(b"\x1a").unwrap_or(line).trim_ascii() == b"EOF"
    };
    if !bytes.split(|byte| *byte == b'\n').any(is_end) {
        return Err(DxfError::BrokenOff);
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut lines = bytes.split(|byte| *byte == b'\n').enumerate();
    let mut pairs = Vec::new();
    while let (Some((number, code)), Some((_, value))) = (lines.next(), lines.next()) {
        let line = number + 1;
        let shown = String::from_utf8_lossy(code);
        let code: i32 = shown.trim().parse().map_err(|_| {
            let words = format!("line {line} is not a group code: `{}`", shortened(&shown));
            DxfError::Unreadable(words)
        })?;
        pairs.push((code, value.strip_suffix(b"\r").unwrap_or(value).to_vec(), line));
        if code == 0 && is_end(value) {
            return Ok(pairs);
        }
    }
    Err(DxfError::BrokenOff)
}

fn records(
    pairs: Vec<Pair>,
    letters: &Letters,
    unit: &'static str,
) -> Result<Vec<Record>, DxfError> {
    let mut records: Vec<Record> = Vec::new();
    // Data of an embedded object, and those that programs add in braces, do not belong to it.
    let (mut embedded, mut braces) = (false, false);
    for (code, value, at) in pairs {
        match code {
            0 => {
                (embedded, braces) = (false, false);
                let kind = letters.read(&value).trim().to_owned();
                records.push(Record { kind, at, unit, pairs: Vec::new() });
            }
            101 => embedded = true,
            102 => braces = value.trim_ascii_start().starts_with(b"{"),
            999 => {}
            _ if embedded || braces => {}
            _ => {
                let Some(record) = records.last_mut() else {
                    let words = format!("{unit} {at} comes before the first record");
                    return Err(DxfError::Unreadable(words));
                };
                record.pairs.push((code, letters.read(&value)));
            }
        }
    }
    Ok(records)
}

/// As much of a line as a message takes.
fn shortened(line: &str) -> String {
    const MAX: usize = 40;
    line.trim().chars().take(MAX).collect()
}
