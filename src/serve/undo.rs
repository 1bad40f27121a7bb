//! The changes made, to be undone and redone by name.

use crate::serve::text_changes;
use std::sync::Arc;

/// A change.
#[derive(Clone, Debug)]
pub(super) struct Step {
    /// The edit.
    pub(super) name: String,
    /// The part it concerns.
    pub(super) part: Option<String>,
    /// The field of that part that was set, and the earlier findings of the part, by their
    /// headlines.
    pub(super) set: Option<(String, Vec<String>)>,
    /// The kind and the place of the link, tube or load it is about, `link/0`.
    pub(super) entry: Option<String>,
    /// The file that was changed, as the job names it; `None` for the job itself.
    pub(super) file: Option<String>,
    /// Its text before and after; each change begins with the result of the one before.
    pub(super) before: Arc<str>,
    pub(super) after: Arc<str>,
}

/// The changes since the job was opened.
#[derive(Debug, Default)]
pub(super) struct Steps {
    pub(super) done: Vec<Step>,
    pub(super) undone: Vec<Step>,
}

/// No more changes than these are kept. Our choice.
const MAX: usize = 500;

/// No more pairs of pieces of two texts are compared. Our choice: it keeps the answer quick.
const MAX_COMPARED: usize = 1_000_000;

impl Steps {
    /// One more.
    pub(super) fn add(&mut self, mut step: Step) {
        self.undone.clear();
        if let Some(last) = self.done.last().filter(|last| last.after == step.before) {
            step.before = Arc::clone(&last.after);
        }
        self.done.push(step);
        if self.done.len() > MAX {
            self.done.remove(0);
        }
    }
}

impl Steps {
    /// The last change, or where it does not go `back` the last one undone.
    pub(super) fn last(&self, back: bool) -> Option<&Step> {
        if back { self.done.last() } else { self.undone.last() }
    }

    /// That one is undone, or done again.
    pub(super) fn turn(&mut self, back: bool) {
        let Self { done, undone } = self;
        let (source, sink) = if back { (done, undone) } else { (undone, done) };
        sink.extend(source.pop());
    }

    /// That one is left out.
    pub(super) fn leave_out(&mut self, back: bool) {
        if back {
            self.done.pop()
        } else {
            self.undone.pop()
        };
    }

    /// The field of a part whose change caused a finding: the finding exists since then. `None` if
    /// it existed before all of them.
    pub(super) fn caused(&self, part: &str, headline: &str) -> Option<String> {
        let of_part = self.done.iter().rev().filter(|step| step.part.as_deref() == Some(part));
        let mut set = of_part.filter_map(|step| step.set.as_ref());
        let new = set.find(|(_, before)| before.iter().all(|known| known != headline));
        new.map(|(key, _)| key.clone())
    }
}

/// A text with the change from `from` to `to` applied, though others may have changed other lines since, or
/// another place of the same line. `None` if they changed the same place.
pub(super) fn carried(text: &str, from: &str, to: &str) -> Option<String> {
    if text == from {
        return Some(to.to_owned());
    }
    by_lines(text, from, to).or_else(|| beside(text, from, to))
}

/// How many pieces two texts have in common at their start, and behind that at their end.
fn common(one: &[&str], other: &[&str]) -> (usize, usize) {
    let same = one.iter().zip(other).take_while(|(a, b)| a == b).count();
    let rest = one.len().min(other.len()) - same;
    let ends = one.iter().rev().zip(other.iter().rev()).take(rest);
    (same, ends.take_while(|(a, b)| a == b).count())
}

/// The same where others changed other values, of the same line as well: the values that differ are then
/// the same.
fn beside(text: &str, from: &str, to: &str) -> Option<String> {
    let [all, was, now] = [text, from, to]
        .map(|text| text.split_inclusive(['\n', ',', '{', '}']).collect::<Vec<_>>());
    let (same, end) = common(&was, &now);
    let there = aligned(&was, &all)?;
    let changed = same..was.len() - end;
    let place = match (there.get(same), changed.is_empty()) {
        (Some(at), false) => (*at)?,
        // Something new is where it was put, behind what is before it.
        _ => same.checked_sub(1).map_or(Some(0), |before| Some(there[before]? + 1))?,
    };
    let is_whole = changed.clone().zip(place..).all(|(i, at)| there[i] == Some(at));
    if !is_whole {
        return None;
    }
    let rest = &all[place + changed.len()..];
    let carried = [&all[..place], &now[same..now.len() - end], rest].concat().concat();
    (text_changes::changes(text, &carried) == text_changes::changes(from, to)).then_some(carried)
}

/// For each piece of a text its place in another, in order and as many as possible; `None` where they differ
/// too much to tell.
fn aligned(was: &[&str], all: &[&str]) -> Option<Vec<Option<usize>>> {
    let (before, behind) = common(was, all);
    let (rows, columns) = (was.len() - before - behind, all.len() - before - behind);
    if rows * columns > MAX_COMPARED {
        return None;
    }
    // How many are in common from here on.
    let mut least = vec![vec![0; columns + 1]; rows + 1];
    let is_same = |i: usize, j: usize| was[before + i] == all[before + j];
    for i in (0..rows).rev() {
        for j in (0..columns).rev() {
            least[i][j] = match is_same(i, j) {
                true => least[i + 1][j + 1] + 1,
                false => least[i + 1][j].max(least[i][j + 1]),
            };
        }
    }
    let mut there: Vec<Option<usize>> = (0..before).map(Some).collect();
    let mut j = 0;
    for (i, left) in least.iter().take(rows).enumerate() {
        while j < columns && !is_same(i, j) && left[j + 1] == left[j] {
            j += 1;
        }
        let found = j < columns && is_same(i, j);
        there.push(found.then_some(before + j));
        j += usize::from(found);
    }
    there.extend((all.len() - behind..all.len()).map(Some));
    Some(there)
}

/// The same where others changed other lines.
fn by_lines(text: &str, from: &str, to: &str) -> Option<String> {
    let [all, was, now] =
        [text, from, to].map(|text| text.split_inclusive('\n').collect::<Vec<_>>());
    let (same, end) = common(&was, &now);
    // With a line on either side, which says where it is.
    let (first, last) = (same.saturating_sub(1), end.saturating_sub(1));
    let (old, new) = (&was[first..was.len() - last], &now[first..now.len() - last]);
    let mut places =
        (0..=all.len().checked_sub(old.len())?).filter(|at| all[*at..*at + old.len()] == *old);
    let place = places.next().filter(|_| !old.is_empty())?;
    if places.next().is_some() {
        return None;
    }
    Some([&all[..place], new, &all[place + old.len()..]].concat().concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_carried_to_a_text_in_which_other_lines_have_changed() {
        let (from, to) = ("a\nb\nc\nd\n", "a\nB\nc\nd\n");
        assert_eq!(carried(from, from, to).as_deref(), Some(to));
        assert_eq!(carried("a\nb\nc\nD\n", from, to).as_deref(), Some("a\nB\nc\nD\n"));
        assert_eq!(carried("x\na\nb\nc\n", from, to).as_deref(), Some("x\na\nB\nc\n"));
        assert_eq!(carried("a\nx\nc\nd\n", from, to), None, "the same line was changed");
        let taken_out = "a\nd\n";
        assert_eq!(carried("a\nd\ne\n", taken_out, from).as_deref(), Some("a\nb\nc\nd\ne\n"));
        assert_eq!(carried("", from, to), None);
    }

    #[test]
    fn a_change_is_carried_beside_another_in_the_same_line() {
        let (from, to) = ("given = { a = 1, b = 2 }\n", "given = { a = 0, b = 2 }\n");
        let carry = |text: &str| carried(text, from, to);
        assert_eq!(
            carry("given = { a = 1, b = 3 }\n").as_deref(),
            Some("given = { a = 0, b = 3 }\n")
        );
        let more = "x = 1\ngiven = { c = 4, a = 1, b = 2 }\n";
        let both = "x = 1\ngiven = { c = 4, a = 0, b = 2 }\n";
        assert_eq!(carry(more).as_deref(), Some(both), "all that is new is before it");
        let around = "x = 1\ngiven = { a = 1, b = 3 }\n";
        let both = "x = 1\ngiven = { a = 0, b = 3 }\n";
        assert_eq!(carry(around).as_deref(), Some(both), "others changed before it and behind it");
        assert_eq!(carry("given = { a = 7, b = 2 }\n"), None);
        let (from, to) = ("{ a = 1, b = 2, c = 3 }\n", "{ a = 1, b = 2, c = 0 }\n");
        let behind = carried("{ a = 5, b = 2, c = 3 }\n", from, to);
        assert_eq!(behind.as_deref(), Some("{ a = 5, b = 2, c = 0 }\n"));
    }

    #[test]
    fn each_value_of_a_line_is_undone_beside_those_of_others() {
        let line = |values: [u32; 4]| {
            let [a, b, c, d] = values;
            format!("[[part]]\nname = \"ear\"\ngiven = {{ a = {a}, b = {b}, c = {c}, d = {d} }}\n")
        };
        let carry = |text: [u32; 4], from: [u32; 4], to: [u32; 4]| {
            carried(&line(text), &line(from), &line(to))
        };
        // Changed outside: the first and the last.
        let outside = [9, 2, 3, 8];
        assert_eq!(carry(outside, [1, 2, 3, 4], [1, 2, 0, 4]), Some(line([9, 2, 0, 8])));
        assert_eq!(carry(outside, [1, 2, 3, 4], [1, 0, 3, 4]), Some(line([9, 0, 3, 8])));
        assert_eq!(carry(outside, [1, 2, 3, 4], [1, 2, 3, 0]), None, "its own value was changed");
        // Of two parts alike, one of which is gone, the other is not changed in its place.
        let two = line([1, 2, 3, 4]) + &line([1, 2, 3, 4]).replace("ear", "lug");
        let changed = line([1, 2, 0, 4]) + &line([1, 2, 3, 4]).replace("ear", "lug");
        let gone = line([1, 2, 3, 4]).replace("ear", "lug");
        assert_eq!(carried(&gone, &two, &changed), None);
    }
}
