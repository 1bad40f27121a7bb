//! The record of orders sent: entries one after the other, each closed by a checksum of its own
//! text, so that one that was truncated or changed is never accepted as complete.

use crate::history::checksum;
use crate::history::state::PartState;
use crate::history::state::State;
use serde::Deserialize;
use serde::Serialize;
use std::fmt;

/// The text above all entries.
const HEAD: &str = "# What was sent of this job, oldest first: written by `platewright sent`, which only adds.\n\
                    # Each entry ends with a checksum of its text; do not edit.\n";

/// What closes an entry, before its checksum.
pub(super) const END: &str = "# end, sha256 ";

/// One sending.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sent {
    /// Its number in the record, from 1.
    pub number: u32,
    /// The recipient.
    pub to: String,
    /// The day, as `2026-03-31`.
    pub date: String,
    /// The version that made the order.
    pub version: String,
    /// The files of the order, each by name with its SHA-256.
    pub files: Vec<[String; 2]>,
    /// The state sent, part by part.
    pub state: State,
}

impl Sent {
    /// `no. 2, 2026-03-31, to the laser cutter`.
    pub fn words(&self) -> String {
        format!("no. {}, {}, to {}", self.number, self.date, self.to)
    }

    /// A part that was sent, by name: one of which no piece is ordered was not, whatever became of it.
    pub fn part(&self, name: &str) -> Option<&PartState> {
        self.parts().find(|part| part.name == name)
    }

    /// All parts that were sent.
    pub fn parts(&self) -> impl Iterator<Item = &PartState> {
        self.state.part.iter().filter(|part| part.pieces > 0)
    }

    /// Whether a file with this checksum was among those sent.
    pub fn contains(&self, checksum: &str) -> bool {
        self.files.iter().any(|[_, sum]| sum == checksum)
    }
}

/// All that was sent of a job, with the text it is written as.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// Oldest first.
    pub sent: Vec<Sent>,
    text: String,
}

/// The error of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Damaged {
    /// The line of its text, from 1.
    pub line: usize,
    /// In words.
    pub what: String,
}

impl fmt::Display for Damaged {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

/// One entry as a separate document.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    sent: Vec<Sent>,
}

impl Record {
    /// The entries of a record.
    ///
    /// # Errors
    /// Where it was cut short or changed.
    pub fn read(text: &str) -> Result<Self, Damaged> {
        let damaged = |line: usize, what: &str| Damaged { line, what: what.to_owned() };
        let mut sent: Vec<Sent> = Vec::new();
        let mut entry = String::new();
        let mut begun = 1;
        for (i, line) in text.split_inclusive('\n').enumerate() {
            let Some(sum) = line.strip_prefix(END) else {
                if entry.trim().is_empty() && (line.starts_with('#') || line.trim().is_empty()) {
                    begun = i + 2;
                    continue;
                }
                entry.push_str(line);
                continue;
            };
            if sum != format!("{}\n", checksum(entry.as_bytes())) {
                let what = format!("entry {} was changed or truncated", sent.len() + 1);
                return Err(damaged(begun, &what));
            }
            let read: Entry =
                toml::from_str(&entry).map_err(|error| damaged(begun, error.message()))?;
            let number = sent.len() as u32 + 1;
            match <[Sent; 1]>::try_from(read.sent) {
                Ok([one]) if one.number == number => sent.push(one),
                _ => return Err(damaged(begun, &format!("entry {number} is missing"))),
            }
            entry.clear();
            begun = i + 2;
        }
        match entry.is_empty() {
            true => Ok(Self { sent, text: text.to_owned() }),
            false => {
                let what = format!("entry {} has no end: the file is truncated", sent.len() + 1);
                Err(damaged(begun, &what))
            }
        }
    }

    /// The text with one more entry behind all others, which are not changed. Its number is the
    /// next one.
    ///
    /// # Errors
    /// When it cannot be written, which is an error of the program.
    pub fn with(&self, sent: Sent) -> Result<String, String> {
        let number = self.sent.len() as u32 + 1;
        let entry = Entry { sent: vec![Sent { number, ..sent }] };
        let entry = toml::to_string(&entry).map_err(|error| error.to_string())?;
        let head = if self.text.is_empty() { HEAD } else { "" };
        Ok(format!("{}{head}\n{entry}{END}{}\n", self.text, checksum(entry.as_bytes())))
    }

    /// The entry that a user names: by its number, or the last one to a recipient.
    pub fn find(&self, name: &str) -> Option<&Sent> {
        let number = name.trim_start_matches("no. ").parse::<u32>().ok();
        let numbered = self.sent.iter().find(|sent| Some(sent.number) == number);
        let to = |sent: &&Sent| sent.to.to_lowercase() == name.to_lowercase();
        numbered.or_else(|| self.sent.iter().rev().find(to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(to: &str) -> Sent {
        let part = PartState { name: "ear".into(), letter: "A".into(), ..PartState::default() };
        Sent {
            to: to.into(),
            date: "2026-03-31".into(),
            version: "0.1.0".into(),
            files: vec![["S235-4mm.zip".into(), "00ff".into()]],
            state: State { part: vec![part], ..State::default() },
            ..Sent::default()
        }
    }

    fn two() -> (String, String) {
        let first = Record::default().with(sent("the laser cutter")).unwrap();
        let second = Record::read(&first).unwrap().with(sent("the galvaniser")).unwrap();
        (first, second)
    }

    #[test]
    fn an_entry_is_added_behind_all_others_which_stay_as_they_are() {
        let (first, second) = two();
        assert!(second.starts_with(&first));
        let record = Record::read(&second).unwrap();
        assert_eq!(record.sent.len(), 2);
        assert_eq!(record.find("2").unwrap().words(), "no. 2, 2026-03-31, to the galvaniser");
        assert_eq!(record.find("The laser cutter").unwrap().number, 1);
        assert_eq!(record.find("3"), None);
        assert!(record.sent[0].contains("00ff") && !record.sent[0].contains("00fe"));
        assert_eq!(Record::read("").unwrap(), Record::default());
    }

    /// Cut anywhere, or with any letter changed, it is whole or refused, but never taken for
    /// something else.
    #[test]
    fn a_record_that_was_cut_short_or_changed_is_refused_and_says_where() {
        let (first, second) = two();
        let whole = Record::read(&second).unwrap();
        for cut in (0..second.len()).filter(|cut| second.is_char_boundary(*cut)) {
            if let Ok(read) = Record::read(&second[..cut]) {
                assert_eq!(read.sent, whole.sent[..read.sent.len()], "cut at {cut}");
                assert!(read.sent.len() < 2 && (cut >= first.len()) == (read.sent.len() == 1));
            }
        }
        let cut = Record::read(&second[..second.len() - 100]).unwrap_err();
        assert!(cut.what.contains("truncated"), "{cut}");
        assert!(cut.line > first.lines().count(), "{cut}");
        let changed = Record::read(&second.replacen("\"A\"", "\"B\"", 1)).unwrap_err();
        assert_eq!((changed.line, changed.what.as_str()), (4, "entry 1 was changed or truncated"));
        // An entry that was removed whole.
        let gone = second.replacen(&first[first.find("[[sent]]").unwrap()..], "", 1);
        assert!(Record::read(&gone).unwrap_err().what.contains("entry 1 is missing"));
    }
}
