//! The tiling of a drawing over several pages, and how they are joined.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::scene;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::template::measures::COLUMN;
use crate::paper::template::measures::HEIGHT;
use crate::paper::template::measures::MARGIN;

/// How far neighbouring pages show the same, mm.
const OVERLAP: f64 = 12.0;
/// Maximum size of the picture of all pages: width and height, mm.
pub(super) const MAP: [f64; 2] = [42.0, 26.0];
/// Maximum size of a page in it, mm.
const CELL: f64 = 9.0;
/// Length of a crop mark, and height of the words between two, mm.
const CROP: f64 = 2.5;
const NEXT: f64 = 1.8;

/// How many pages, and what of the drawing each shows.
pub(super) struct Tiling {
    pub(super) page: [f64; 2],
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Room for words at the foot of each page, mm.
    pub(super) strip: f64,
    /// Lower left corner of the first window, in the drawing.
    from: Point,
    window: [f64; 2],
}

impl Tiling {
    /// Pages of a size over a drawing, with a height for text at the foot of each.
    pub(super) fn new(bounds: Bounds, page: [f64; 2], strip: f64) -> Self {
        let window = [page[0] - 2.0 * MARGIN - COLUMN, page[1] - 2.0 * MARGIN - strip];
        let count = |size: f64, window: f64| match size <= window {
            true => 1,
            false => ((size - OVERLAP) / (window - OVERLAP)).ceil() as usize,
        };
        let columns = count(bounds.width(), window[0]);
        let rows = count(bounds.height(), window[1]);
        let whole = |count: usize, window: f64| count as f64 * (window - OVERLAP) + OVERLAP;
        // In the centre of the area of the pages.
        let from =
            bounds.centre() - (whole(columns, window[0]) / 2.0, whole(rows, window[1]) / 2.0);
        Self { page, columns, rows, strip, from, window }
    }

    pub(super) fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The window on the page.
    pub(super) fn window(&self) -> Bounds {
        let min = Point::new(MARGIN, MARGIN + self.strip);
        Bounds { min, max: min + (self.window[0], self.window[1]) }
    }

    /// What of the drawing a page shows.
    pub(super) fn window_of(&self, (column, row): (usize, usize)) -> Bounds {
        let step = |i: usize, window: f64| i as f64 * (window - OVERLAP);
        let min = self.from + (step(column, self.window[0]), step(row, self.window[1]));
        Bounds { min, max: min + (self.window[0], self.window[1]) }
    }

    /// Where two pages show the same, in the drawing.
    pub(super) fn seams(&self) -> Vec<Bounds> {
        let far = 1e6;
        let columns = (1..self.columns).map(|i| {
            let [before, after] = [i - 1, i].map(|column| self.window_of((column, 0)));
            Bounds { min: Point::new(after.min.x, -far), max: Point::new(before.max.x, far) }
        });
        let rows = (1..self.rows).map(|i| {
            let [before, after] = [i - 1, i].map(|row| self.window_of((0, row)));
            Bounds { min: Point::new(-far, after.min.y), max: Point::new(far, before.max.y) }
        });
        columns.chain(rows).collect()
    }

    /// The lines along which a page is joined to its neighbours, crop marks at their ends, and
    /// which page comes there.
    pub(super) fn joins(
        &self,
        (column, row): (usize, usize),
        tiles: &[(usize, usize)],
    ) -> Vec<Item> {
        let Bounds { min, max } = self.window();
        let half = OVERLAP / 2.0;
        let corners = |a: (f64, f64), b: (f64, f64)| [Point::from(a), Point::from(b)];
        let (left, right) = (min.x + half, max.x - half);
        let (foot, head) = (min.y + half, max.y - half);
        // The neighbour, the line towards it, and the way out of the page.
        let sides = [
            (
                column.checked_sub(1).map(|c| (c, row)),
                corners((left, min.y), (left, max.y)),
                Vec2::new(-1.0, 0.0),
            ),
            (Some((column + 1, row)), corners((right, min.y), (right, max.y)), Vec2::new(1.0, 0.0)),
            (
                row.checked_sub(1).map(|r| (column, r)),
                corners((min.x, foot), (max.x, foot)),
                Vec2::new(0.0, -1.0),
            ),
            (Some((column, row + 1)), corners((min.x, head), (max.x, head)), Vec2::new(0.0, 1.0)),
        ];
        let mut items = Vec::new();
        for (neighbour, [from, to], out) in sides {
            let number = neighbour.and_then(|n| tiles.iter().position(|t| *t == n));
            let Some(number) = number else { continue };
            let along = (to - from).normalize();
            items.push(Item::line(Pen::Chain, from, to));
            for (end, way) in [(from, -along), (to, along)] {
                items.push(Item::line(Pen::Narrow, end, end + way * CROP));
            }
            let words = format!("join page {} here", number + 1);
            let words = Words::plain(Point::ZERO, NEXT, words);
            let words = if out.x == 0.0 { words } else { words.upward() };
            let centre = from.midpoint(to) + out * (half + NEXT);
            items.push(Item::Words(words.centred(centre)));
        }
        items
    }

    /// A small picture of all pages with one filled; empty for a single page.
    pub(super) fn map(&self, tile: (usize, usize), tiles: &[(usize, usize)]) -> Vec<Item> {
        if tiles.len() < 2 {
            return Vec::new();
        }
        let right = self.page[0] - MARGIN;
        let (columns, rows) = (self.columns as f64, self.rows as f64);
        let cell = (MAP[1] / rows).min(MAP[0] / columns).min(CELL);
        let left = right - columns * cell;
        let foot = MARGIN + 2.0;
        let mut items = Vec::new();
        for row in 0..self.rows {
            for column in 0..self.columns {
                let min = Point::new(left + column as f64 * cell, foot + row as f64 * cell);
                let bounds = Bounds { min, max: min + (cell, cell) };
                let tone = if (column, row) == tile { 0.75 } else { 1.0 };
                items.push(Item::Fill(tone, vec![scene::outline(bounds)]));
                items.push(Item::frame(Pen::Narrow, bounds));
                if let Some(number) = tiles.iter().position(|t| *t == (column, row)) {
                    let height = (cell * 0.4).min(HEIGHT);
                    let words = Words::plain(Point::ZERO, height, format!("{}", number + 1));
                    items.push(Item::Words(words.centred(bounds.centre())));
                }
            }
        }
        items
    }
}
