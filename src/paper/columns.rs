//! Tables and paragraphs into columns of a page: no row or paragraph is torn apart, and no heading
//! stands alone at the end of a column.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::piece;
use crate::paper::piece::HEADED;
use crate::paper::piece::HEADING;
use crate::paper::piece::Piece;
use crate::paper::scene::Item;
use crate::paper::scene::Words;
use crate::paper::table::Strip;
use crate::paper::table::Table;
use std::sync::Arc;

/// From the side of a column to what stands in it, and from its top to the first line, mm.
const INSET: f64 = 2.5;
const TOP: f64 = 2.2;
/// After a block, mm.
const AFTER: f64 = 2.0;

/// One thing a drawing says.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A table.
    Table(Table),
    /// Paragraphs under a heading.
    Lines {
        /// What they are about.
        heading: String,
        /// The paragraphs.
        lines: Vec<String>,
    },
}

/// What is placed as one: a row, a paragraph, a picture. Its upper left corner is the origin.
#[derive(Clone, Debug)]
pub struct Unit {
    /// mm.
    pub height: f64,
    /// What is drawn.
    pub items: Vec<Item>,
    /// Whether it must not end a column: a heading.
    pub leads: bool,
    /// What is repeated above it where it begins a column: the heads of a table.
    head: Option<Arc<(f64, Vec<Item>)>>,
}

impl Unit {
    /// A picture or a row that is ready, its upper left corner at the origin.
    pub fn picture(height: f64, items: Vec<Item>) -> Self {
        Self { height, items, leads: false, head: None }
    }

    /// A heading.
    pub fn heading(words: &str, width: f64) -> Vec<Self> {
        let lines = piece::heads(words, width);
        let unit = |line: &String| {
            let words = Words::heavy(Point::new(0.0, -HEADING - 0.6), HEADING, line);
            Self { height: HEADED, items: vec![Item::Words(words)], leads: true, head: None }
        };
        lines.iter().map(unit).collect()
    }

    fn strip(strip: Strip, leads: bool) -> Self {
        Self { height: strip.height, items: strip.items, leads, head: None }
    }
}

/// Blocks as units for a column of a width.
pub(crate) fn units(blocks: &[Block], column: f64) -> Vec<Unit> {
    let width = column - 2.0 * INSET;
    let mut units = Vec::new();
    for block in blocks {
        let piece = match block {
            Block::Table(table) => Piece::table(table, width),
            Block::Lines { heading, lines } => Piece::lines(heading, lines, width),
        };
        if piece.strips.is_empty() {
            continue;
        }
        units.extend(Unit::heading(&piece.heading, width));
        let head = piece.head.map(|head| Unit::strip(head, true));
        let again = head.as_ref().map(|head| Arc::new((head.height, head.items.clone())));
        units.extend(head);
        let rows = piece.strips.into_iter().map(|strip| Unit::strip(strip, false));
        units.extend(rows.map(|row| Unit { head: again.clone(), ..row }));
        units.push(Unit::picture(AFTER, Vec::new()));
    }
    units
}

/// Height of the units that a column of a height takes, mm.
pub(crate) fn height(units: &[Unit], column: f64) -> f64 {
    let taken = units.iter().scan(TOP, |used, unit| {
        *used += unit.height;
        Some(*used)
    });
    taken.take_while(|used| *used < column - 0.5).last().unwrap_or(TOP)
}

/// Units in columns, one after the other; what has no room comes back.
pub(crate) fn place(units: Vec<Unit>, columns: &[Bounds]) -> (Vec<Item>, Vec<Unit>) {
    let mut items = Vec::new();
    let mut rest = std::collections::VecDeque::from(units);
    for column in columns {
        let mut y = column.max.y - TOP;
        let mut fresh = true;
        while let Some(unit) = rest.front() {
            let head = unit.head.as_ref().filter(|_| fresh);
            let needed = match unit.leads {
                // With all that it leads to.
                true => {
                    let leading = rest.iter().take_while(|unit| unit.leads).count();
                    rest.iter().take(leading + 1).map(|unit| unit.height).sum()
                }
                false => unit.height + head.map_or(0.0, |head| head.0),
            };
            let is_gap = unit.items.is_empty();
            if !is_gap && y - needed < column.min.y + 0.5 {
                break;
            }
            let x = column.min.x + INSET;
            if let Some(head) = head {
                items.extend(head.1.iter().cloned().map(|item| item.shifted((x, y))));
                y -= head.0;
            }
            let Some(unit) = rest.pop_front() else { break };
            if is_gap && fresh {
                continue;
            }
            items.extend(unit.items.into_iter().map(|item| item.shifted((x, y))));
            y -= unit.height;
            fresh = false;
        }
    }
    (items, rest.into())
}
