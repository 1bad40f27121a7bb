//! The letters of issues: A, B, … Y, AA, AB, … without those that are mistaken for others.
//!
//! ASME Y14.35 leaves out I, O, Q, S, X and Z (from memory).

use std::fmt;
use std::str::FromStr;

/// The letters in use.
const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRTUVWY";

/// Maximum number of letters of one issue: a text of more is no letter of ours.
const LONGEST: usize = 4;

/// The letter of an issue, or several behind `Y`. They are ordered as they are assigned.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Letter {
    /// How many have been before it.
    number: usize,
}

impl Letter {
    /// That of the first issue, `A`.
    pub fn first() -> Self {
        Self { number: 0 }
    }

    /// The one after it.
    #[must_use]
    pub fn next(&self) -> Self {
        Self { number: self.number + 1 }
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut left = self.number + 1;
        let mut letters = Vec::new();
        while left > 0 {
            left -= 1;
            letters.push(char::from(LETTERS[left % LETTERS.len()]));
            left /= LETTERS.len();
        }
        f.write_str(&letters.iter().rev().collect::<String>())
    }
}

impl FromStr for Letter {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        if text.is_empty() || text.len() > LONGEST {
            return Err(());
        }
        let mut number = 0;
        for byte in text.bytes() {
            let digit = LETTERS.iter().position(|letter| *letter == byte).ok_or(())?;
            number = number * LETTERS.len() + digit + 1;
        }
        Ok(Self { number: number - 1 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_from_y_to_aa_and_leave_out_six() {
        let mut letter = Letter::first();
        let mut all = Vec::new();
        for _ in 0..430 {
            assert_eq!(letter.to_string().parse(), Ok(letter.clone()));
            assert!(letter < letter.next());
            all.push(letter.to_string());
            letter = letter.next();
        }
        assert_eq!(all[..20].concat(), "ABCDEFGHJKLMNPRTUVWY");
        assert_eq!(all[20..23], ["AA", "AB", "AC"]);
        assert_eq!([&all[39], &all[40], &all[419], &all[420]], ["AY", "BA", "YY", "AAA"]);
        for bad in ["", "I", "O", "Q", "S", "X", "Z", "a", "1", "A1", "AAAAA", "Ä"] {
            assert!(bad.parse::<Letter>().is_err(), "{bad}");
        }
    }
}
