//! One step seen along its bend line.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::ring_edges;
use crate::paper::scene;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::SMALL;
use crate::paper::tag::circle;

/// Width of the end view, mm.
pub(super) const VIEW: f64 = 38.0;

/// Scales of the end views: mm of the part per mm on paper.
const SCALES: [f64; 10] = [0.5, 1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 15.0, 20.0];

/// Maximum height of the moving side, on paper, mm; the rest is cropped.
const MAX_HEIGHT: f64 = 30.0;

/// A larger section is cropped, mm of the part. Our choice: the tool must still be visible beside
/// it.
const WHOLE: f64 = 90.0;

/// Under the sheet: the dimension, and some of the tool, mm.
const FOOT: f64 = 6.4;

/// Below the edge from which an upright sheet is measured: the name of the jaws, mm.
const BELOW: f64 = 4.0;

/// Above the part, mm.
const HEAD: f64 = 2.0;

/// Beside the part, mm.
const SIDE: f64 = 2.5;

/// A step along its bend line: u to the right, towards the operator, v up; mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EndView {
    /// Sections of tools, the hindmost first.
    pub tools: Vec<Vec<Point>>,
    /// The clamped side.
    pub held: Vec<Vec<Point>>,
    /// What moves, the bend made.
    pub moved: Vec<Vec<Point>>,
    /// What of the part is not cut.
    pub beyond: Vec<Vec<Point>>,
    /// What moves, still flat.
    pub flat: Vec<Vec<Point>>,
    /// What tools are, where words are needed.
    pub labels: Vec<(Bounds, &'static str)>,
    /// The bar round which the sheet is bent: its centre and radius.
    pub bar: Option<(Point, f64)>,
    /// Whether it is upright, in a vice: u is then up.
    pub upright: bool,
    /// Of the sheet.
    pub thickness: f64,
    /// The bend line and the gauge edge, and their distance in words.
    pub gauge: Option<([Point; 2], String)>,
}

/// The largest scale in which all of some views have room.
pub fn scale(views: &[&EndView]) -> f64 {
    let fits = |scale: &f64| views.iter().all(|view| view.fits(*scale, [VIEW, MAX_HEIGHT]));
    SCALES.into_iter().find(fits).unwrap_or(SCALES[SCALES.len() - 1])
}

impl EndView {
    /// Left, right and upper end of the region to show, mm of the part.
    fn reach(&self) -> [f64; 3] {
        let mut bounds = Bounds::EMPTY.with(Point::ZERO);
        for p in self.moved.iter().chain(&self.flat).flatten() {
            bounds = bounds.with(*p);
        }
        for p in self.gauge.iter().flat_map(|(ends, _)| ends) {
            bounds = bounds.with(*p);
        }
        // Some of the tool, and of the clamped side.
        let tool = if self.tools.is_empty() { 0.0 } else { 30.0 };
        let held = self.held.iter().flatten().fold(0.0, |far: f64, p| far.max(-p.x));
        let left = (-bounds.min.x).max(tool).max(held.min(60.0)).min(WHOLE);
        [left, bounds.max.x.clamp(8.0, WHOLE), bounds.max.y.clamp(8.0, WHOLE)]
    }

    /// Below the sheet on paper, mm: as far as an edge from which an upright one is measured.
    fn foot(&self, scale: f64) -> f64 {
        let ends = self.gauge.iter().filter(|_| self.upright).flat_map(|(ends, _)| ends);
        let low = ends.fold(0.0, |low: f64, p| low.max(-p.y)).min(WHOLE);
        (low / scale + BELOW).max(FOOT)
    }

    /// Whether it fits a width, and what moves a height, mm.
    fn fits(&self, scale: f64, [width, height]: [f64; 2]) -> bool {
        let [left, right, up] = self.reach();
        let foot = self.foot(scale) - FOOT;
        (left + right) / scale <= width - 2.0 * SIDE && up / scale <= height && foot <= MAX_HEIGHT
    }

    /// The picture alone in a room, mm, as large as it fits, its lower left corner at the origin.
    #[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
    pub(crate) fn alone(&self, room: [f64; 2]) -> Vec<Item> {
        let [width, height] = room;
        let fits = |scale: &f64| self.fits(*scale, [width, height - self.foot(*scale) - HEAD]);
        let scale = SCALES.into_iter().find(fits).unwrap_or(SCALES[SCALES.len() - 1]);
        self.items(Bounds { min: Point::ZERO, max: Point::new(width, height) }, scale)
    }

    /// The height it needs at a scale, mm.
    pub(super) fn height(&self, scale: f64) -> f64 {
        self.foot(scale) + HEAD + (self.reach()[2] / scale).min(MAX_HEIGHT) + 1.6
    }

    /// The picture in a frame.
    pub(super) fn items(&self, frame: Bounds, scale: f64) -> Vec<Item> {
        let [left, right, _] = self.reach();
        // In the centre, where there is room.
        let spare = (frame.width() - (left + right) / scale).max(0.0) / 2.0;
        let origin = Point::new(frame.min.x + spare + left / scale, frame.min.y + self.foot(scale));
        let at = |p: &Point| origin + p.to_vec2() / scale;
        let drawn =
            |polygon: &Vec<Point>| ring_edges(&polygon.iter().map(at).collect::<Vec<Point>>());
        let mut items = Vec::new();
        // Outlined first and filled then, pieces of one face show no joints.
        items.extend(self.beyond.iter().map(|p| Item::Line(Pen::Wide, drawn(p))));
        items.extend(self.beyond.iter().map(|p| Item::Fill(1.0, vec![drawn(p)])));
        for (tool, tone) in self.tools.iter().zip([0.84, 0.78].into_iter().cycle()) {
            items.push(Item::Fill(tone, vec![drawn(tool)]));
            items.push(Item::Line(Pen::Fine, drawn(tool)));
        }
        items.extend(self.flat.iter().flat_map(|p| phantom(&drawn(p))));
        let thin = self.thickness / scale < 0.6;
        for polygon in &self.held {
            items.push(Item::Fill(0.0, vec![drawn(polygon)]));
            items.extend(thin.then(|| Item::Line(Pen::Narrow, drawn(polygon))));
        }
        for polygon in &self.moved {
            items.push(Item::Area(Ink::Accent, vec![drawn(polygon)]));
            items.extend(thin.then(|| Item::Line(Pen::Bend, drawn(polygon))));
        }
        if let Some((centre, radius)) = self.bar {
            let bar = circle(at(&centre), radius / scale);
            items.push(Item::Fill(0.92, vec![bar.clone()]));
            items.push(Item::Line(Pen::Narrow, bar));
        }
        let mut all = vec![Item::Window(frame, items)];
        let names = self.labels.iter().filter_map(|(tool, words)| {
            let tool = Bounds { min: at(&tool.min), max: at(&tool.max) };
            match self.upright {
                true => named_jaw(frame, tool, words),
                false => Some(named(frame, tool, words)),
            }
        });
        all.extend(names.map(Item::Words));
        if let Some((ends, words)) = &self.gauge {
            let ends = ends.map(|p| at(&p));
            all.extend(match self.upright {
                true => upright(frame, ends, words),
                false => dimension(frame, ends, words),
            });
        }
        all
    }
}

/// What a tool is, above it and within the frame.
fn named(frame: Bounds, tool: Bounds, words: &str) -> Words {
    let words = Words::plain(Point::ZERO, SMALL, words).in_ink(Ink::Grey);
    let most = frame.max - (words.length(), SMALL + 1.0);
    let at = Point::new(tool.centre().x.min(most.x), (tool.max.y + 0.8).min(most.y));
    Words { at, ..words }
}

/// Which jaw of a vice it is, at its foot towards its outside: `front jaw`, `front` where that is too
/// long for what is seen of it, else nothing.
fn named_jaw(frame: Bounds, jaw: Bounds, words: &str) -> Option<Words> {
    let [left, right] = [jaw.min.x.max(frame.min.x) + 0.8, jaw.max.x.min(frame.max.x) - 0.8];
    let fitting = [words, words.split(' ').next()?].into_iter().find_map(|words| {
        let words = Words::plain(Point::ZERO, SMALL, words).in_ink(Ink::Grey);
        (words.length() <= right - left).then_some(words)
    })?;
    let is_left = jaw.centre().x < frame.centre().x;
    let x = if is_left { left } else { right - fitting.length() };
    Some(Words { at: Point::new(x, frame.min.y + 0.9), ..fitting })
}

/// The long sides of the blank before bending.
fn phantom(edges: &[Edge]) -> Vec<Item> {
    let long = |edge: &&Edge| edge.length() > 1.0;
    edges.iter().filter(long).map(|e| Item::Line(Pen::Phantom, vec![*e])).collect()
}

/// A height beside the sheet, as far as it is in the frame.
fn upright(frame: Bounds, ends: [Point; 2], text: &str) -> Vec<Item> {
    let x = ends[0].x.min(ends[1].x) - 3.2;
    let inside = |y: f64| y.clamp(frame.min.y, frame.max.y);
    let [from, to] = ends.map(|p| Point::new(x, inside(p.y)));
    let words = Words { ink: Ink::Accent, ..Words::heavy(Point::ZERO, SMALL, text) };
    let (long, middle) = (words.length(), f64::midpoint(from.y, to.y));
    // Where there is no room beside the line they are above it, else along it.
    let sheet = ends[0].x.min(ends[1].x);
    let above = Point::new(sheet - long - 1.6, from.y.max(to.y) + 1.0);
    let is_beside = x - long - 1.0 >= frame.min.x;
    let is_above = above.x >= frame.min.x && above.y + SMALL <= frame.max.y;
    let words = match (is_beside, is_above) {
        (true, _) => Words { at: Point::new(x - long - 1.0, middle - SMALL / 2.0), ..words },
        (false, true) => Words { at: above, ..words },
        (false, false) => {
            let low = (middle - long / 2.0).max(frame.min.y);
            Words { at: Point::new(x - 1.4, low), ..words.upward() }
        }
    };
    let mut items = vec![Item::line(Pen::Bend, from, to), Item::Words(words)];
    for p in ends.into_iter().filter(|p| is_level(inside(p.y), p.y)) {
        let side = Point::new(x - 1.0, p.y);
        items.push(Item::line(Pen::Bend, Point::new(p.x - 0.6, p.y), side));
    }
    items.extend(arrows([from, to], ends.map(|p| is_level(inside(p.y), p.y))));
    items
}

/// Whether an end of a dimension is in the frame, so that it is where it is drawn.
fn is_level(drawn: f64, end: f64) -> bool {
    (drawn - end).abs() < 1e-9
}

/// The arrows of a dimension at those of its ends that are in the frame: between them, or outside
/// where these are near. One that is cropped has none there (ISO 129-1).
fn arrows([from, to]: [Point; 2], shown: [bool; 2]) -> Vec<Item> {
    let along = (to - from).normalize();
    let whole = (to - from).hypot() > 5.4;
    let one = |(tip, way): (Point, Vec2)| {
        let foot = tip + way * if whole { 2.2 } else { -2.2 };
        let side = Vec2::new(-way.y, way.x) * 0.4;
        Item::Area(Ink::Accent, vec![ring_edges(&[tip, foot + side, foot - side])])
    };
    let ends = [(from, along), (to, -along)].into_iter().zip(shown);
    ends.filter(|(_, shown)| *shown).map(|(end, _)| one(end)).collect()
}

/// A distance below the sheet, as far as it is in the frame.
fn dimension(frame: Bounds, ends: [Point; 2], text: &str) -> Vec<Item> {
    let y = frame.min.y + 1.9;
    let inside = |x: f64| x.clamp(frame.min.x, frame.max.x);
    let [line, gauge] = ends;
    let [from, to] = [line, gauge].map(|p| Point::new(inside(p.x), y));
    let words = Words { ink: Ink::Accent, ..Words::heavy(Point::ZERO, SMALL, text) };
    let long = words.length();
    let (low, high) = (from.x.min(to.x), from.x.max(to.x));
    // Between its ends, else beside them.
    let x = if high - low > long + 7.0 {
        f64::midpoint(low, high) - long / 2.0
    } else if low - long - 1.0 > frame.min.x {
        low - long - 1.0
    } else {
        high + 1.0
    };
    let words = Words { at: Point::new(x, y - SMALL / 2.0), ..words };
    let mut items = Vec::new();
    let gap = Bounds {
        min: Point::new(x - 0.6, y - SMALL / 2.0 - 0.5),
        max: Point::new(x + long + 0.6, y + SMALL / 2.0 + 0.5),
    };
    for p in ends {
        if is_level(inside(p.x), p.x) {
            let foot = Point::new(p.x, y - 1.0);
            items.push(Item::line(Pen::Bend, Point::new(p.x, p.y - 0.4), foot));
        }
    }
    // The line is interrupted by its number.
    let pieces = [[low, high.min(gap.min.x)], [low.max(gap.max.x), high]];
    for [from, to] in pieces.into_iter().filter(|[from, to]| from < to) {
        items.push(Item::line(Pen::Bend, Point::new(from, y), Point::new(to, y)));
    }
    items.extend(arrows([from, to], ends.map(|p| is_level(inside(p.x), p.x))));
    items.push(Item::Fill(1.0, vec![scene::outline(gap)]));
    items.push(Item::Words(words));
    items
}
