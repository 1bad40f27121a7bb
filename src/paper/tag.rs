//! A few words and signs that are placed as one: a callout, the sign of a bend, a weld symbol.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::paper::font;
use crate::paper::scene;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::scene::closed;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::PITCH;
use crate::paper::sheet::SMALL;

/// From a shelf to large words on it, mm: their tails clear it.
const ABOVE: f64 = 1.2;

/// Words and signs, the left end of the line they are on at the origin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tag {
    /// Its items.
    pub items: Vec<Item>,
}

impl Tag {
    /// A line of large heavy words with small ones below it.
    pub fn callout(lines: &[String]) -> Self {
        let word = |(i, line): (usize, &String)| match i {
            0 => Words::heavy(Point::new(0.6, ABOVE), LARGE, line),
            i => Words::plain(Point::new(0.6, -3.6 - PITCH * (i - 1) as f64), SMALL, line),
        };
        let words: Vec<Words> = lines.iter().enumerate().map(word).collect();
        // As long as its longest line: its leader may start at either end.
        let long = words.iter().map(Words::length).fold(0.0, f64::max) + 1.2;
        let shelf = Item::line(Pen::Narrow, Point::ZERO, Point::new(long, 0.0));
        let items = words.into_iter().map(Item::Words).chain([shelf]).collect();
        Self { items }
    }

    /// The letter of a hole on a shelf.
    pub(super) fn letter(letter: &str, height: f64) -> Self {
        let words = Words::heavy(Point::new(0.6, ABOVE), height, letter);
        let shelf = Item::line(Pen::Narrow, Point::ZERO, Point::new(words.length() + 1.2, 0.0));
        Self { items: vec![Item::Words(words), shelf] }
    }

    /// A line of small words on a shelf.
    pub fn small(line: &str) -> Self {
        let words = Words::plain(Point::new(0.6, 0.9), SMALL, line);
        let shelf = Item::line(Pen::Narrow, Point::ZERO, Point::new(words.length() + 1.2, 0.0));
        Self { items: vec![Item::Words(words), shelf] }
    }

    /// The sign of a bend: ▲ up or ▼ down, its number, and the instruction in black.
    pub fn bend(number: &str, up: bool, words: &str) -> Self {
        let (low, high) = if up { (0.0, LARGE * 0.86) } else { (LARGE * 0.86, 0.0) };
        let triangle = closed(&[(0.0, low), (3.4, low), (1.7, high)].map(Point::from));
        let number = Words::heavy(Point::new(4.6, 0.0), LARGE, number).in_ink(Ink::Accent);
        let x = 4.6 + number.length() + 1.8;
        let words = Words::plain(Point::new(x, 0.0), LARGE, words);
        let mut items = vec![Item::Area(Ink::Accent, vec![triangle]), Item::Words(number)];
        if !words.text.is_empty() {
            items.push(Item::Words(words));
        }
        Self { items }
    }

    /// A number in a ring, as findings have it.
    pub fn ringed(number: &str) -> Self {
        let words = Words::heavy(Point::ZERO, LARGE, number).made_red();
        let radius = num::hypot(words.length() / 2.0, LARGE * 0.65) + 0.3;
        let centre = Point::new(radius, 0.0);
        let ring = Item::Line(Pen::Found, circle(centre, radius));
        Self { items: vec![ring, Item::Words(words.centred(centre))] }
    }

    /// The same on a separate line.
    #[must_use]
    pub fn on_shelf(mut self) -> Self {
        let (wide, up) = (self.bounds().max.x, (0.0, ABOVE));
        self.items = self.items.into_iter().map(|item| item.shifted(up)).collect();
        self.items.push(Item::line(Pen::Narrow, Point::ZERO, Point::new(wide, 0.0)));
        self
    }

    /// The same with small words below its line.
    #[must_use]
    pub(super) fn with_line_below(mut self, words: &str) -> Self {
        self.items.push(Item::Words(Words::plain(Point::new(0.6, -3.6), SMALL, words)));
        self
    }

    /// Its text.
    pub fn words(&self) -> String {
        let words = self.items.iter().filter_map(|item| match item {
            Item::Words(words) => Some(words.text.clone()),
            _ => None,
        });
        words.collect::<Vec<_>>().join(" ")
    }

    /// The rectangle round it.
    pub fn bounds(&self) -> Bounds {
        scene::extent(&self.items)
    }

    /// At a place.
    pub fn at(&self, p: Point) -> Vec<Item> {
        self.items.iter().map(|item| item.clone().shifted((p.x, p.y))).collect()
    }
}

/// The rectangles round items read as one line: words, and signs beside them, on one height.
pub(super) fn lines(items: &[Item]) -> Vec<Bounds> {
    let signs = items.iter().filter(|item| matches!(item, Item::Words(_) | Item::Area(..)));
    let mut lines: Vec<(Bounds, usize)> = Vec::new();
    for bounds in signs.map(Item::bounds) {
        let middle = bounds.centre().y;
        let is_beside =
            |(line, _): &&mut (Bounds, usize)| line.min.y < middle && middle < line.max.y;
        match lines.iter_mut().find(is_beside) {
            Some((line, count)) => (*line, *count) = (line.and(bounds), *count + 1),
            None => lines.push((bounds, 1)),
        }
    }
    lines.into_iter().filter(|(_, count)| *count > 1).map(|(line, _)| line).collect()
}

/// Small plain words in lines up to this width in mm.
pub(crate) fn wrapped(words: &str, width: f64) -> Vec<String> {
    font::wrap(&font::known(words), SMALL, width)
}

/// A circle as two half circles.
pub(crate) fn circle(centre: Point, radius: f64) -> Vec<Edge> {
    let (left, right) = (centre - (radius, 0.0), centre + (radius, 0.0));
    vec![Edge { from: left, to: right, bulge: 1.0 }, Edge { from: right, to: left, bulge: 1.0 }]
}
