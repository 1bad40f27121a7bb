//! The records of what was made and sent of a job, as text that a person can read.
//!
//! The last make keeps what matters of each part in [`FILE`], among its files; each sending adds
//! the same to a record beside the job. Both are read here, and here it is decided which letter
//! the issue of a part has. Nothing of it touches the disk: text in, text out.

mod checksum;
mod contour;
mod letter;
mod made;
mod sent;
mod state;

pub use checksum::Checksum;
pub use checksum::checksum;
pub use contour::edges;
pub(crate) use contour::line;
pub(crate) use contour::written;
pub use letter::Letter;
pub use made::Made;
pub use sent::Damaged;
pub use sent::Record;
pub use sent::Sent;
pub use state::BendState;
pub use state::Counted;
pub use state::FoundState;
pub use state::Issued;
pub use state::PartState;
pub use state::SheetState;
pub use state::State;
pub use state::TubeState;

/// The file in which a make keeps what the next one compares itself with.
pub const FILE: &str = "made.toml";

/// What is known of a job from before; empty where nothing is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Past {
    /// What was made last in the folder that is written.
    pub made: Option<Made>,
    /// What was made last in the other folders where it is usually made: of the whole job, or of
    /// some of it.
    pub others: Vec<Made>,
    /// What was sent, oldest first.
    pub sent: Vec<Sent>,
}

impl Past {
    /// The letter of a part's issue whose geometry has this hash: that of the furthest issue
    /// known where the geometry is the same, the next one where it is not, the first of all where
    /// none is known.
    ///
    /// A letter that was given to two geometries is never given again: the next one is.
    pub fn letter(&self, part: &str, geometry: &str) -> Letter {
        let made = self.made.iter().chain(&self.others).flat_map(Made::issues);
        let sent = self.sent.iter().flat_map(|sent| sent.state.issues());
        let known = made.chain(sent).filter(|issued| issued.part == part);
        let known: Vec<(Letter, String)> =
            known.filter_map(|i| Some((i.letter.parse().ok()?, i.geometry))).collect();
        let Some(furthest) = known.iter().map(|(letter, _)| letter).max() else {
            return Letter::first();
        };
        let mut of_it = known.iter().filter(|(letter, _)| letter == furthest);
        match of_it.all(|(_, of)| of == geometry) {
            true => furthest.clone(),
            false => furthest.next(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn state(parts: &[(&str, &str, &str)]) -> State {
        let part = |(name, letter, geometry): &(&str, &str, &str)| PartState {
            name: (*name).into(),
            letter: (*letter).into(),
            geometry: (*geometry).into(),
            ..PartState::default()
        };
        State { part: parts.iter().map(part).collect(), ..State::default() }
    }

    #[test]
    fn a_letter_is_raised_when_the_geometry_changes_and_never_given_twice() {
        let letter = |past: &Past, geometry: &str| past.letter("ear", geometry).to_string();
        let mut past = Past::default();
        assert_eq!(letter(&past, "1"), "A");
        past.made = Some(Made::first(state(&[("ear", "A", "1"), ("brace", "F", "9")])));
        assert_eq!([letter(&past, "1"), letter(&past, "2")], ["A", "B"]);
        // Going back to the geometry of A is a change as well: a print of B must look older.
        past.made = Some(Made::first(state(&[("ear", "B", "2")])));
        assert_eq!([letter(&past, "2"), letter(&past, "1")], ["B", "C"]);
        // The folder was deleted, or is another one: what was sent counts on.
        let sent = Sent { state: state(&[("ear", "D", "4")]), ..Sent::default() };
        past.sent.push(sent);
        assert_eq!([letter(&past, "4"), letter(&past, "2")], ["D", "E"]);
        // Two geometries have been D: neither is again.
        past.made = Some(Made::first(state(&[("ear", "D", "5")])));
        assert_eq!([letter(&past, "4"), letter(&past, "5")], ["E", "E"]);
    }

    /// Spares that were made alone have had separate letters.
    #[test]
    fn a_letter_that_was_given_in_another_folder_is_not_given_again() {
        let made = |letter, geometry| Made::first(state(&[("ear", letter, geometry)]));
        let past = Past {
            made: Some(made("A", "1")),
            others: vec![made("A", "1"), made("B", "2")],
            ..Past::default()
        };
        assert_eq!(["2", "3"].map(|of| past.letter("ear", of).to_string()), ["B", "C"]);
    }

    #[test]
    fn a_part_that_comes_back_counts_on_from_the_letter_it_had() {
        let first = Made::first(state(&[("ear", "C", "3"), ("brace", "A", "1")]));
        let second = first.then(state(&[("brace", "A", "1")]));
        let third = second.then(state(&[("brace", "B", "2")]));
        let past = Past { made: Some(third), ..Past::default() };
        assert_eq!(past.letter("ear", "3").to_string(), "C");
        assert_eq!(past.letter("ear", "4").to_string(), "D");
    }
}
