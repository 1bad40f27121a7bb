//! Results of lines, kept for the next time their job is solved.
//!
//! The key of a line is its content without its positions: a line whose text has only moved is not
//! solved again, and the positions in its findings are moved along. Writing files does without
//! these results: there every position kept must be right as well.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::job::Job;
use crate::job::Line;
use crate::job::TubeEnds;
use crate::joint::Joints;
use crate::solve::depth::Depth;
use crate::solve::solved::Solved;
use sha2::Digest;
use sha2::Sha256;
use std::collections::HashMap;
use std::fmt::Debug;
use std::fmt::Write;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;

/// Number of times a job may be solved before unused results are forgotten: undoing as many changes
/// solves nothing. Our choice.
const ROUNDS: usize = 40;

/// Results of lines.
#[derive(Debug, Default)]
pub struct SolveCache {
    lines: Mutex<HashMap<Key, Came>>,
    round: AtomicUsize,
    solved: AtomicUsize,
}

type Key = [u8; 32];

/// The result of a line, and how deep it is calculated.
type Solution = ((Vec<Solved>, Vec<Finding>), Depth);

/// The result of a line.
#[derive(Debug)]
struct Came {
    /// The positions in its content, in their order.
    places: Vec<Span>,
    parts: Vec<Solved>,
    found: Vec<Finding>,
    depth: Depth,
    /// When it was last asked for.
    round: usize,
}

/// The content of a line.
pub(super) struct Made {
    key: Key,
    places: Vec<Span>,
}

/// What all lines of a job have in common, in short.
pub(super) struct Common {
    hash: Key,
    places: Vec<Span>,
}

impl SolveCache {
    /// How many lines have been solved, not counting those that were kept.
    pub fn solved(&self) -> usize {
        self.solved.load(Ordering::Relaxed)
    }

    /// Forgets everything: whatever lines are made of beside their text may have changed.
    pub fn forget(&self) {
        self.lines.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// Begins to solve a job: what all its lines have in common.
    pub(super) fn begin(&self, job: &Job) -> Common {
        let round = self.round.fetch_add(1, Ordering::Relaxed) + 1;
        let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        lines.retain(|_, came| came.round + ROUNDS >= round);
        let (mut words, mut places) = (String::new(), Vec::new());
        placeless(&without_tables(job), &mut words, &mut places);
        Common { hash: Sha256::digest(&words).into(), places }
    }

    /// The kept result of a line of a job, if it was solved to this depth, else a new one. `recipe`
    /// represents the recipe: its texts, and where they are among the sources.
    pub(super) fn or(
        &self,
        (common, recipe): (&Common, &str),
        (index, line): (usize, &Line),
        wanted: Depth,
        solve: impl FnOnce() -> Solution,
    ) -> Solution {
        let made = Made::of(common, recipe, line);
        if let Some(came) = self.again(&made, index, wanted) {
            return came;
        }
        self.solved.fetch_add(1, Ordering::Relaxed);
        let ((parts, found), depth) = solve();
        let round = self.round.load(Ordering::Relaxed);
        let (places, kept) = (made.places, (parts.clone(), found.clone()));
        let came = Came { places, parts: kept.0, found: kept.1, depth, round };
        let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        // A complete result made meanwhile is kept.
        if depth == Depth::Whole || lines.get(&made.key).is_none_or(|c| c.depth == Depth::Flat) {
            lines.insert(made.key, came);
        }
        ((parts, found), depth)
    }

    fn again(&self, made: &Made, index: usize, wanted: Depth) -> Option<Solution> {
        let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        let came = lines.get_mut(&made.key)?;
        if came.depth == Depth::Flat && wanted == Depth::Whole {
            return None;
        }
        came.round = self.round.load(Ordering::Relaxed);
        let moves = Moves { from: &came.places, to: &made.places };
        let mut parts = came.parts.clone();
        for part in &mut parts {
            part.line = index;
            part.found.iter_mut().for_each(|finding| moves.finding(finding));
            part.verdicts.iter_mut().for_each(|(place, _)| *place = moves.place(*place));
        }
        let mut found = came.found.clone();
        found.iter_mut().for_each(|finding| moves.finding(finding));
        Some(((parts, found), came.depth))
    }
}

impl Made {
    fn of(common: &Common, recipe: &str, line: &Line) -> Self {
        let (mut words, mut places) = (String::new(), common.places.clone());
        placeless(line, &mut words, &mut places);
        let mut hash = Sha256::new();
        hash.update(common.hash);
        for part in [recipe, &words] {
            hash.update(part.len().to_le_bytes());
            hash.update(part);
        }
        Self { key: hash.finalize().into(), places }
    }
}

/// The part of a job that determines the results of its lines: without these, without the record of
/// earlier output, and without the tables, which are those of the shelf; see [`SolveCache::forget`].
fn without_tables(job: &Job) -> Job {
    let joints = Joints { all: job.joints.all.clone(), tables: Arc::default() };
    let tube_ends = TubeEnds { all: job.tube_ends.all.clone(), tables: Arc::default() };
    let (lines, past, about) = (Vec::new(), None, String::new());
    Job { lines, past, about, joints, tube_ends, ..job.clone() }
}

/// The old and the new positions.
struct Moves<'a> {
    from: &'a [Span],
    to: &'a [Span],
}

impl Moves<'_> {
    fn finding(&self, finding: &mut Finding) {
        finding.marks.iter_mut().for_each(|mark| mark.span = self.place(mark.span));
    }

    /// The new position of a span: it is one of the known ones, or within the smallest of them.
    fn place(&self, at: Span) -> Span {
        let holds = |of: &Span| of.source == at.source && of.start <= at.start && at.end <= of.end;
        let known = self.from.iter().zip(self.to).filter(|(from, _)| holds(from));
        match known.min_by_key(|(from, _)| from.end - from.start) {
            Some((from, to)) => {
                let start = to.start + (at.start - from.start);
                Span { source: to.source, start, end: start + (at.end - at.start) }
            }
            None => at,
        }
    }
}

/// The text of a value without its positions, which are counted and removed.
fn placeless(value: &impl Debug, words: &mut String, places: &mut Vec<Span>) {
    let mut all = String::new();
    // Writing to a string cannot fail.
    let _ = write!(all, "{value:?}");
    let mut rest = all.as_str();
    while let Some(at) = rest.find(BEGIN) {
        let (before, from) = rest.split_at(at);
        words.push_str(before);
        match place(&from[BEGIN.len()..]) {
            Some((span, after)) => {
                places.push(span);
                words.push('@');
                rest = after;
            }
            None => {
                words.push_str(BEGIN);
                rest = &from[BEGIN.len()..];
            }
        }
    }
    words.push_str(rest);
}

/// How a place begins.
const BEGIN: &str = "Span { source: SourceId(";

/// A span whose start was read, and the text after it.
fn place(text: &str) -> Option<(Span, &str)> {
    let (source, text) = text.split_once("), start: ")?;
    let (start, text) = text.split_once(", end: ")?;
    let (end, text) = text.split_once(" }")?;
    let source = SourceId::numbered(source.parse().ok()?);
    Some((Span { source, start: start.parse().ok()?, end: end.parse().ok()? }, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(start: usize, end: usize) -> Span {
        Span { source: SourceId::numbered(3), start, end }
    }

    #[test]
    fn places_are_taken_out_of_what_is_shown_and_counted() {
        let (mut words, mut places) = (String::new(), Vec::new());
        placeless(&("a", span(4, 9), Some(span(0, 2))), &mut words, &mut places);
        assert_eq!(words, "(\"a\", @, Some(@))");
        assert_eq!(places, [span(4, 9), span(0, 2)]);
        placeless(&"Span { source: SourceId(x", &mut words, &mut places);
        assert_eq!(places.len(), 2, "a name that only begins like a place is none");
    }

    #[test]
    fn a_place_moves_with_the_least_that_holds_it() {
        let (from, to) = ([span(0, 100), span(40, 60)], [span(10, 110), span(57, 77)]);
        let moves = Moves { from: &from, to: &to };
        assert_eq!(moves.place(span(45, 50)), span(62, 67));
        assert_eq!(moves.place(span(5, 6)), span(15, 16));
        assert_eq!(moves.place(span(200, 201)), span(200, 201));
    }
}
