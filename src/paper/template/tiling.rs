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

/// What is nearer to a join than this is cut by it, mm.
const CUT: f64 = 1.0;
/// Steps in which places for a join are tried, mm.
const STEP: f64 = 0.5;

/// How many pages, and what of the drawing each shows.
pub(super) struct Tiling {
    pub(super) page: [f64; 2],
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Room for words at the foot of each page, mm.
    pub(super) strip: f64,
    /// The drawing.
    bounds: Bounds,
    /// What a page shows at most, mm.
    window: [f64; 2],
    /// Where columns, and where rows are joined, in the drawing.
    joins: [Vec<f64>; 2],
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
        // In the centre of the area of the pages.
        let even = |count: usize, window: f64, centre: f64| -> Vec<f64> {
            let at = |i: usize| (i as f64 - count as f64 / 2.0) * (window - OVERLAP);
            (1..count).map(|i| centre + at(i)).collect()
        };
        let centre = bounds.centre();
        let joins = [even(columns, window[0], centre.x), even(rows, window[1], centre.y)];
        Self { page, columns, rows, strip, bounds, window, joins }
    }

    /// The same pages, joined where the fewest of some things are cut, and near where they were.
    pub(super) fn clear_of(self, things: &[Bounds]) -> Self {
        let across: Vec<[f64; 2]> = things.iter().map(|b| [b.min.x, b.max.x]).collect();
        let up: Vec<[f64; 2]> = things.iter().map(|b| [b.min.y, b.max.y]).collect();
        let Bounds { min, max } = self.bounds;
        let joins = [
            joined(&self.joins[0], [min.x, max.x], self.window[0], &across),
            joined(&self.joins[1], [min.y, max.y], self.window[1], &up),
        ];
        Self { joins, ..self }
    }

    pub(super) fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The window on the page, of what a page shows.
    pub(super) fn window(&self, tile: (usize, usize)) -> Bounds {
        let min = Point::new(MARGIN, MARGIN + self.strip);
        let shown = self.window_of(tile);
        Bounds { min, max: min + (shown.width(), shown.height()) }
    }

    /// From where to where a column or row shows the drawing.
    fn shown(&self, axis: usize, i: usize, centre: f64) -> [f64; 2] {
        let (joins, window) = (&self.joins[axis], self.window[axis]);
        let before = i.checked_sub(1).map(|before| joins[before] - OVERLAP / 2.0);
        let after = joins.get(i).map(|join| join + OVERLAP / 2.0);
        match (before, after) {
            (Some(from), Some(to)) => [from, to],
            (Some(from), None) => [from, from + window],
            (None, Some(to)) => [to - window, to],
            (None, None) => [centre - window / 2.0, centre + window / 2.0],
        }
    }

    /// What of the drawing a page shows.
    pub(super) fn window_of(&self, (column, row): (usize, usize)) -> Bounds {
        let centre = self.bounds.centre();
        let [left, right] = self.shown(0, column, centre.x);
        let [foot, head] = self.shown(1, row, centre.y);
        Bounds { min: Point::new(left, foot), max: Point::new(right, head) }
    }

    /// Whether a point of the drawing is on a page and not beyond its joins.
    pub(super) fn is_on(&self, (column, row): (usize, usize), at: Point) -> bool {
        let of = |joins: &[f64], at: f64| joins.iter().filter(|join| **join <= at).count();
        of(&self.joins[0], at.x) == column && of(&self.joins[1], at.y) == row
    }

    /// Where two pages show the same, in the drawing.
    pub(super) fn seams(&self) -> Vec<Bounds> {
        let (far, half) = (1e6, OVERLAP / 2.0);
        let columns = self.joins[0]
            .iter()
            .map(|x| Bounds { min: Point::new(x - half, -far), max: Point::new(x + half, far) });
        let rows = self.joins[1]
            .iter()
            .map(|y| Bounds { min: Point::new(-far, y - half), max: Point::new(far, y + half) });
        columns.chain(rows).collect()
    }

    /// The lines along which a page is joined to its neighbours, crop marks at their ends, and
    /// which page comes there.
    pub(super) fn joins(
        &self,
        (column, row): (usize, usize),
        tiles: &[(usize, usize)],
    ) -> Vec<Item> {
        let Bounds { min, max } = self.window((column, row));
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

/// Joins of pages along one axis, one after the other, each where the fewest things are cut, then where
/// the fewest are on both pages, then nearest to where it was. `from` and `to` are those of the
/// drawing, `window` what a page shows at most, mm.
fn joined(even: &[f64], [from, to]: [f64; 2], window: f64, things: &[[f64; 2]]) -> Vec<f64> {
    let (half, step) = (OVERLAP / 2.0, window - OVERLAP);
    let near = |at: f64, mm: f64| {
        things.iter().filter(|[low, high]| at > low - mm && at < high + mm).count()
    };
    let mut joins: Vec<f64> = Vec::with_capacity(even.len());
    for (i, at) in even.iter().enumerate() {
        // So that the pages behind it reach the end, and the page before it reaches it.
        let behind = even.len() - 1 - i;
        let low = to + half - window - behind as f64 * step;
        let high = joins.last().map_or(from + window - half, |last| last + step);
        let steps = ((high - low) / STEP).floor().max(0.0) as usize;
        let places = (0..=steps).map(|k| low + k as f64 * STEP).chain([high, *at]);
        let places = places.filter(|place| (low - 1e-9..=high + 1e-9).contains(place));
        let rated = places.map(|place| (near(place, CUT), near(place, half), place));
        let off = |place: f64| (place - at).abs();
        let best = rated.min_by(|(cut, close, a), (other_cut, other_close, b)| {
            (cut, close).cmp(&(other_cut, other_close)).then(off(*a).total_cmp(&off(*b)))
        });
        joins.push(best.map_or(*at, |(.., place)| place));
    }
    joins
}
