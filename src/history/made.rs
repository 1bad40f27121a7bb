//! The record that a make keeps for the next one.

use crate::history::checksum;
use crate::history::letter::Letter;
use crate::history::sent::END;
use crate::history::state::Issued;
use crate::history::state::State;
use serde::Deserialize;
use serde::Serialize;

/// Name and version of this form.
const FORMAT: &str = "platewright made 1";

/// The text above it.
const HEAD: &str = "# What was made, part by part: `platewright changes` compares the job with it.\n\
                    # Lengths are mm; written by platewright, do not edit.\n\n";

/// The last output, and the earlier one that differed from it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Made {
    format: String,
    /// The version that made it.
    pub version: String,
    /// The job that was made, by name; empty where that was not kept.
    #[serde(default)]
    pub job: String,
    /// The issues of parts that are no longer made, or whose letter the job replaces, so that their
    /// letters continue when they come back.
    #[serde(default)]
    pub gone: Vec<Issued>,
    /// The last output.
    pub now: State,
    /// The output before it; `None` if there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<State>,
}

impl Made {
    /// The record of a first output.
    pub fn first(now: State) -> Self {
        let version = env!("CARGO_PKG_VERSION").to_owned();
        let (format, job) = (FORMAT.to_owned(), String::new());
        Self { format, version, job, gone: Vec::new(), now, before: None }
    }

    /// The same of a job.
    #[must_use]
    pub fn of(self, job: &str) -> Self {
        Self { job: job.to_owned(), ..self }
    }

    /// Whether a text, of which the beginning is enough, is that of a job of this name.
    pub fn is_of(text: &str, job: &str) -> bool {
        let name = toml::Value::String(job.to_owned()).to_string();
        let mut own = text.lines().take_while(|line| !line.starts_with('['));
        own.clone().any(|line| line == format!("format = \"{FORMAT}\""))
            && own.any(|line| line == format!("job = {name}"))
    }

    /// The record after a new output. If it is identical, the state it was compared with stays:
    /// making a job again changes nothing.
    #[must_use]
    pub fn then(&self, now: State) -> Self {
        let mut gone = self.issues();
        gone.retain(|issued| now.part(&issued.part).is_none_or(|part| part.letter.is_empty()));
        gone.sort_by(|a, b| a.part.cmp(&b.part));
        gone.dedup_by(|a, b| a.part == b.part);
        let before = match self.now == now {
            true => self.before.clone(),
            false => Some(self.now.clone()),
        };
        Self { gone, before, ..Self::first(now) }
    }

    /// The issue last given to each part that was ever made here.
    pub(super) fn issues(&self) -> Vec<Issued> {
        let mut all = self.now.issues();
        all.retain(|issued| !issued.letter.is_empty());
        all.extend(self.gone.iter().cloned());
        all
    }

    /// The issues in another record from which this does not continue: of a part that it does not
    /// have, with a later letter, or with the same letter of another geometry.
    pub fn lacks(&self, other: &Self) -> Vec<Issued> {
        let own = self.issues();
        let letter = |issued: &Issued| issued.letter.parse::<Letter>().ok();
        let counts_on = |from: &Issued| {
            own.iter()
                .filter(|own| own.part == from.part)
                .any(|own| letter(own) > letter(from) || own == from)
        };
        let mut all = other.issues();
        all.retain(|issued| !counts_on(issued));
        all
    }

    /// Its text.
    ///
    /// # Errors
    /// When it cannot be written, which is an error of the program.
    pub fn text(&self) -> Result<String, String> {
        let body = toml::to_string(self).map_err(|error| error.to_string())?;
        let text = format!("{HEAD}{body}");
        Ok(format!("{text}{END}{}\n", checksum(text.as_bytes())))
    }

    /// Reads the record from its text.
    ///
    /// # Errors
    /// The error, and its line.
    pub fn read(text: &str) -> Result<Self, String> {
        let end = text.rfind(END).ok_or("it has no end: it is truncated")?;
        if text[end..] != format!("{END}{}\n", checksum(&text.as_bytes()[..end])) {
            return Err("it was changed or truncated since it was made".to_owned());
        }
        let made: Self = toml::from_str(text).map_err(|error| error.to_string())?;
        match made.format == FORMAT {
            true => Ok(made),
            false => Err(format!("its format is `{}`, not `{FORMAT}`", made.format)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::history::BendState;
    use crate::history::Counted;
    use crate::history::PartState;

    pub(crate) fn full() -> State {
        let bend = BendState {
            name: "leg".into(),
            line: "0 10, 60 10".into(),
            angle_deg: 90.0,
            radius_mm: 4.0,
            up: true,
            form: "bent".into(),
        };
        let part = PartState {
            name: "ear".into(),
            letter: "B".into(),
            geometry: "0123abc".into(),
            file: "ear_6x_S235_4mm".into(),
            material: "S235".into(),
            thickness_mm: 4.0,
            pieces: 6,
            price_each: Some(3.25),
            corner_mm: [-13.0, 0.1],
            outline: "0 0, 60 0, 60 30, 0 30".into(),
            openings: vec![["eye".into(), "circle 15 20 9".into()]],
            bends: vec![bend],
            marks: String::new(),
            work: vec!["hole eye: tap M6×1 through".into()],
            welds: vec!["plate.foot: both sides".into()],
            set_gap_mm: Some(16.41),
        };
        let hardware = vec![Counted { what: "bolt M8 × 30 mm".into(), quantity: 12 }];
        State { currency: "EUR".into(), part: vec![part], hardware, ..State::default() }
    }

    #[test]
    fn a_text_says_in_its_first_lines_whose_it_is() {
        for name in ["cart", "the \"cart\""] {
            let text = Made::first(full()).of(name).text().unwrap();
            let head = &text[..500];
            assert!(Made::is_of(head, name) && !Made::is_of(head, "trailer"), "{head}");
        }
        assert!(!Made::is_of("job = \"cart\"\n", "cart"), "any other file");
    }

    #[test]
    fn a_record_of_made_parts_is_read_as_written() {
        let made = Made::first(State::default()).then(full());
        let text = made.text().unwrap();
        assert_eq!(Made::read(&text).unwrap(), made);
        assert_eq!(Made::read(&text).unwrap().text().unwrap(), text);
        assert!(text.contains("openings = [[\"eye\", \"circle 15 20 9\"]]"), "{text}");
        for cut in (0..text.len()).filter(|cut| text.is_char_boundary(*cut)) {
            assert!(Made::read(&text[..cut]).unwrap_err().contains("truncated"), "cut at {cut}");
        }
        let changed = Made::read(&text.replace("circle 15", "circle 16"));
        assert!(changed.unwrap_err().contains("was changed"));
        let later = Made { format: "platewright made 9".into(), ..made };
        assert!(Made::read(&later.text().unwrap()).unwrap_err().contains("made 9"));
    }

    #[test]
    fn what_does_not_count_on_from_an_issue_lacks_it() {
        let made = |parts: &[(&str, &str, &str)]| {
            let part = |(name, letter, geometry): &(&str, &str, &str)| PartState {
                name: (*name).into(),
                letter: (*letter).into(),
                geometry: (*geometry).into(),
                ..PartState::default()
            };
            Made::first(State { part: parts.iter().map(part).collect(), ..State::default() })
        };
        let old = made(&[("ear", "B", "2"), ("brace", "A", "1")]);
        let lacks = |of: &Made| -> Vec<String> {
            of.lacks(&old).into_iter().map(|issued| issued.part).collect()
        };
        assert!(lacks(&old).is_empty());
        assert!(lacks(&old.then(State::default())).is_empty(), "it keeps what is gone");
        assert!(lacks(&made(&[("ear", "C", "1"), ("brace", "A", "1")])).is_empty());
        assert_eq!(lacks(&made(&[("ear", "A", "1"), ("brace", "A", "1")])), ["ear"]);
        assert_eq!(lacks(&made(&[("ear", "B", "3"), ("brace", "A", "1")])), ["ear"]);
        assert_eq!(lacks(&made(&[("ear", "B", "2")])), ["brace"]);
    }

    #[test]
    fn making_the_same_again_keeps_what_it_was_compared_with() {
        let first = Made::first(State::default());
        let second = first.then(full());
        assert_eq!(second.before, Some(State::default()));
        assert_eq!(second.then(full()), second);
        assert_eq!(first.then(State::default()), first);
    }
}
