//! Blocks onto pages: from top to bottom, over as many pages as they need.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::head::Frame;
use crate::paper::head::Head;
use crate::paper::head::MARGIN;
use crate::paper::piece;
use crate::paper::piece::HEADED;
use crate::paper::piece::HEADING;
use crate::paper::piece::Piece;
use crate::paper::scene::Item;
use crate::paper::scene::Page;
use crate::paper::scene::Pages;
use crate::paper::scene::Words;
use crate::paper::table;
use crate::paper::table::Strip;
use crate::paper::table::Table;

/// Between two blocks, mm.
pub(super) const BETWEEN: f64 = 4.5;
/// Closer ones, for a drawing that would else end on a nearly empty page, mm.
const CLOSER: [f64; 2] = [3.4, 2.4];
/// A page with less on it than this is nearly empty, mm. Our choice.
const SCANT: f64 = 30.0;
/// Least width of paragraphs beside a table, mm. Our choice.
const ASIDE: f64 = 55.0;
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

/// One thing a drawing says.
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

/// The blocks on pages of a size in mm.
///
/// A row or a paragraph is never torn apart, no heading stands alone at the end of a page,
/// and no page ends a drawing with next to nothing on it where that can be helped.
pub fn flow(frame: &Frame, blocks: &[Block], size: [f64; 2]) -> Pages {
    let usual = Flow::laid(frame, blocks, size, BETWEEN, None);
    if !usual.ends_scantly() {
        return usual.finish();
    }
    for between in CLOSER {
        let closer = Flow::laid(frame, blocks, size, between, None);
        if closer.pages.len() < usual.pages.len() {
            return closer.finish();
        }
    }
    // The last page takes along what stands before it.
    let fuller =
        usual.before_last_page().map(|block| Flow::laid(frame, blocks, size, BETWEEN, Some(block)));
    match fuller.filter(|fuller| fuller.pages.len() == usual.pages.len()) {
        Some(fuller) => fuller.finish(),
        None => usual.finish(),
    }
}

/// Where a block begins.
struct Begun {
    /// Its index.
    block: usize,
    /// The index of the page.
    page: usize,
    /// Whether nothing stands above it.
    fresh: bool,
}

struct Flow<'a> {
    frame: &'a Frame,
    size: [f64; 2],
    head: Head,
    pages: Vec<Page>,
    /// How far down the page is still free, mm from its foot.
    top: f64,
    /// Between two blocks, mm.
    between: f64,
    begun: Vec<Begun>,
    /// The page on which the block begins that was begun last.
    start: usize,
    /// The heading that was written last.
    last: String,
}

impl<'a> Flow<'a> {
    fn new(frame: &'a Frame, size: [f64; 2]) -> Self {
        let mut flow = Self {
            frame,
            size,
            head: Head::new(frame, size),
            pages: Vec::new(),
            top: 0.0,
            between: BETWEEN,
            begun: Vec::new(),
            start: 0,
            last: String::new(),
        };
        flow.turn();
        flow
    }

    /// All blocks so far apart; one of them may be made to begin a page.
    fn laid(
        frame: &'a Frame,
        blocks: &[Block],
        size: [f64; 2],
        between: f64,
        turn: Option<usize>,
    ) -> Self {
        let mut flow = Self { between, ..Self::new(frame, size) };
        let mut block = 0;
        while let Some(one) = blocks.get(block) {
            let next = blocks.get(block + 1);
            if turn == Some(block) && !flow.is_fresh() {
                flow.turn();
            }
            let (page, fresh) = (flow.pages.len() - 1, flow.is_fresh());
            let both = next.is_some_and(|next| flow.pair(one, next));
            match one {
                _ if both => {}
                Block::Figures(figures) => flow.figures(figures),
                Block::Table(table) => {
                    let piece = Piece::table(table, flow.width());
                    let note = next.map_or(0.0, |next| flow.note(next));
                    flow.place(&piece, note);
                }
                Block::Lines { heading, lines } => {
                    let piece = Piece::lines(heading, lines, flow.width());
                    flow.place(&piece, 0.0);
                }
            }
            let fresh = fresh || flow.start > page;
            flow.begun.push(Begun { block, page: flow.start, fresh });
            block += if both { 2 } else { 1 };
        }
        flow
    }

    /// What a note takes that belongs to the table before it, mm; nothing for another block.
    fn note(&self, block: &Block) -> f64 {
        match block {
            Block::Lines { heading, lines } if heading.is_empty() => {
                self.between + Piece::lines(heading, lines, self.width()).height()
            }
            _ => 0.0,
        }
    }

    /// Whether the last of several pages is nearly empty.
    fn ends_scantly(&self) -> bool {
        self.pages.len() > 1 && self.ceiling() - self.top - self.between < SCANT
    }

    /// The last block before the last page, where it does not begin its own.
    fn before_last_page(&self) -> Option<usize> {
        let last = self.pages.len() - 1;
        let before = self.begun.iter().rfind(|begun| begun.page < last)?;
        (!before.fresh).then_some(before.block)
    }

    fn width(&self) -> f64 {
        self.size[0] - 2.0 * MARGIN
    }

    fn floor(&self) -> f64 {
        self.head.floor()
    }

    fn ceiling(&self) -> f64 {
        self.head.ceiling()
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
        let min = Point::new(x, self.top);
        if let Some(page) = self.pages.last_mut() {
            page.blocks.push(Bounds { min, max: Point::new(x + width, from) });
        }
    }

    fn heading(&mut self, words: &str, x: f64) {
        for line in piece::heads(words, self.width()) {
            let at = Point::new(x, self.top - HEADING - 0.8);
            self.draw([Item::Words(Words::heavy(at, HEADING, line))]);
            self.top -= HEADED;
        }
    }

    /// What a heading takes, mm.
    fn headed(&self, words: &str) -> f64 {
        HEADED * piece::heads(words, self.width()).len() as f64
    }

    /// Makes room for something so high, and says where it begins.
    fn begin(&mut self, height: f64) {
        self.need(height);
        self.start = self.pages.len() - 1;
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
            self.begin(height + headed);
            let (from, mut x) = (self.top, MARGIN);
            let spare = (self.width() - wide) / count as f64;
            for figure in row {
                self.top = from;
                self.heading(&figure.heading, x);
                let bounds = table::extent(&figure.items);
                let by = (x - bounds.min.x, self.top - bounds.max.y);
                self.draw(figure.items.iter().cloned().map(|item| item.shifted(by)));
                self.top -= height;
                self.close(from, x, figure.width().min(self.width()));
                x += figure.width() + BETWEEN + spare;
                self.last.clone_from(&figure.heading);
            }
            self.top -= self.between;
        }
    }

    /// A short table with another or with paragraphs beside it, where both have room; says
    /// whether they had.
    fn pair(&mut self, left: &Block, right: &Block) -> bool {
        let apart = 2.0 * BETWEEN;
        let Block::Table(table) = left else { return false };
        let left = Piece::table(table, self.width());
        let rest = self.width() - left.natural_width() - apart;
        let right = match right {
            Block::Table(table) => Piece::table(table, self.width()),
            Block::Lines { heading, lines } if rest >= ASIDE => Piece::lines(heading, lines, rest),
            _ => return false,
        };
        // Words without a heading of their own begin beside the table, not beside its heading.
        let headed = [&left, &right].map(|piece| self.headed(&piece.heading)).into_iter();
        let headed = headed.fold(0.0, f64::max);
        let height = headed + left.height().max(right.height());
        let empty = left.strips.is_empty() || right.strips.is_empty();
        if empty || right.natural_width() > rest || height > self.short() {
            return false;
        }
        self.begin(height);
        let (from, mut x, mut lowest) = (self.top, MARGIN, self.top);
        for piece in [&left, &right] {
            let width = piece.natural_width();
            self.top = from;
            self.heading(&piece.heading, x);
            self.top = from - headed;
            for strip in piece.head.iter().chain(&piece.strips) {
                self.strip(strip, x);
            }
            self.close(from, x, width);
            lowest = self.top.min(lowest);
            x += width + apart;
        }
        self.last = if right.heading.is_empty() { left.heading } else { right.heading };
        self.top = lowest - self.between;
        true
    }

    /// Height up to which a block is kept in one piece.
    fn short(&self) -> f64 {
        (self.ceiling() - self.floor()) / 3.0
    }

    /// A table or paragraphs; with a note of some height below where both are short.
    fn place(&mut self, piece: &Piece, note: f64) {
        if piece.strips.is_empty() {
            return;
        }
        let headed = self.headed(&piece.heading);
        let whole = headed + piece.height();
        let kept = [whole + note, whole].into_iter().find(|height| *height <= self.short());
        self.begin(kept.unwrap_or(headed + piece.beginning()));
        let heading = match piece.heading.is_empty() {
            true => self.last.clone(),
            false => piece.heading.clone(),
        };
        let width = piece.natural_width().min(self.width());
        let mut from = self.top;
        if piece.heading.is_empty() && self.is_fresh() && !heading.is_empty() {
            self.heading(&format!("{heading} (continued)"), MARGIN);
        } else {
            self.heading(&piece.heading, MARGIN);
        }
        if let Some(strip) = &piece.head {
            self.strip(strip, MARGIN);
        }
        for strip in &piece.strips {
            if strip.height > self.room() {
                self.close(from, MARGIN, width);
                self.turn();
                from = self.top;
                self.heading(&format!("{heading} (continued)"), MARGIN);
                if let Some(head) = &piece.head {
                    self.strip(head, MARGIN);
                }
            }
            self.strip(strip, MARGIN);
        }
        self.close(from, MARGIN, width);
        self.top -= self.between;
        self.last = heading;
    }

    fn strip(&mut self, strip: &Strip, x: f64) {
        let by = (x, self.top);
        self.draw(strip.items.iter().cloned().map(|item| item.shifted(by)));
        self.top -= strip.height;
    }

    /// The heads and feet, now that the number of pages is known.
    fn finish(mut self) -> Pages {
        let count = self.pages.len();
        for (i, page) in self.pages.iter_mut().enumerate() {
            page.items.splice(0..0, self.head.items(i + 1, count));
        }
        Pages { title: self.frame.name.clone(), size: self.size, pages: self.pages }
    }
}
