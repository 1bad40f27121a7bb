//! A finished picture, and lines of words below it.

use crate::geom::Point;
use crate::paper::scene::Item;
use crate::paper::scene::Words;
use crate::paper::sheet::PITCH;
use crate::paper::sheet::SMALL;

/// A picture; its lower left corner is the origin.
#[derive(Clone, Debug, Default)]
pub struct Picture {
    /// Its items, mm on paper.
    pub items: Vec<Item>,
    /// Its width and height, mm.
    pub size: [f64; 2],
    /// Sizes and letters for which there was no room.
    pub missing: Vec<String>,
    /// Millimetres on paper for one of the part.
    pub scale: f64,
}

impl Picture {
    /// The height of a number of lines of text below a picture, mm.
    pub(crate) fn below(lines: usize) -> f64 {
        if lines == 0 { 0.0 } else { PITCH * lines as f64 + 2.0 }
    }

    /// The same with lines of words below it.
    pub(crate) fn with_lines_below(self, lines: &[String]) -> Self {
        let low = Self::below(lines.len());
        let [mut width, height] = self.size;
        let mut items: Vec<Item> =
            self.items.into_iter().map(|item| item.shifted((0.0, low))).collect();
        for (i, line) in lines.iter().rev().enumerate() {
            let words = Words::plain(Point::new(0.0, 0.8 + PITCH * i as f64), SMALL, line);
            width = width.max(words.length());
            items.push(Item::Words(words));
        }
        Self { items, size: [width, height + low], ..self }
    }
}
