//! A block laid out for a width: its heading, and strips of which none is torn apart.

use crate::geom::Point;
use crate::paper::font;
use crate::paper::scene::Item;
use crate::paper::scene::Words;
use crate::paper::table;
use crate::paper::table::Strip;
use crate::paper::table::Table;

/// Height of capitals in headings, mm.
pub(super) const HEADING: f64 = 3.5;
/// What a line of a heading takes, mm.
pub(super) const HEADED: f64 = 6.2;
/// Most lines of a paragraph in one strip; what is longer goes on in a next. Our choice.
const MAX_LINES: usize = 40;

/// A table or paragraphs, laid out.
pub(super) struct Piece {
    /// The words above it.
    pub(super) heading: String,
    /// Repeated at the top of each page: the heads of columns.
    pub(super) head: Option<Strip>,
    /// Rows or paragraphs.
    pub(super) strips: Vec<Strip>,
}

impl Piece {
    /// A table in at most so many mm.
    pub(super) fn table(table: &Table, width: f64) -> Self {
        let grid = table.grid(width);
        Self { heading: table.heading.clone(), head: Some(grid.head), strips: grid.rows }
    }

    /// Paragraphs in so many mm.
    pub(super) fn lines(heading: &str, lines: &[String], width: f64) -> Self {
        let wrapped = lines.iter().filter(|line| !line.trim().is_empty()).flat_map(|line| {
            let lines = font::wrap(&font::known(line), table::HEIGHT, width);
            lines.chunks(MAX_LINES).map(paragraph).collect::<Vec<_>>()
        });
        Self { heading: heading.to_owned(), head: None, strips: wrapped.collect() }
    }
}

fn paragraph(lines: &[String]) -> Strip {
    let item = |(i, line): (usize, &String)| {
        let down = table::PITCH * i as f64 + table::HEIGHT + 0.4;
        Item::Words(Words::plain(Point::new(0.0, -down), table::HEIGHT, line))
    };
    Strip {
        height: table::PITCH * lines.len() as f64,
        items: lines.iter().enumerate().map(item).collect(),
    }
}

/// The lines of a heading within a width.
pub(super) fn heads(words: &str, width: f64) -> Vec<String> {
    match words.is_empty() {
        true => Vec::new(),
        false => font::wrap_in(font::Weight::Heavy, &font::known(words), HEADING, width),
    }
}
