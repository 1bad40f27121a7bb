//! A paper template at 1:1: printed, checked by its bars, joined, glued on and followed
//! with punch and saw.
//!
//! What is larger than a page goes over several that overlap; the line in the middle of
//! each overlap stands on both pages, so that they are laid line on line.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::Item;
use crate::paper::Page;
use crate::paper::Paper;
use crate::paper::Pen;
use crate::paper::Spot;
use crate::paper::Words;
use crate::paper::clear::Clear;
use crate::paper::font;
use crate::quantity::MM_PER_INCH;

/// Blank rim of a page, mm: what common printers cannot reach, and more.
pub(super) const RIM: f64 = 12.0;
/// How far neighbouring pages show the same, mm.
pub(super) const OVERLAP: f64 = 12.0;
/// Room at the foot of a page for the bars, the map and the words, mm.
const STRIP: f64 = 38.0;
/// Room at the right of a page for the upright bar, mm.
const COLUMN: f64 = 11.0;
/// Thickness of a bar, mm.
const BAR: f64 = 2.0;
/// Height of capitals, mm.
const HEIGHT: f64 = 2.5;
/// Arms of the cross at a middle, mm, and radius of the circle round it.
const CROSS: (f64, f64) = (4.0, 1.5);

/// What is printed at true size.
#[derive(Clone, Debug, Default)]
pub struct Template {
    /// Name of the part.
    pub name: String,
    /// What it is and how it is used, a sentence each.
    pub about: Vec<String>,
    /// Lines to cut along, mm.
    pub cuts: Vec<Vec<Edge>>,
    /// Lines to bend along, with what is said beside them.
    pub bends: Vec<(Edge, String)>,
    /// Lines that are scribed or only followed by the eye.
    pub marks: Vec<Vec<Edge>>,
    /// Words and where they start.
    pub words: Vec<(Point, String)>,
    /// Holes whose middles are punched.
    pub punches: Vec<Spot>,
}

/// How many pages, and what of the drawing each shows.
struct Tiling {
    page: [f64; 2],
    columns: usize,
    rows: usize,
    /// Lower left corner of the first window, in the drawing.
    from: Point,
    window: [f64; 2],
}

impl Template {
    /// The template on pages of a size in mm, upright or on their sides, whichever takes fewer.
    pub fn paper(&self, size: [f64; 2]) -> Paper {
        let (drawing, bounds) = self.drawing();
        let upright = Tiling::new(bounds, size);
        let level = Tiling::new(bounds, [size[1], size[0]]);
        let tiling = if level.count() < upright.count() { level } else { upright };
        let shows = |tile: &(usize, usize)| {
            let window = tiling.window_of(*tile);
            drawing.iter().any(|item| touches(item, &window))
        };
        let all = (0..tiling.rows).flat_map(|row| (0..tiling.columns).map(move |c| (c, row)));
        let tiles: Vec<(usize, usize)> = all.filter(shows).collect();
        let page = |(i, _)| self.page(&tiling, &drawing, &tiles, i);
        let pages = tiles.iter().enumerate().map(page).collect();
        Paper { title: format!("{}, template 1:1", self.name), size: tiling.page, pages }
    }

    /// Everything at true size, and the rectangle round it.
    fn drawing(&self) -> (Vec<Item>, Bounds) {
        let everywhere = Bounds {
            least: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
            most: Point::new(f64::INFINITY, f64::INFINITY),
        };
        let mut clear = Clear::new(everywhere);
        for cut in &self.cuts {
            clear.draw(Item::Line(Pen::Narrow, cut.clone()));
        }
        for mark in &self.marks {
            clear.draw(Item::Line(Pen::Fine, mark.clone()));
        }
        for (line, _) in &self.bends {
            clear.draw(Item::Line(Pen::Dashed, vec![*line]));
        }
        for Spot { at, .. } in &self.punches {
            let (arm, radius) = CROSS;
            for way in [(arm, 0.0), (0.0, arm)] {
                clear.draw(Item::line(Pen::Fine, *at - way, *at + way));
            }
            let (left, right) = (*at - (radius, 0.0), *at + (radius, 0.0));
            let round = [(left, right), (right, left)];
            let round = round.map(|(from, to)| Edge { from, to, bulge: 1.0 });
            clear.draw(Item::Line(Pen::Fine, round.to_vec()));
        }
        let solid = clear.items.iter().fold(Bounds::EMPTY, |b, item| b.and(item.bounds()));
        for (line, words) in &self.bends {
            along(&mut clear, line, words);
        }
        for (at, words) in &self.words {
            let words = Words::plain(*at, HEIGHT, words);
            if !clear.put(words.clone()) {
                clear.label(*at, 0.5, &words);
            }
        }
        for spot in &self.punches {
            let bounds = spot.outline.bounds();
            let round = (bounds.width().min(bounds.height()) / 2.0).max(CROSS.0);
            clear.label(spot.at, round, &Words::heavy(Point::ZERO, HEIGHT, &spot.label));
        }
        // Words may reach a little over the rim, but not so far that they take a page more.
        let solid = if self.cuts.is_empty() { solid.with(Point::ZERO) } else { solid };
        (clear.items, solid.grown(1.0))
    }

    fn page(&self, tiling: &Tiling, drawing: &[Item], tiles: &[(usize, usize)], i: usize) -> Page {
        let tile = tiles[i];
        let [width, height] = tiling.page;
        let (seen, paper) = (tiling.window_of(tile), tiling.window());
        let by = (paper.least.x - seen.least.x, paper.least.y - seen.least.y);
        let inside = drawing.iter().filter(|item| touches(item, &seen));
        let shown: Vec<Item> = inside.map(|item| item.clone().shifted(by)).collect();
        let mut items = vec![Item::Window(paper, shown)];
        items.extend(tiling.joins(tile, tiles));
        let mut strip = Clear::new(Bounds { least: Point::ZERO, most: Point::new(width, height) });
        bars(&mut strip);
        upright_bar(&mut strip, width);
        let map = tiling.map(&mut strip, tile, tiles);
        let mut y = RIM + STRIP - 8.0;
        let room = map - RIM - 4.0;
        let title = format!("{}, page {} of {}", self.name, i + 1, tiles.len());
        for (words, height) in std::iter::once((title, 3.2))
            .chain(self.about.iter().map(|line| (line.clone(), HEIGHT)))
        {
            for line in font::wrap(&font::known(&words), height, room) {
                if y < RIM + 11.0 {
                    break;
                }
                let at = Point::new(RIM, y);
                let line = Words::plain(at, height, line);
                strip.draw(Item::Words(if height > HEIGHT { line.as_heavy() } else { line }));
                y -= height * 1.5;
            }
        }
        items.extend(strip.items);
        let foot = Bounds {
            least: Point::new(RIM, RIM),
            most: Point::new(width - RIM, RIM + STRIP - 2.0),
        };
        Page { items, blocks: vec![paper, foot] }
    }
}

/// Whether an item may be seen in a window.
fn touches(item: &Item, window: &Bounds) -> bool {
    let near = |edge: &Edge| edge.bounds().grown(0.2).distance(window) == 0.0;
    match item {
        Item::Line(_, edges) => edges.iter().any(|e| near(e) && runs_in(e, window)),
        other => other.bounds().distance(window) == 0.0,
    }
}

/// Whether an edge runs into a window.
fn runs_in(edge: &Edge, window: &Bounds) -> bool {
    const PIECES: usize = 24;
    let at = |i: usize| edge.point_at(i as f64 / PIECES as f64);
    let pieces = if edge.is_line() { 1 } else { PIECES };
    let at = |i: usize| if pieces == 1 { [edge.from, edge.to][i] } else { at(i) };
    (0..pieces).any(|i| crate::paper::clear::crosses(&[at(i), at(i + 1)], &window.grown(0.5)))
}

/// Words along a line where there is room, else near it.
fn along(clear: &mut Clear, line: &Edge, words: &str) {
    let words = Words::plain(Point::ZERO, HEIGHT, words);
    let upright = (line.from.x - line.to.x).abs() < 1e-6;
    let (turned, off) = match upright {
        true => (words.clone().upward(), (2.4, 0.0)),
        false => (words.clone(), (0.0, 2.4)),
    };
    let level = (line.from.y - line.to.y).abs() < 1e-6;
    let placed = (upright || level)
        && [0.5, 0.25, 0.75].iter().any(|share| {
            let middle = line.point_at(*share);
            clear.put_middle(middle - off, &turned) || clear.put_middle(middle + off, &turned)
        });
    if !placed {
        clear.label(line.point_at(0.5), 0.5, &words);
    }
}

impl Tiling {
    fn new(bounds: Bounds, page: [f64; 2]) -> Self {
        let window = [page[0] - 2.0 * RIM - COLUMN, page[1] - 2.0 * RIM - STRIP];
        let count = |size: f64, window: f64| match size <= window {
            true => 1,
            false => ((size - OVERLAP) / (window - OVERLAP)).ceil() as usize,
        };
        let columns = count(bounds.width(), window[0]);
        let rows = count(bounds.height(), window[1]);
        let whole = |count: usize, window: f64| count as f64 * (window - OVERLAP) + OVERLAP;
        // In the middle of what the pages cover.
        let from =
            bounds.centre() - (whole(columns, window[0]) / 2.0, whole(rows, window[1]) / 2.0);
        Self { page, columns, rows, from, window }
    }

    fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The window on the page.
    fn window(&self) -> Bounds {
        let least = Point::new(RIM, RIM + STRIP);
        Bounds { least, most: least + (self.window[0], self.window[1]) }
    }

    /// What of the drawing a page shows.
    fn window_of(&self, (column, row): (usize, usize)) -> Bounds {
        let step = |i: usize, window: f64| i as f64 * (window - OVERLAP);
        let least = self.from + (step(column, self.window[0]), step(row, self.window[1]));
        Bounds { least, most: least + (self.window[0], self.window[1]) }
    }

    /// The lines along which a page is joined to its neighbours, and crop marks at their ends.
    fn joins(&self, (column, row): (usize, usize), tiles: &[(usize, usize)]) -> Vec<Item> {
        let window = self.window();
        let mut items = Vec::new();
        let number = |c: Option<usize>, r: Option<usize>| {
            let tile = (c?, r?);
            tiles.iter().position(|t| *t == tile).map(|i| i + 1)
        };
        let (c, r) = (Some(column), Some(row));
        let half = OVERLAP / 2.0;
        let Bounds { least, most } = window;
        let sides = [
            (
                number(column.checked_sub(1), r),
                [Point::new(least.x + half, least.y), Point::new(least.x + half, most.y)],
            ),
            (
                number(Some(column + 1), r),
                [Point::new(most.x - half, least.y), Point::new(most.x - half, most.y)],
            ),
            (
                number(c, row.checked_sub(1)),
                [Point::new(least.x, least.y + half), Point::new(most.x, least.y + half)],
            ),
            (
                number(c, Some(row + 1)),
                [Point::new(least.x, most.y - half), Point::new(most.x, most.y - half)],
            ),
        ];
        for (neighbour, [from, to]) in sides {
            if neighbour.is_none() {
                continue;
            }
            let along = (to - from).normalize();
            items.push(Item::line(Pen::Chain, from, to));
            for (end, way) in [(from, -along), (to, along)] {
                items.push(Item::line(Pen::Narrow, end, end + way * 2.5));
            }
        }
        items
    }

    /// A small picture of all pages with this one filled; gives the left end of its room.
    fn map(&self, clear: &mut Clear, tile: (usize, usize), tiles: &[(usize, usize)]) -> f64 {
        let right = self.page[0] - RIM;
        let (columns, rows) = (self.columns as f64, self.rows as f64);
        let cell = (26.0 / rows).min(42.0 / columns).min(9.0);
        let left = right - columns * cell;
        let foot = RIM + 2.0;
        for row in 0..self.rows {
            for column in 0..self.columns {
                let least = Point::new(left + column as f64 * cell, foot + row as f64 * cell);
                let bounds = Bounds { least, most: least + (cell, cell) };
                let number = tiles.iter().position(|t| *t == (column, row));
                let tone = if (column, row) == tile { 0.75 } else { 1.0 };
                clear.items.push(Item::Fill(tone, vec![crate::paper::scene::rim(bounds)]));
                clear.items.push(Item::frame(Pen::Narrow, bounds));
                if let Some(number) = number {
                    let height = (cell * 0.4).min(HEIGHT);
                    let words = Words::plain(Point::ZERO, height, format!("{}", number + 1));
                    let at = crate::paper::clear::start(bounds.centre(), &words);
                    clear.items.push(Item::Words(Words { at, ..words }));
                }
            }
        }
        left
    }
}

/// The level bars of 100 mm and 4 in, from the corner of the rim.
fn bars(clear: &mut Clear) {
    let inches = 4.0 * MM_PER_INCH;
    for (length, step, y, words) in
        [(100.0, 10.0, RIM, "100 mm"), (inches, MM_PER_INCH, RIM + 5.0, "4 in")]
    {
        let least = Point::new(RIM, y);
        bar(clear, least, (length, BAR), step);
        let at = least + (length + 2.0, 0.0);
        clear.draw(Item::Words(Words::plain(at, HEIGHT, words)));
    }
}

/// One of 100 mm that stands, for printers that are true in one direction only.
fn upright_bar(clear: &mut Clear, width: f64) {
    let least = Point::new(width - RIM - BAR, RIM + STRIP);
    bar(clear, least, (BAR, 100.0), 10.0);
    let at = least + (BAR, 102.0);
    clear.draw(Item::Words(Words::plain(at, HEIGHT, "100 mm").upward()));
}

/// A black bar with white ticks in its upper or left half.
fn bar(clear: &mut Clear, least: Point, (width, height): (f64, f64), step: f64) {
    let most = least + (width, height);
    clear.draw(Item::Fill(0.0, vec![crate::paper::scene::rim(Bounds { least, most })]));
    let level = width > height;
    let count = (width.max(height) / step - 0.5) as usize;
    for i in 1..=count {
        let along = i as f64 * step;
        let (from, to) = match level {
            true => (least + (along - 0.15, height / 2.0), least + (along + 0.15, height)),
            false => (least + (0.0, along - 0.15), least + (width / 2.0, along + 0.15)),
        };
        clear.items.push(Item::Fill(
            1.0,
            vec![crate::paper::scene::rim(Bounds { least: from, most: to })],
        ));
    }
}
