//! Findings in the units of their job.
//!
//! Rooms that know no job, geometry above all, have one unit and print `12.5 mm`. Where their words
//! reach a job in inches their lengths are converted. What is in backquotes is to be
//! typed, or was typed, and stays as it is.

use crate::diag::Finding;
use crate::quantity::Units;

const UNIT: &str = " mm";

impl Units {
    /// A finding whose lengths are in these units.
    pub(crate) fn convert(self, finding: Finding) -> Finding {
        if self == Self::Millimetre {
            return finding;
        }
        let mut converted = Finding {
            headline: self.words(&finding.headline),
            notes: finding.notes.iter().map(|note| self.words(note)).collect(),
            help: finding.help.as_deref().map(|help| self.words(help)),
            ..finding
        };
        for mark in &mut converted.marks {
            mark.label = self.words(&mark.label);
        }
        converted
    }

    /// A text whose lengths in mm, except for those in backquotes, are in these units.
    #[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page says keys so"))]
    pub(crate) fn said(self, text: &str) -> String {
        if self == Self::Millimetre { text.to_owned() } else { self.words(text) }
    }

    /// A text whose lengths in mm, except for those in backquotes, are in inches.
    fn words(self, text: &str) -> String {
        let pieces = text.split('`').enumerate();
        let pieces = pieces.map(|(i, piece)| match i % 2 {
            0 => self.outside_quotes(piece),
            _ => piece.to_owned(),
        });
        pieces.collect::<Vec<_>>().join("`")
    }

    fn outside_quotes(self, text: &str) -> String {
        let mut converted = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(at) = rest.find(UNIT) {
            let (before, after) = (&rest[..at], &rest[at + UNIT.len()..]);
            let digits = |c: char| c.is_ascii_digit() || c == '.';
            let mut from = before.trim_end_matches(digits).len();
            if before[..from].ends_with('-') {
                from -= 1;
            }
            let whole = !after.starts_with(|c: char| c.is_alphanumeric() || c == '²');
            match before[from..].parse::<f64>() {
                Ok(mm) if whole && !is_die(&before[..from]) => {
                    converted += &before[..from];
                    converted += &self.length(mm);
                }
                _ => converted += &rest[..at + UNIT.len()],
            }
            rest = after;
        }
        converted + rest
    }
}

/// Whether the next value is the opening of a die, which has the unit it is made in already.
fn is_die(before: &str) -> bool {
    let ends = |words: &str| {
        before.strip_suffix(words).is_some_and(|rest| !rest.ends_with(char::is_alphanumeric))
    };
    ["V ", "V of ", "V of about "].into_iter().any(ends)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_in_inches_but_not_what_is_to_be_typed() {
        for (text, wanted) in [
            ("the edge has 12.700 mm, not 3 mm", "the edge has 1/2 in, not 0.1181 in"),
            ("press brake, V 25 mm, 25.4 mm wide", "press brake, V 25 mm, 1 in wide"),
            ("a bend over a V of about 16 mm", "a bend over a V of about 16 mm"),
            ("near x = -25.4 mm", "near x = -1 in"),
            ("write `gap = \"1 mm\"`: 1 mm", "write `gap = \"1 mm\"`: 0.0394 in"),
            ("8 mm² and 8 mm2 of mm", "8 mm² and 8 mm2 of mm"),
            ("sheet `S235 4 mm` of 6.35 mm", "sheet `S235 4 mm` of 1/4 in"),
        ] {
            let finding = Finding::stop("x", text).note(text).help(text);
            let converted = Units::Inch.convert(finding.clone());
            assert_eq!(converted.headline, wanted);
            assert_eq!(
                (converted.notes, converted.help),
                (vec![wanted.to_owned()], Some(wanted.to_owned()))
            );
            assert_eq!(Units::Millimetre.convert(finding).headline, text);
        }
    }
}
