//! The smallest items placed in a column: a row, a paragraph, a picture, a heading.

use crate::geom::Point;
use crate::paper::font;
use crate::paper::font::Weight;
use crate::paper::scene::Item;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::PITCH;
use crate::paper::sheet::SMALL;
use std::sync::Arc;

/// Height of a line of a heading, mm.
const HEADED: f64 = 6.2;
/// Maximum number of lines of a paragraph in one unit; a longer one continues in a next. Our
/// choice.
const MAX_LINES: usize = 40;
/// After a block, mm.
const AFTER: f64 = 2.0;

/// An item placed as a whole. Its upper left corner is the origin.
#[derive(Clone, Debug)]
pub(crate) struct Unit {
    /// mm.
    pub height: f64,
    /// Its items; empty for a gap.
    pub items: Vec<Item>,
    /// Whether it must not end a column: a heading.
    pub(super) leads: bool,
    /// The unit repeated above it where it begins a column: the heads of a table.
    pub(super) head: Option<Arc<Self>>,
}

impl Unit {
    /// A picture or a row that is ready, its upper left corner at the origin.
    pub(crate) fn picture(height: f64, items: Vec<Item>) -> Self {
        Self { height, items, leads: false, head: None }
    }

    /// The gap after a block.
    pub(super) fn gap() -> Self {
        Self::picture(AFTER, Vec::new())
    }

    /// Whether it is empty.
    pub(crate) fn is_gap(&self) -> bool {
        self.items.is_empty()
    }

    /// The lines of a heading within a width; empty without words.
    pub(crate) fn heading(words: &str, width: f64) -> Vec<Self> {
        if words.is_empty() {
            return Vec::new();
        }
        let lines = font::wrap_in(Weight::Heavy, &font::known(words), LARGE, width);
        let unit = |line: &String| {
            let words = Words::heavy(Point::new(0.0, -LARGE - 0.6), LARGE, line);
            Self::picture(HEADED, vec![Item::Words(words)]).leading()
        };
        lines.iter().map(unit).collect()
    }

    /// A heading with all its lines as one; none of no words.
    pub(crate) fn whole_heading(words: &str, width: f64) -> Option<Self> {
        let lines = Self::heading(words, width);
        let (mut height, mut items) = (0.0, Vec::new());
        for line in &lines {
            items.extend(line.items.iter().cloned().map(|item| item.shifted((0.0, -height))));
            height += line.height;
        }
        (!lines.is_empty()).then(|| Self::picture(height, items).leading())
    }

    /// The unit repeated above it where it begins a column.
    pub(crate) fn head(&self) -> Option<&Self> {
        self.head.as_deref()
    }

    /// Whether something is repeated above it where it begins a column.
    pub(crate) fn has_head(&self) -> bool {
        self.head.is_some()
    }

    /// Whether its context is clear from itself: a heading, or a row under the heads of its table.
    pub(crate) fn is_headed(&self) -> bool {
        self.leads || self.head.is_some()
    }

    /// A paragraph within a width, in several units if it is long; empty without words.
    pub(super) fn paragraph(words: &str, width: f64) -> Vec<Self> {
        if words.trim().is_empty() {
            return Vec::new();
        }
        let lines = font::wrap(&font::known(words), SMALL, width);
        let unit = |lines: &[String]| {
            let item = |(i, line): (usize, &String)| {
                let down = PITCH * i as f64 + SMALL + 0.4;
                Item::Words(Words::plain(Point::new(0.0, -down), SMALL, line))
            };
            let items = lines.iter().enumerate().map(item).collect();
            Self::picture(PITCH * lines.len() as f64, items)
        };
        lines.chunks(MAX_LINES).map(unit).collect()
    }

    /// The same, that must not end a column.
    #[must_use]
    pub(crate) fn leading(&self) -> Self {
        Self { leads: true, ..self.clone() }
    }

    /// The same, with heads where it begins a column.
    #[must_use]
    pub(crate) fn headed(self, head: &Arc<Self>) -> Self {
        Self { head: Some(Arc::clone(head)), ..self }
    }
}
