//! A table: columns as wide as their words need, long words wrapped.

use crate::geom::Point;
use crate::paper::font;
use crate::paper::font::Weight;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::scene::extent;
use crate::paper::sheet::PITCH;
use crate::paper::sheet::SMALL;
use crate::paper::unit::Unit;
use std::sync::Arc;

/// Between words and the rules beside them, mm.
const INSET: f64 = 1.2;
/// Maximum number of lines of text in one row; longer text continues in a next row. Our choice.
const MAX_LINES: usize = 40;

/// A table no higher than this is not continued in a next column, mm. Our choice: a third of an A4 sheet
/// that lies.
const WHOLE: f64 = 60.0;

/// Maximum number of lines of a head that are tried before cells are wrapped. Our choice.
const HEAD_LINES: usize = 4;

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Words, wrapped where they are too long.
    Words(String),
    /// A drawing, its lower left corner at the origin, at a fixed size.
    Symbol(Vec<Item>),
}

impl<T: Into<String>> From<T> for Cell {
    fn from(words: T) -> Self {
        Self::Words(words.into())
    }
}

/// A table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its text.
    pub heading: String,
    /// The heads of its columns.
    pub heads: Vec<String>,
    /// Its rows, each with a cell for each column.
    pub rows: Vec<Vec<Cell>>,
    /// How often its columns are set side by side, where there is room: 1 for once.
    pub beside: usize,
}

impl Table {
    /// The heads of its columns and its rows in a maximum width in mm, each row with the heads to
    /// repeat where it begins a column of the page; empty for a table without rows.
    pub(super) fn units(&self, width: f64) -> Vec<Unit> {
        if self.rows.is_empty() {
            return Vec::new();
        }
        let room = |table: &Self| table.wants(1) <= width;
        let beside = (2..=self.beside).rev().map(|times| self.set(times)).find(room);
        if let Some(beside) = beside {
            return beside.units(width);
        }
        let columns = self.columns(width);
        let heads: Vec<Cell> = self.heads.iter().map(|h| Cell::Words(h.clone())).collect();
        let head = Arc::new(unit(&heads, &columns, true));
        let rows = self.rows.iter().flat_map(|row| split(row, &columns));
        let rows = rows.map(|row| unit(&row, &columns, false).headed(&head));
        let mut all: Vec<Unit> = std::iter::once(head.leading()).chain(rows).collect();
        let above_last = all.len() - 1;
        if all.iter().map(|row| row.height).sum::<f64>() <= WHOLE {
            all[..above_last].iter_mut().for_each(|row| row.leads = true);
        }
        all
    }

    /// Widths of the columns: as their text needs, else the wide ones reduced to one width.
    fn columns(&self, width: f64) -> Vec<f64> {
        // Heads take as few lines as there is room for beside cells that are not wrapped.
        for lines in 1..=HEAD_LINES {
            let wants = self.wanted(|head| narrowest(head, lines));
            if self.wants(lines) <= width {
                return wants.into_iter().map(|column| column + 2.0 * INSET + 0.01).collect();
            }
        }
        // Heads are wrapped only where the cells need the room.
        let whole = self.shared(width, bold);
        let heads = self.heads.iter().zip(&whole);
        let fits = |(head, column): (&String, &f64)| bold(head, SMALL) + 2.0 * INSET <= *column;
        if heads.into_iter().all(fits) { whole } else { self.shared(width, bold_word) }
    }

    /// The width in which nothing is wrapped but heads, each in a number of lines, mm.
    fn wants(&self, lines: usize) -> f64 {
        let wants = self.wanted(|head| narrowest(head, lines));
        wants.iter().sum::<f64>() + 2.0 * INSET * wants.len() as f64
    }

    /// Its columns so often side by side, the rows one below the other in each.
    fn set(&self, times: usize) -> Self {
        let (down, wide) = (self.rows.len().div_ceil(times), self.heads.len());
        let row = |i: usize| {
            let of = |k: usize| match self.rows.get(k * down + i) {
                Some(row) => row.clone(),
                None => vec![Cell::Words(String::new()); wide],
            };
            (0..times).flat_map(of).collect()
        };
        Self {
            heading: self.heading.clone(),
            heads: (0..times).flat_map(|_| self.heads.clone()).collect(),
            rows: (0..down).map(row).collect(),
            beside: 1,
        }
    }

    /// The width that heads and cells need when they are not wrapped further, mm.
    fn wanted(&self, head_width: impl Fn(&str) -> f64) -> Vec<f64> {
        let mut wants: Vec<f64> = self.heads.iter().map(|head| head_width(head)).collect();
        for (i, cell) in self.rows.iter().flat_map(|row| row.iter().enumerate()) {
            wants[i] = wants[i].max(match cell {
                Cell::Words(words) => font::width(words, SMALL),
                Cell::Symbol(items) => extent(items).width(),
            });
        }
        wants
    }

    fn shared(&self, width: f64, head_width: fn(&str, f64) -> f64) -> Vec<f64> {
        let count = self.heads.len();
        let wants = self.wanted(|head| head_width(head, SMALL));
        let mut needs = vec![0.0_f64; count];
        for (i, head) in self.heads.iter().enumerate() {
            needs[i] = font::min_width_in(Weight::Heavy, head, SMALL);
        }
        for (i, cell) in self.rows.iter().flat_map(|row| row.iter().enumerate()) {
            needs[i] = needs[i].max(match cell {
                Cell::Words(words) => font::min_width(words, SMALL),
                Cell::Symbol(items) => extent(items).width(),
            });
        }
        let room = width - 2.0 * INSET * count as f64;
        // A word of a hundred letters must not use all the width.
        let fair = room / count as f64;
        let total: f64 = needs.iter().sum();
        if total > room {
            for need in &mut needs {
                *need = need.min(fair);
            }
        }
        let at = |limit: f64| -> Vec<f64> {
            let pairs = wants.iter().zip(&needs);
            pairs.map(|(want, need)| want.min(limit.max(*need))).collect()
        };
        // The limit to which the widest are cut down, by halving.
        let (mut low, mut high) = (0.0, room.max(1.0));
        for _ in 0..40 {
            let middle = (low + high) / 2.0;
            if at(middle).iter().sum::<f64>() > room { high = middle } else { low = middle }
        }
        at(low).into_iter().map(|column| column + 2.0 * INSET + 0.01).collect()
    }
}

/// The minimum width in which a head needs no more than this number of lines, mm.
fn narrowest(head: &str, lines: usize) -> f64 {
    let fits = |width: f64| font::wrap_in(Weight::Heavy, head, SMALL, width).len() <= lines;
    let (mut low, mut high) = (bold_word(head, SMALL), bold(head, SMALL));
    if fits(low) {
        return low;
    }
    for _ in 0..20 {
        let middle = f64::midpoint(low, high);
        if fits(middle) { high = middle } else { low = middle }
    }
    high
}

/// Width of the head of a column, mm.
fn bold(words: &str, height: f64) -> f64 {
    font::width_in(Weight::Heavy, words, height)
}

/// Width of its longest word, mm.
fn bold_word(words: &str, height: f64) -> f64 {
    font::min_width_in(Weight::Heavy, words, height)
}

fn lines(cell: &Cell, column: f64, weight: Weight) -> Vec<String> {
    match cell {
        Cell::Words(words) => {
            font::wrap_in(weight, &font::known(words), SMALL, column - 2.0 * INSET)
        }
        Cell::Symbol(_) => Vec::new(),
    }
}

/// A row as several, where its words take too many lines for a page.
fn split(row: &[Cell], columns: &[f64]) -> Vec<Vec<Cell>> {
    let lines: Vec<Vec<String>> =
        row.iter().zip(columns).map(|(c, w)| lines(c, *w, Weight::Plain)).collect();
    let max = lines.iter().map(Vec::len).max().unwrap_or(0);
    if max <= MAX_LINES {
        return vec![row.to_vec()];
    }
    let part = |k: usize| {
        let cells = row.iter().zip(&lines).map(|(cell, lines)| match cell {
            Cell::Symbol(_) if k == 0 => cell.clone(),
            Cell::Symbol(_) => Cell::Words(String::new()),
            Cell::Words(_) => Cell::Words(
                lines
                    .iter()
                    .skip(k * MAX_LINES)
                    .take(MAX_LINES)
                    .cloned()
                    .collect::<Vec<_>>()
                    .join(" "),
            ),
        });
        cells.collect()
    };
    (0..max.div_ceil(MAX_LINES)).map(part).collect()
}

/// The drawing of a row.
fn unit(row: &[Cell], columns: &[f64], heavy: bool) -> Unit {
    let mut items = Vec::new();
    let weight = if heavy { Weight::Heavy } else { Weight::Plain };
    let mut height = PITCH;
    let mut x = 0.0;
    for (cell, column) in row.iter().zip(columns) {
        match cell {
            Cell::Words(_) => {
                let lines = lines(cell, *column, weight);
                for (i, line) in lines.iter().enumerate() {
                    let down = INSET + SMALL + PITCH * i as f64;
                    let words = Words::plain(Point::new(x + INSET, -down), SMALL, line);
                    items.push(Item::Words(if heavy { words.made_heavy() } else { words }));
                }
                height = f64::max(height, PITCH * lines.len() as f64);
            }
            Cell::Symbol(symbol) => {
                let bounds = extent(symbol);
                let by = (x + INSET - bounds.min.x, -INSET - bounds.max.y);
                items.extend(symbol.iter().cloned().map(|item| item.shifted(by)));
                height = f64::max(height, bounds.height());
            }
        }
        x += column;
    }
    height += 2.0 * INSET - (PITCH - SMALL) + 0.7;
    let pen = if heavy { Pen::Narrow } else { Pen::Fine };
    items.push(Item::line(pen, Point::new(0.0, -height), Point::new(x, -height)));
    Unit::picture(height, items)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_side_by_side_where_no_number_is_broken() {
        let row = |i: usize| ["1.12".to_owned(), format!("{i}88.888"), "138.888".to_owned()];
        let table = Table {
            heading: "points".into(),
            heads: vec!["point".into(), "X".into(), "Y".into()],
            rows: (1..=9).map(|i| row(i).map(Cell::Words).to_vec()).collect(),
            beside: 2,
        };
        for (width, rows) in [(50.0, 9), (70.0, 9), (190.0, 5)] {
            let units = table.units(width);
            assert_eq!(units.len(), 1 + rows, "{width}: heads and rows");
            let words = units.iter().flat_map(|unit| &unit.items).filter_map(|item| match item {
                Item::Words(words) => Some(words.text.clone()),
                _ => None,
            });
            let words: Vec<String> = words.collect();
            for number in (1..=9).flat_map(row) {
                assert!(words.contains(&number), "{number} is broken in {width}: {words:?}");
            }
        }
    }

    #[test]
    fn columns_keep_within_the_width_whatever_stands_in_them() {
        let long = "a-word-without-any-end-".repeat(12);
        let table = Table {
            heading: "sizes".into(),
            heads: vec!["one".into(), "two of them".into(), "three".into()],
            rows: vec![vec![long.clone().into(), "4".into(), long.into()]],
            beside: 1,
        };
        for width in [60.0, 186.0] {
            let units = table.units(width);
            let [head, rows @ ..] = units.as_slice() else { panic!("there are no heads") };
            let heads = extent(&head.items);
            assert!(heads.max.x <= width + 0.1, "{heads:?} of {width}");
            assert!(!rows.is_empty());
            for row in rows {
                let bounds = extent(&row.items);
                assert!(bounds.max.x <= width + 0.1 && bounds.min.y >= -row.height - 0.01);
            }
        }
    }
}
