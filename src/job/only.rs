//! Some parts of a job alone: spares, or more of an earlier cut.

use crate::diag::nearest;
use crate::job::asked::Job;
use std::fmt;
use std::str::FromStr;

/// The parts wanted of a job, by name: `NAME`, or `NAME=N` for a different quantity. A `*` matches
/// any letters, so that one pattern selects a family.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Only {
    name: String,
    quantity: Option<u32>,
}

/// Why a pattern selects nothing in a job.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OnlyError {
    /// What follows the `=` is not a number of pieces.
    #[error("`{0}` is not a number of pieces: write a whole number from 1")]
    Quantity(String),
    /// Nothing in the job has this name.
    #[error("the job has no part, link or tube `{name}`{}", meant(near.as_deref()))]
    Unknown {
        /// The pattern given.
        name: String,
        /// The name that may be meant.
        near: Option<String>,
    },
    /// The quantity in the job is 0, and no quantity was given.
    #[error("the job makes none of `{0}`: say how many, such as `--only {0}=2`")]
    NoneWanted(String),
}

fn meant(near: Option<&str>) -> String {
    near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
}

impl FromStr for Only {
    type Err = OnlyError;

    fn from_str(text: &str) -> Result<Self, OnlyError> {
        let Some((name, count)) = text.rsplit_once('=') else {
            return Ok(Self { name: text.to_owned(), quantity: None });
        };
        match count.trim().parse::<u32>() {
            Ok(quantity) if quantity > 0 => {
                Ok(Self { name: name.trim().to_owned(), quantity: Some(quantity) })
            }
            _ => Err(OnlyError::Quantity(count.to_owned())),
        }
    }
}

impl fmt::Display for Only {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.quantity {
            Some(quantity) => write!(f, "{} × {quantity}", self.name),
            None => f.write_str(&self.name),
        }
    }
}

impl Job {
    /// Keeps the selected parts alone; the quantity of all others is 0. If several of `wanted`
    /// select the same part, the last one sets the quantity. Nothing fills the rest of a sheet, no
    /// kit is kept together, and locked sheets are left out: those pieces are in their own layout.
    ///
    /// # Errors
    /// When one of `wanted` matches nothing in the job, or parts whose quantity is 0.
    pub fn keep_only(&mut self, wanted: &[Only]) -> Result<(), OnlyError> {
        let Some((first, others)) = wanted.split_first() else { return Ok(()) };
        let lines = self.lines.iter_mut().map(|line| (&line.name, &mut line.quantity));
        let links = self.links.iter_mut().map(|link| (&link.name, &mut link.quantity));
        let tubes = self.tubes.iter_mut().map(|tube| (&tube.name, &mut tube.quantity));
        let mut all: Vec<(&String, &mut u32)> = lines.chain(links).chain(tubes).collect();
        for only in wanted {
            let mut named = all.iter().filter(|(name, _)| only.matches(name)).peekable();
            if named.peek().is_none() {
                let near = nearest(&only.name, all.iter().map(|(name, _)| name.as_str()));
                let near = near.map(str::to_owned);
                return Err(OnlyError::Unknown { name: only.name.clone(), near });
            }
            if only.quantity.is_none() && named.all(|(_, quantity)| **quantity == 0) {
                return Err(OnlyError::NoneWanted(only.name.clone()));
            }
        }
        for (name, quantity) in &mut all {
            let last = wanted.iter().rev().find(|only| only.matches(name));
            **quantity = last.map_or(0, |only| only.quantity.unwrap_or(**quantity));
        }
        self.lines.iter_mut().for_each(|line| line.placing.fill = 0);
        self.kits.clear();
        self.sheets.iter_mut().for_each(|sheet| sheet.stock.retain(|of| of.locked.is_none()));
        self.tubes.retain(|tube| tube.quantity > 0);
        let about = self.about.trim_end_matches('.');
        let about = if about.is_empty() { String::new() } else { format!("{about}. ") };
        let named = others.iter().fold(first.to_string(), |text, only| format!("{text}, {only}"));
        self.about = format!("{about}Only {named}.");
        Ok(())
    }
}

impl Only {
    /// Whether it selects a name.
    fn matches(&self, name: &str) -> bool {
        matches(&self.name, name)
    }
}

/// Whether a name matches a pattern: the texts between the `*` occur in it, in order.
pub(super) fn matches(pattern: &str, name: &str) -> bool {
    let mut pieces = pattern.split('*');
    let Some(mut rest) = name.strip_prefix(pieces.next().unwrap_or_default()) else {
        return false;
    };
    let pieces: Vec<&str> = pieces.collect();
    let Some((last, between)) = pieces.split_last() else { return rest.is_empty() };
    for piece in between {
        let Some(at) = rest.find(piece) else { return false };
        rest = &rest[at + piece.len()..];
    }
    rest.ends_with(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn only(text: &str) -> Only {
        text.parse().unwrap()
    }

    #[test]
    fn a_star_stands_for_any_letters() {
        for (pattern, name, is_meant) in [
            ("tab", "tab", true),
            ("tab", "tab-2", false),
            ("tab-*", "tab-M6-18mm", true),
            ("*-left", "ear-left", true),
            ("*-left", "ear-left-2", false),
            ("tab-*-18mm", "tab-M6-18mm", true),
            ("tab-*-18mm", "tab-18mm", false),
            ("*M6*18*", "tab-M6-18mm", true),
            ("*18*M6*", "tab-M6-18mm", false),
            ("a*a", "a", false),
            ("*", "", true),
        ] {
            assert_eq!(only(pattern).matches(name), is_meant, "{pattern} {name}");
        }
    }

    #[test]
    fn a_quantity_is_a_whole_number_from_one() {
        assert_eq!(only("tab=3").quantity, Some(3));
        assert_eq!(only("tab").quantity, None);
        for text in ["tab=0", "tab=-1", "tab=two", "tab=", "tab=1.5"] {
            let refused = text.parse::<Only>().unwrap_err();
            assert!(matches!(refused, OnlyError::Quantity(_)), "{text}");
        }
    }
}
