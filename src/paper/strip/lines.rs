//! Lines of words, some of them heavy.

use crate::geom::Point;
use crate::paper::scene::Item;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::PITCH;
use crate::paper::sheet::SMALL;

/// A line of words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line(Vec<Word>);

#[derive(Clone, Debug, PartialEq)]
struct Word {
    text: String,
    heavy: bool,
    /// Whether it is as large as the name of a row.
    large: bool,
    /// Whether it follows the word before without a space, as a comma does.
    joined: bool,
}

impl Line {
    /// Plain text, bold between asterisks, and large if it begins with `#`.
    pub fn marked(words: &str) -> Self {
        let mut all = Vec::new();
        let mut open_end = false;
        for (i, run) in words.split('*').enumerate() {
            let heavy = i % 2 == 1;
            let (run, large) = match run.strip_prefix('#').filter(|_| heavy) {
                Some(run) => (run, true),
                None => (run, false),
            };
            for (k, text) in run.split_whitespace().enumerate() {
                let joined = k == 0 && i > 0 && open_end && !run.starts_with(' ');
                all.push(Word { text: text.to_owned(), heavy, large, joined });
            }
            open_end = !run.ends_with(' ') && !run.is_empty();
        }
        Self(all)
    }

    /// The line broken into those that fit a width, mm, at a height of capitals.
    pub(super) fn wrapped(&self, height: f64, width: f64) -> Vec<Self> {
        let space = space(height);
        let mut lines = Vec::new();
        let (mut line, mut used) = (Vec::new(), 0.0);
        for word in &self.0 {
            let long = word.drawn(&word.text, height).length();
            let before = if line.is_empty() || word.joined { 0.0 } else { space };
            if !line.is_empty() && !word.joined && used + before + long > width {
                lines.push(Self(std::mem::take(&mut line)));
                used = 0.0;
            }
            used += long + if line.is_empty() { 0.0 } else { before };
            line.push(word.clone());
        }
        lines.push(Self(line));
        lines
    }

    /// How far its baseline is below that of the line before, mm.
    pub(super) fn pitch(&self) -> f64 {
        // Capitals of the height of names reach higher.
        let is_large = self.0.iter().any(|word| word.large);
        if is_large { PITCH + LARGE - SMALL } else { PITCH }
    }

    /// The words from a point of the baseline.
    pub(super) fn items(&self, at: Point, height: f64) -> Vec<Item> {
        // Words of one weight stay one run, so that they can be copied.
        let mut runs: Vec<Word> = Vec::new();
        for word in &self.0 {
            match runs.last_mut() {
                Some(run) if (run.heavy, run.large) == (word.heavy, word.large) && !word.joined => {
                    run.text += &format!(" {}", word.text);
                }
                _ => runs.push(word.clone()),
            }
        }
        let mut items = Vec::with_capacity(runs.len());
        let mut x = at.x;
        for (i, run) in runs.iter().enumerate() {
            x += if i == 0 || run.joined { 0.0 } else { space(height) };
            let words = Words { at: Point::new(x, at.y), ..run.drawn(&run.text, height) };
            x += words.length();
            items.push(Item::Words(words));
        }
        items
    }
}

impl Word {
    fn drawn(&self, text: &str, height: f64) -> Words {
        let height = if self.large { LARGE } else { height };
        let words = Words::plain(Point::ZERO, height, text);
        if self.heavy { words.made_heavy() } else { words }
    }
}

fn space(height: f64) -> f64 {
    let long = |text| Words::plain(Point::ZERO, height, text).length();
    long("n n") - long("nn")
}
