//! What stands on every page: the name with the number of the page, and the last lines.

use crate::geom::Point;
use crate::paper::font;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::table;

/// Heights that are tried for a name, mm.
const NAMES: [f64; 3] = [6.0, 5.0, 4.0];
/// From one line of a name to the next, by its height.
const LEADING: f64 = 1.45;
/// Height of capitals in the last lines of a page, mm.
const FOOT: f64 = 2.0;
/// Room beside the name for the number of the page, mm.
const NUMBER: f64 = 32.0;

/// The words of a frame, laid out for a size of page.
pub(super) struct Head {
    size: [f64; 2],
    /// Lines of the name, and their height.
    name: (Vec<String>, f64),
    about: Vec<String>,
    foot: Vec<String>,
}

impl Head {
    /// For pages of a size in mm.
    pub(super) fn new(frame: &Frame, size: [f64; 2]) -> Self {
        let wide = size[0] - 2.0 * MARGIN;
        let known = font::known(&frame.name);
        let fits = NAMES.into_iter().find(|h| font::width_in(font::Weight::Heavy, &known, *h) <= wide - NUMBER);
        let height = fits.unwrap_or(NAMES[NAMES.len() - 1]);
        Self {
            size,
            name: (font::wrap_in(font::Weight::Heavy, &known, height, wide - NUMBER), height),
            about: font::wrap(&font::known(&frame.about), table::HEIGHT, wide),
            foot: font::wrap(&font::known(&frame.foot), FOOT, wide),
        }
    }

    /// Where the last line above the foot is, mm from the foot of the page.
    pub(super) fn floor(&self) -> f64 {
        MARGIN + self.foot.len() as f64 * FOOT * 1.6 + 3.0
    }

    /// Where the first block begins on a fresh page, mm from the foot of the page.
    pub(super) fn ceiling(&self) -> f64 {
        let (lines, height) = &self.name;
        let about = self.about.len() as f64 * table::PITCH;
        self.size[1] - MARGIN - height * LEADING * lines.len() as f64 - about - 4.5
    }

    /// What is drawn on a page of so many.
    pub(super) fn items(&self, page: usize, count: usize) -> Vec<Item> {
        let [width, height] = self.size;
        let (lines, large) = &self.name;
        let mut items = Vec::new();
        let mut y = height - MARGIN - large;
        for line in lines {
            items.push(Item::Words(Words::heavy(Point::new(MARGIN, y), *large, line)));
            y -= large * LEADING;
        }
        let number = Words::plain(Point::ZERO, 3.0, format!("page {page} of {count}"));
        let at = Point::new(width - MARGIN - number.length(), height - MARGIN - large);
        items.push(Item::Words(Words { at, ..number }));
        y += large * LEADING - table::PITCH - 1.0;
        for line in &self.about {
            items.push(Item::Words(Words::plain(Point::new(MARGIN, y), table::HEIGHT, line)));
            y -= table::PITCH;
        }
        let rule = y + table::PITCH - 1.6;
        items.push(Item::line(
            Pen::Wide,
            Point::new(MARGIN, rule),
            Point::new(width - MARGIN, rule),
        ));
        let mut y = MARGIN + (self.foot.len() as f64 - 1.0) * FOOT * 1.6 + 0.6;
        for line in &self.foot {
            items.push(Item::Words(Words::plain(Point::new(MARGIN, y), FOOT, line)));
            y -= FOOT * 1.6;
        }
        items
    }
}

/// Margin of a page, mm: what common printers cannot reach, and room for a clip.
pub(super) const MARGIN: f64 = 12.0;

/// What stands on every page.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// The name, large.
    pub name: String,
    /// A line below it.
    pub about: String,
    /// A line at the foot.
    pub foot: String,
}
