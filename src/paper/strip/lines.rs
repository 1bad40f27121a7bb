//! Lines of words, some of them heavy.

use crate::geom::Point;
use crate::paper::scene::Item;
use crate::paper::scene::Words;

/// A line of words: each with whether it is heavy.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line(Vec<(String, bool)>);

impl Line {
    /// Plain words, with what stands between asterisks heavy.
    pub fn marked(words: &str) -> Self {
        let runs = words.split('*').enumerate();
        let all = runs.flat_map(|(i, run)| {
            run.split_whitespace().map(move |word| (word.to_owned(), i % 2 == 1))
        });
        Self(all.collect())
    }

    /// The words, without saying which are heavy.
    pub fn text(&self) -> String {
        self.0.iter().map(|(word, _)| word.as_str()).collect::<Vec<&str>>().join(" ")
    }

    /// The line broken into those that fit a width, mm, at a height of capitals.
    pub(super) fn wrapped(&self, height: f64, width: f64) -> Vec<Self> {
        let space = space(height);
        let mut lines = Vec::new();
        let (mut line, mut used) = (Vec::new(), 0.0);
        for (word, heavy) in &self.0 {
            let long = words(word, *heavy, height).length();
            if !line.is_empty() && used + space + long > width {
                lines.push(Self(std::mem::take(&mut line)));
                used = 0.0;
            }
            used += long + if line.is_empty() { 0.0 } else { space };
            line.push((word.clone(), *heavy));
        }
        lines.push(Self(line));
        lines
    }

    /// The words from a point of the baseline.
    pub(super) fn items(&self, at: Point, height: f64) -> Vec<Item> {
        let mut items: Vec<Item> = Vec::new();
        let mut x = at.x;
        // Words of one weight stay one run, so that they can be copied.
        let mut runs: Vec<(String, bool)> = Vec::new();
        for (word, heavy) in &self.0 {
            match runs.last_mut() {
                Some((run, same)) if same == heavy => *run += &format!(" {word}"),
                _ => runs.push((word.clone(), *heavy)),
            }
        }
        for (run, heavy) in runs {
            let words = Words { at: Point::new(x, at.y), ..words(&run, heavy, height) };
            x += words.length() + space(height);
            items.push(Item::Words(words));
        }
        items
    }
}

fn words(text: &str, heavy: bool, height: f64) -> Words {
    let words = Words::plain(Point::ZERO, height, text);
    if heavy { words.made_heavy() } else { words }
}

fn space(height: f64) -> f64 {
    let long = |text| Words::plain(Point::ZERO, height, text).length();
    long("n n") - long("nn")
}
