//! The legend of a picture: number, name and quantity of each kind, and notes.

use crate::drawings::sheets::shown::Shown;
use crate::geom::Point;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::PITCH;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Words;
use crate::paper::wrap;
use crate::place;

/// From the side of a column to its contents, and between its cells, mm.
const INSET: f64 = 2.0;
const CELL: f64 = 1.6;
/// Longest line of a name, mm; longer ones are broken.
const NAME: f64 = 50.0;
/// Smallest width of a column, mm.
const COLUMN: f64 = 46.0;
/// Height of the head of a column, mm.
const HEAD: f64 = 9.5;
/// Farthest from one row to the next, by the height of letters.
const LOOSE: f64 = 2.6;
/// Nearest.
const TIGHT: f64 = 1.72;
/// From line to line of one name, by the height of letters.
const WITHIN: f64 = 1.5;

/// The meaning of the numbers.
const ORDER: &str = "Numbered in the order of the first cut. Holes are cut before outlines.";
/// The nature of a cut file.
const EDGE: &str = "Outlines are the finished edge: no kerf compensation.";

/// What to do with the remnant.
const REMNANT: &str = "Keep the remnant: its entry for the stock of a later job is in the report.";

/// A legend with its upper left corner at the origin.
pub(super) struct Legend {
    pub(super) items: Vec<Item>,
    pub(super) width: f64,
    /// The kinds, by their place in the order of cutting, that found no room in it.
    pub(super) rest: Vec<usize>,
}

/// The rows of some kinds in letters of a height.
struct Rows {
    height: f64,
    /// Lines of each name.
    names: Vec<(usize, Vec<String>)>,
    /// Widths of numbers, names, quantities, mm.
    widths: [f64; 3],
}

impl Shown<'_> {
    /// All kinds at the letter size the machine needs or in small letters, in columns of a height;
    /// `None` if they do not fit.
    pub(super) fn legend(&self, height: f64, columns: usize, room: f64) -> Option<Legend> {
        let all: Vec<usize> = (0..self.kinds.len()).collect();
        let legend = self.rows(&all, height).in_columns(self, columns, room, true);
        legend.rest.is_empty().then_some(legend)
    }

    /// As many kinds as fit into columns of small letters; with or without notes at the end.
    pub(super) fn part_of_legend(
        &self,
        kinds: &[usize],
        columns: usize,
        room: f64,
        noted: bool,
    ) -> Legend {
        self.rows(kinds, SMALL).in_columns(self, columns, room, noted)
    }

    fn rows(&self, kinds: &[usize], height: f64) -> Rows {
        let name = |kind: &usize| {
            let name = &self.solved[self.kinds[*kind].part].name;
            (*kind, wrap(name, height, NAME))
        };
        let names: Vec<(usize, Vec<String>)> = kinds.iter().map(name).collect();
        let wide = |text: &str| Words::heavy(Point::ZERO, height, text).length();
        let plain = |text: &String| Words::plain(Point::ZERO, height, text).length();
        let widest = |all: &mut dyn Iterator<Item = f64>| all.fold(0.0, f64::max);
        let numbers = widest(&mut kinds.iter().map(|kind| wide(&(kind + 1).to_string())));
        let counts = kinds.iter().map(|kind| wide(&self.kinds[*kind].count.to_string()));
        let counts = widest(&mut counts.chain([wide("Qty")]));
        let names_width = widest(&mut names.iter().flat_map(|(_, lines)| lines).map(plain));
        Rows { height, names, widths: [numbers, names_width, counts] }
    }

    /// The text below the rows, a paragraph each, and whether it is bold.
    fn notes(&self) -> Vec<(String, bool)> {
        let mut notes = vec![(ORDER.to_owned(), false), (EDGE.to_owned(), false)];
        if !self.nested.route.common_cuts.is_empty() {
            notes.extend(place::NOTES.map(|note| (note.to_owned(), false)));
        }
        if self.row.remnant_stock.is_some() {
            notes.push((REMNANT.to_owned(), false));
        }
        let not_given = self.row.remnant_not_given();
        notes.extend(not_given.map(|why| (format!("Remnant {why}."), false)));
        notes
    }
}

impl Rows {
    /// In a number of columns of a height.
    fn in_columns(&self, shown: &Shown, columns: usize, room: f64, noted: bool) -> Legend {
        let [numbers, names, counts] = self.widths;
        let wide = (2.0 * INSET + numbers + names + counts + 2.0 * CELL).max(COLUMN);
        let width = wide * columns as f64;
        let notes = if noted { shown.notes() } else { Vec::new() };
        let notes: Vec<(Vec<String>, bool)> = notes
            .iter()
            .map(|(text, heavy)| (wrap(text, SMALL, wide - 2.0 * INSET), *heavy))
            .collect();
        let lines: usize = notes.iter().map(|(lines, _)| lines.len()).sum();
        let foot = if noted { 8.0 + PITCH * lines as f64 + 1.5 * notes.len() as f64 } else { 1.0 };
        let lines: usize = self.names.iter().map(|(_, lines)| lines.len() - 1).sum();
        // As loose as the columns allow.
        let each = self.names.len().div_ceil(columns).max(1) as f64;
        let broken = WITHIN * self.height * lines.div_ceil(columns) as f64;
        let pitch = (room - HEAD - foot - broken) / each;
        let pitch = pitch.clamp(TIGHT * self.height, LOOSE * self.height);
        let (mut items, mut rest) = (Vec::new(), Vec::new());
        let (mut column, mut y) = (0, -HEAD);
        for (kind, lines) in &self.names {
            let high = pitch + WITHIN * self.height * (lines.len() - 1) as f64;
            let low = |column: usize| if column + 1 == columns { foot - room } else { -room };
            while column < columns && y - high < low(column) {
                column += 1;
                y = -HEAD;
            }
            if column == columns {
                rest.push(*kind);
                continue;
            }
            items.extend(self.row(
                shown,
                *kind,
                lines,
                Point::new(wide * column as f64, y),
                (wide, pitch),
            ));
            y -= high;
        }
        for column in 0..columns {
            items.extend(head(wide * column as f64, wide, column == 0));
        }
        if noted {
            let x = wide * (columns.saturating_sub(1)) as f64;
            // Notes are below the rows of the last column.
            let y = if column + 1 >= columns && column < columns { y } else { foot - room };
            items.extend(foot_of(shown, Point::new(x, y), wide, &notes));
        }
        Legend { items, width, rest }
    }

    fn row(
        &self,
        shown: &Shown,
        kind: usize,
        lines: &[String],
        at: Point,
        (wide, pitch): (f64, f64),
    ) -> Vec<Item> {
        let number = Words::heavy(Point::ZERO, self.height, (kind + 1).to_string());
        let count = Words::heavy(Point::ZERO, self.height, shown.kinds[kind].count.to_string());
        let first = -(pitch + self.height) / 2.0;
        let base = |line: usize| first - WITHIN * self.height * line as f64;
        let [numbers, ..] = self.widths;
        let left = at + (INSET + numbers - number.length(), base(0));
        let right = at + (wide - INSET - count.length(), base(0));
        let mut items = vec![
            Item::Words(Words { at: left, ..number }),
            Item::Words(Words { at: right, ..count }),
        ];
        for (i, line) in lines.iter().enumerate() {
            let at = at + (INSET + numbers + CELL, base(i));
            items.push(Item::Words(Words::plain(at, self.height, line)));
        }
        items
    }
}

/// The head of a column at x.
fn head(x: f64, wide: f64, titled: bool) -> Vec<Item> {
    let qty = Words::plain(Point::ZERO, SMALL, "Qty").in_ink(Ink::Grey);
    let at = Point::new(x + wide - INSET - qty.length(), -6.0);
    let mut items = vec![
        Item::Words(Words { at, ..qty }),
        Item::line(Pen::Narrow, Point::new(x, -HEAD + 1.0), Point::new(x + wide, -HEAD + 1.0)),
    ];
    if titled {
        items.push(Item::Words(Words::heavy(Point::new(x + INSET, -6.0), LARGE, "Parts")));
    }
    items
}

/// All pieces, and notes, from a height down.
fn foot_of(shown: &Shown, at: Point, wide: f64, notes: &[(Vec<String>, bool)]) -> Vec<Item> {
    let all = Words::heavy(Point::ZERO, SMALL, shown.pieces.len().to_string());
    let right = at + (wide - INSET - all.length(), -4.6);
    let mut items = vec![
        Item::line(Pen::Narrow, at + (0.0, -0.8), at + (wide, -0.8)),
        Item::Words(Words::plain(at + (INSET, -4.6), SMALL, "pieces")),
        Item::Words(Words { at: right, ..all }),
    ];
    let mut y = -8.0;
    for (lines, heavy) in notes {
        y -= 1.5;
        for line in lines {
            let words = Words::plain(at + (INSET, y - SMALL), SMALL, line);
            items.push(Item::Words(if *heavy { words } else { words.in_ink(Ink::Grey) }));
            y -= PITCH;
        }
    }
    items
}
