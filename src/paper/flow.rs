//! Blocks onto pages: from top to bottom, over as many pages as they need.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::Item;
use crate::paper::Page;
use crate::paper::Paper;
use crate::paper::Pen;
use crate::paper::Table;
use crate::paper::Words;
use crate::paper::font;
use crate::paper::table;
use crate::paper::table::Grid;
use crate::paper::table::Strip;

/// Blank rim of a page, mm: what common printers cannot reach, and room for a clip.
pub(super) const RIM: f64 = 12.0;
/// Between two blocks, mm.
pub(super) const BETWEEN: f64 = 4.5;
/// Height of capitals in headings, mm.
const HEADING: f64 = 3.2;
/// What a heading takes, mm.
const HEADED: f64 = 6.4;
/// Heights that are tried for a name, mm.
const NAMES: [f64; 3] = [6.0, 5.0, 4.0];
/// Height of capitals in the last lines of a page, mm.
const FOOT: f64 = 2.0;

/// A drawing that is ready, anywhere in its own coordinates.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it shows.
    pub heading: String,
    /// Its lines and words.
    pub items: Vec<Item>,
}

impl Figure {
    /// What it takes with its heading, mm.
    pub fn width(&self) -> f64 {
        let words = Words::heavy(Point::ZERO, HEADING, &self.heading).length();
        f64::max(table::extent(&self.items).width(), words)
    }
}

/// One thing a paper says.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// Drawings, side by side where they fit.
    Figures(Vec<Figure>),
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

/// The blocks on pages of a size in mm.
pub fn flow(frame: &Frame, blocks: &[Block], size: [f64; 2]) -> Paper {
    let mut flow = Flow::new(frame, size);
    let mut rest = blocks;
    while let Some((block, others)) = rest.split_first() {
        rest = others;
        match (block, others.first()) {
            (Block::Table(left), Some(Block::Table(right))) if flow.pair(left, right) => {
                rest = &others[1..];
            }
            (Block::Figures(figures), _) => flow.figures(figures),
            (Block::Table(table), _) => flow.table(table),
            (Block::Lines { heading, lines }, _) => flow.lines(heading, lines),
        }
    }
    flow.finish()
}

struct Flow<'a> {
    frame: &'a Frame,
    size: [f64; 2],
    /// Lines of the name, and their height.
    name: (Vec<String>, f64),
    about: Vec<String>,
    foot: Vec<String>,
    pages: Vec<Page>,
    /// How far down the page is still free, mm from its foot.
    top: f64,
}

impl<'a> Flow<'a> {
    fn new(frame: &'a Frame, size: [f64; 2]) -> Self {
        // Room for the number of the page beside the name.
        let room = size[0] - 2.0 * RIM - 32.0;
        let known = font::known(&frame.name);
        let fits = NAMES.into_iter().find(|h| font::width(&known, *h) <= room);
        let height = fits.unwrap_or(NAMES[NAMES.len() - 1]);
        let name = (font::wrap(&known, height, room), height);
        let wide = size[0] - 2.0 * RIM;
        let about = font::wrap(&font::known(&frame.about), table::HEIGHT, wide);
        let foot = font::wrap(&font::known(&frame.foot), FOOT, wide);
        let mut flow = Self { frame, size, name, about, foot, pages: Vec::new(), top: 0.0 };
        flow.turn();
        flow
    }

    fn width(&self) -> f64 {
        self.size[0] - 2.0 * RIM
    }

    /// Where the last line above the foot is, mm from the foot of the page.
    fn floor(&self) -> f64 {
        RIM + self.foot.len() as f64 * FOOT * 1.6 + 3.0
    }

    /// Where the first block begins on a fresh page.
    fn ceiling(&self) -> f64 {
        let (lines, height) = &self.name;
        let about = self.about.len() as f64 * table::PITCH;
        self.size[1] - RIM - height * 1.45 * lines.len() as f64 - about - 4.5
    }

    /// A new page.
    fn turn(&mut self) {
        self.pages.push(Page::default());
        self.top = self.ceiling();
    }

    fn room(&self) -> f64 {
        self.top - self.floor()
    }

    fn is_fresh(&self) -> bool {
        self.pages.last().is_some_and(|page| page.blocks.is_empty())
    }

    /// Makes sure that something so high fits; a page that is fresh cannot give more.
    fn need(&mut self, height: f64) {
        if height > self.room() && !self.is_fresh() {
            self.turn();
        }
    }

    fn draw(&mut self, items: impl IntoIterator<Item = Item>) {
        if let Some(page) = self.pages.last_mut() {
            page.items.extend(items);
        }
    }

    /// Marks what lies between here and a height as one block.
    fn close(&mut self, from: f64, x: f64, width: f64) {
        let least = Point::new(x, self.top);
        if let Some(page) = self.pages.last_mut() {
            page.blocks.push(Bounds { least, most: Point::new(x + width, from) });
        }
    }

    fn heading(&mut self, words: &str, x: f64) {
        for line in self.heads(words) {
            let at = Point::new(x, self.top - HEADING - 0.8);
            self.draw([Item::Words(Words::heavy(at, HEADING, line))]);
            self.top -= HEADED;
        }
    }

    /// The lines of a heading.
    fn heads(&self, words: &str) -> Vec<String> {
        match words.is_empty() {
            true => Vec::new(),
            false => font::wrap(&font::known(words), HEADING, self.width()),
        }
    }

    /// What a heading takes, mm.
    fn headed(&self, words: &str) -> f64 {
        HEADED * self.heads(words).len() as f64
    }

    fn figures(&mut self, figures: &[Figure]) {
        let mut rest = figures;
        while let Some(first) = rest.first() {
            // As many as stand side by side.
            let mut wide = first.width();
            let mut count = 1;
            while let Some(next) = rest.get(count) {
                if wide + BETWEEN + next.width() > self.width() {
                    break;
                }
                wide += BETWEEN + next.width();
                count += 1;
            }
            let (row, others) = rest.split_at(count);
            rest = others;
            let height = row.iter().map(|f| table::extent(&f.items).height()).fold(0.0, f64::max);
            let headed = row.iter().map(|f| self.headed(&f.heading)).fold(0.0, f64::max);
            self.need(height + headed);
            let (from, mut x) = (self.top, RIM);
            let spare = (self.width() - wide) / count as f64;
            for figure in row {
                self.top = from;
                self.heading(&figure.heading, x);
                let bounds = table::extent(&figure.items);
                let by = (x - bounds.least.x, self.top - bounds.most.y);
                self.draw(figure.items.iter().cloned().map(|item| item.shifted(by)));
                self.top -= height;
                self.close(from, x, figure.width().min(self.width()));
                x += figure.width() + BETWEEN + spare;
            }
            self.top -= BETWEEN;
        }
    }

    /// Two short tables beside each other, where both have room; says whether they had.
    fn pair(&mut self, left: &Table, right: &Table) -> bool {
        let grids = [left, right].map(|table| (table, table.grid(self.width())));
        let widths = grids.each_ref().map(|(table, grid)| {
            grid.width.max(Words::heavy(Point::ZERO, HEADING, &table.heading).length())
        });
        let apart = 2.0 * BETWEEN;
        let height = |(table, grid): &(&Table, Grid)| self.headed(&table.heading) + grid.height();
        let height = grids.iter().map(height).fold(0.0, f64::max);
        let empty = left.rows.is_empty() || right.rows.is_empty();
        if empty || widths[0] + apart + widths[1] > self.width() || height > self.short() {
            return false;
        }
        self.need(height);
        let (from, mut x, mut lowest) = (self.top, RIM, self.top);
        for ((table, grid), width) in grids.iter().zip(widths) {
            self.top = from;
            self.heading(&table.heading, x);
            for strip in std::iter::once(&grid.head).chain(&grid.rows) {
                self.strip(strip, x);
            }
            self.close(from, x, width);
            lowest = self.top.min(lowest);
            x += width + apart;
        }
        self.top = lowest - BETWEEN;
        true
    }

    /// Height up to which a table is kept in one piece.
    fn short(&self) -> f64 {
        (self.ceiling() - self.floor()) / 3.0
    }

    fn table(&mut self, table: &Table) {
        if table.rows.is_empty() {
            return;
        }
        let grid = table.grid(self.width());
        let first = grid.rows.first().map_or(0.0, |row| row.height);
        // A short table is not torn apart.
        let headed = self.headed(&table.heading);
        let whole = headed + grid.height();
        self.need(if whole <= self.short() { whole } else { headed + grid.head.height + first });
        let mut from = self.top;
        self.heading(&table.heading, RIM);
        self.strip(&grid.head, RIM);
        for row in &grid.rows {
            if row.height > self.room() {
                self.close(from, RIM, grid.width);
                self.turn();
                from = self.top;
                self.heading(&format!("{} (continued)", table.heading), RIM);
                self.strip(&grid.head, RIM);
            }
            self.strip(row, RIM);
        }
        self.close(from, RIM, grid.width);
        self.top -= BETWEEN;
    }

    fn strip(&mut self, strip: &Strip, x: f64) {
        let by = (x, self.top);
        self.draw(strip.items.iter().cloned().map(|item| item.shifted(by)));
        self.top -= strip.height;
    }

    fn lines(&mut self, heading: &str, lines: &[String]) {
        let width = self.width();
        let wrapped: Vec<Vec<String>> =
            lines.iter().map(|line| font::wrap(&font::known(line), table::HEIGHT, width)).collect();
        let count: usize = wrapped.iter().map(Vec::len).sum();
        if count == 0 {
            return;
        }
        let headed = self.headed(heading);
        let together = count.min(4) as f64;
        self.need(headed + table::PITCH * together);
        let mut from = self.top;
        self.heading(heading, RIM);
        for line in wrapped.into_iter().flatten() {
            if table::PITCH > self.room() {
                self.close(from, RIM, width);
                self.turn();
                from = self.top;
            }
            let at = Point::new(RIM, self.top - table::HEIGHT - 0.4);
            self.draw([Item::Words(Words::plain(at, table::HEIGHT, line))]);
            self.top -= table::PITCH;
        }
        self.close(from, RIM, width);
        self.top -= BETWEEN;
    }

    /// The heads and feet, now that the number of pages is known.
    fn finish(mut self) -> Paper {
        let count = self.pages.len();
        let [width, height] = self.size;
        let (lines, large) = &self.name;
        for (i, page) in self.pages.iter_mut().enumerate() {
            let mut items = Vec::new();
            let mut y = height - RIM - large;
            for line in lines {
                items.push(Item::Words(Words::heavy(Point::new(RIM, y), *large, line)));
                y -= large * 1.45;
            }
            let number = Words::plain(Point::ZERO, 3.0, format!("page {} of {count}", i + 1));
            let at = Point::new(width - RIM - number.length(), height - RIM - large);
            items.push(Item::Words(Words { at, ..number }));
            y += large * 1.45 - table::PITCH - 1.0;
            for line in &self.about {
                items.push(Item::Words(Words::plain(Point::new(RIM, y), table::HEIGHT, line)));
                y -= table::PITCH;
            }
            let rule = y + table::PITCH - 1.6;
            items.push(Item::line(Pen::Wide, Point::new(RIM, rule), Point::new(width - RIM, rule)));
            let mut y = RIM + (self.foot.len() as f64 - 1.0) * FOOT * 1.6 + 0.6;
            for line in &self.foot {
                items.push(Item::Words(Words::plain(Point::new(RIM, y), FOOT, line)));
                y -= FOOT * 1.6;
            }
            items.append(&mut page.items);
            page.items = items;
        }
        Paper { title: self.frame.name.clone(), size: self.size, pages: self.pages }
    }
}
