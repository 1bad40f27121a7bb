//! Numbers of a drawing are handles: which input makes each word of a flat.

use crate::drawings;
use crate::formula::Value as Worth;
use crate::recipe::Kind;
use crate::serve::handle;
use crate::serve::handle::NUDGE;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::part::paper_room;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::solve::Depth;
use crate::solve::Solved;
use serde_json::Value;
use serde_json::json;

/// An input that was changed, and what became of the words.
struct Tried {
    key: String,
    /// Its value, as a number of mm or degrees; `None` for a row.
    value: Option<f64>,
    words: Vec<String>,
    /// How many of them it changes.
    changes: usize,
    /// The words after a larger change, where several inputs move the same one.
    further: Option<Vec<String>>,
}

/// The words of a part's flat.
type Words<'a> = dyn Fn(&SnapshotJob, &Solved) -> Option<Vec<String>> + 'a;

/// How far a change may be from that of the input itself, as a share. Our choice: figures are rounded.
const SAME: f64 = 0.3;

/// The larger change that tells inputs apart which move the same size, mm or degrees. Our choice: many
/// times what a figure is rounded to.
const FURTHER: f64 = 1.0;

impl Opened {
    /// For each word of the flat of a part, drawn in an area of some px, the input that makes it,
    /// or its other source; `None` if there is no such part, or it is not drawn.
    pub fn handles(&self, name: &str, room: [f64; 2]) -> Option<Value> {
        let at = self.at();
        let job = at.seen.job.as_ref().ok()?;
        let part = job.part(name)?;
        let solved = part.solved?;
        let room = paper_room(room);
        let words = |job: &SnapshotJob, of: &Solved| {
            Some(drawings::flat_words(&job.ready.job, &job.ready.solved, of, room))
        };
        let now = words(job, solved)?;
        // Without the sequence of its bends a flat is solved far sooner, and mostly has the same words.
        let flat = self.measured(&at, (Depth::Flat, &at.seen.text), name, &words);
        let (depth, before) = match flat.filter(|flat| flat.len() == now.len()) {
            Some(flat) => (Depth::Flat, flat),
            None => (Depth::Whole, now.clone()),
        };
        let mut tried = self.tried_inputs(&at, job, part, (depth, &before, &words));
        self.go_further(&at, (job, part), &mut tried, (depth, &before, &words));
        let recipe = &job.ready.job.lines[part.line].recipe.0;
        let letters = drawings::hole_letters(solved);
        let of = |(i, word): (usize, &String)| {
            let key = tried_for(&tried, i, word, &before).map(|tried| tried.key.as_str());
            let hole = letters.iter().find(|(letter, _)| letter == word);
            let hole = hole.map(|(_, index)| solved.part.hole(solved.flat.holes[*index].id));
            let told = match (key, hole) {
                (_, Some(hole)) => Some(format!("hole `{}` of the recipe {recipe}", hole.name)),
                (None, None) if figure(word).is_some() => {
                    Some(format!("no single input sets it: the recipe {recipe} calculates it"))
                }
                _ => None,
            };
            // The callout of a hole shows which input its letter belongs to.
            let by_letter = || {
                let hole = hole?;
                let out = now.iter().position(|out| called_out(out, word, hole.diameter()))?;
                tried_for(&tried, out, &now[out], &before).map(|tried| tried.key.as_str())
            };
            json!({ "words": word, "key": key.or_else(by_letter), "told": told })
        };
        Some(json!(now.iter().enumerate().map(of).collect::<Vec<_>>()))
    }

    /// Every input changed by a little, or to the next row of its table, solved to the same depth as
    /// the words `now`.
    fn tried_inputs(
        &self,
        at: &At,
        job: &SnapshotJob,
        part: ListedPart,
        (depth, now, words): (Depth, &[String], &Words),
    ) -> Vec<Tried> {
        let numbers = handle::nudged(at, job, part, NUDGE).into_iter();
        let numbers = numbers.filter_map(|of| {
            let words = self.measured(at, (depth, &of.text), part.name, words)?;
            // A different arrangement of the words does not show which is which.
            let is_like = words.len() == now.len();
            is_like.then(|| Tried::of(of.key, Some(of.value), words, now)).flatten()
        });
        // With some rows the part cannot be drawn: the nearest with which it can shows what changes.
        let rows = near_rows(at, job, part).into_iter().filter_map(|(key, texts)| {
            texts.iter().find_map(|text| {
                let words = self.measured(at, (depth, text), part.name, words)?;
                Tried::of(key.clone(), None, in_order_of(now, words), now)
            })
        });
        numbers.chain(rows).collect()
    }

    /// Changes inputs that move the same word by more, so that rounding does not hide which moves it
    /// by as much as itself.
    fn go_further(
        &self,
        at: &At,
        (job, part): (&SnapshotJob, ListedPart),
        tried: &mut [Tried],
        (depth, now, words): (Depth, &[String], &Words),
    ) {
        let moves = |of: &Tried, i: usize| of.value.is_some() && of.words[i] != now[i];
        let is_shared = |i: &usize| tried.iter().filter(|of| moves(of, *i)).count() > 1;
        let shared: Vec<usize> = (0..now.len()).filter(is_shared).collect();
        for more in handle::nudged(at, job, part, FURTHER) {
            let Some(of) = tried.iter_mut().find(|of| of.key == more.key) else { continue };
            if shared.iter().any(|i| moves(of, *i)) {
                let then = self.measured(at, (depth, &more.text), part.name, words);
                of.further = then.filter(|then| then.len() == now.len());
            }
        }
    }
}

impl Tried {
    /// An input with what became of the words; `None` where none has changed.
    fn of(key: String, value: Option<f64>, words: Vec<String>, now: &[String]) -> Option<Self> {
        let changes = words.iter().zip(now).filter(|(then, now)| then != now).count();
        (changes > 0).then_some(Self { key, value, words, changes, further: None })
    }
}

/// Words in the order of those before; if there are more or fewer of them, those that are still there,
/// and nothing for the others.
fn in_order_of(now: &[String], mut then: Vec<String>) -> Vec<String> {
    if now.len() == then.len() {
        return then;
    }
    let kept = |word: &String| {
        let at = then.iter().position(|of| of == word);
        at.map(|at| then.swap_remove(at)).unwrap_or_default()
    };
    now.iter().map(kept).collect()
}

/// The inputs that are rows of a table, each with the texts in which it is a row near by, the nearest
/// first.
fn near_rows(at: &At, job: &SnapshotJob, part: ListedPart) -> Vec<(String, Vec<String>)> {
    let form = job.forms.get(&job.ready.job.lines[part.line].recipe.0);
    let (Some(entry), Some(form), Some(solved)) = (job.entries[part.line], form, part.solved)
    else {
        return Vec::new();
    };
    let one = |asked: &crate::serve::form::FormInput| {
        let (Kind::Row(table), Some(Worth::Row(row))) =
            (&asked.kind, solved.params.get(&asked.key))
        else {
            return None;
        };
        let rows = job.rows.get(table)?;
        let here = rows.iter().position(|[name, _]| name == row.name())?;
        let near = [Some(here + 1), here.checked_sub(1), Some(here + 2), here.checked_sub(2)];
        let given = text::value(&at.seen.text, entry, &format!("given.{}", asked.key));
        let line = &job.ready.job.lines[part.line];
        let own = line.given.iter().chain(&line.open).any(|(name, _)| *name == asked.key);
        if own && given.is_none() {
            return None;
        }
        let near = near.into_iter().flatten().filter_map(|row| rows.get(row));
        let texts = near.filter_map(|[row, _]| handle::set(&at.seen.text, entry, &asked.key, row));
        Some((asked.key.clone(), texts.collect()))
    };
    form.inputs.iter().filter_map(one).collect()
}

/// The input behind a dimension: the one with that value, else the one that changes the least else.
fn tried_for<'t>(tried: &'t [Tried], i: usize, word: &str, now: &[String]) -> Option<&'t Tried> {
    let makes = |of: &&Tried| of.words[i] != now[i];
    let rank = |of: &&Tried| {
        let is = figure(word).zip(of.value).is_some_and(|(is, value)| (is - value).abs() < 0.006);
        let (then, step) = match &of.further {
            Some(further) => (&further[i], FURTHER),
            None => (&of.words[i], NUDGE),
        };
        let by = figure(word).zip(figure(then)).map(|(now, then)| (then - now).abs() / step);
        let as_it_is = by.is_some_and(|by| (by - 1.0).abs() < SAME);
        (!is, !as_it_is && of.value.is_some(), of.changes)
    };
    tried.iter().filter(makes).min_by_key(rank)
}

/// The first figure of some words, behind how many there are of it: 6.6 of `8× Ø6.6`.
fn figure(words: &str) -> Option<f64> {
    let words = words.rsplit('×').next().unwrap_or(words);
    let from = words.find(|c: char| c.is_ascii_digit())?;
    let rest = &words[from..];
    let to = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
    rest[..to].parse().ok()
}

/// Whether some words call out a hole of a letter, or of a diameter.
fn called_out(words: &str, letter: &str, diameter: Option<f64>) -> bool {
    let set = letter.trim_end_matches(|c: char| c.is_ascii_digit());
    let by_letter = words.split_whitespace().next().is_some_and(|first| {
        first
            .trim_end_matches([':', ','])
            .split(['-', '–'])
            .next()
            .is_some_and(|first| first == set || first == letter)
    });
    let by_size = words.contains('Ø')
        && figure(words).zip(diameter).is_some_and(|(is, wanted)| (is - wanted).abs() < 0.006);
    words != letter && (by_letter || by_size)
}

#[cfg(test)]
mod tests {
    use super::figure;

    #[test]
    fn the_figure_of_a_callout_is_its_size_and_not_its_count() {
        let all = [("8× Ø6.6", 6.6), ("110", 110.0), ("R3.2", 3.2), ("90°", 90.0), ("4× R2", 2.0)];
        for (words, wanted) in all {
            assert_eq!(figure(words), Some(wanted), "{words}");
        }
        assert_eq!(figure("A"), None);
    }
}
