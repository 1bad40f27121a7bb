//! The key of the lines and areas of a picture, in rows below it, and its dimensions.

use crate::drawings::dimension::dimension;
use crate::drawings::sheets::hatch::hatch;
use crate::drawings::sheets::metal::outline;
use crate::drawings::sheets::shown::Shown;
use crate::drawings::sheets::view::View;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Words;
use crate::paper::arrow_head;
use crate::paper::circle;

/// From one row of keys to the next, mm.
pub(super) const KEY_ROW: f64 = 5.6;
/// Length of a sample of a line, mm; between it and its words; between two keys.
const SAMPLE: f64 = 9.0;
const BESIDE: f64 = 1.5;
const APART: f64 = 7.0;
/// From the sheet to its dimensions, mm.
pub(super) const OUT: f64 = 6.0;
/// A line this near to a side is on it, mm.
const NEAR: f64 = 0.01;
/// Radius of the circle at the origin, and length of its axes, mm.
const ORIGIN: f64 = 1.1;
const AXIS: f64 = 9.0;

/// A sample of a line or fill, with its text.
pub(super) struct Key {
    /// About the origin, from x 0 to its width.
    items: Vec<Item>,
    width: f64,
    words: Words,
}

impl Key {
    fn new(items: Vec<Item>, width: f64, text: impl AsRef<str>) -> Self {
        let at = Point::new(width + BESIDE, -SMALL / 2.0);
        Self { items, width, words: Words::plain(at, SMALL, text) }
    }

    fn line(pen: Pen, text: impl AsRef<str>) -> Self {
        let line = Item::line(pen, Point::ZERO, Point::new(SAMPLE, 0.0));
        Self::new(vec![line], SAMPLE, text)
    }

    fn hatched(text: impl AsRef<str>) -> Self {
        let area = outline(&Bounds { min: Point::new(0.0, -1.5), max: Point::new(5.0, 1.5) });
        let mut items = hatch(&[vec![area.clone()]], None);
        items.push(Item::Line(Pen::Narrow, area));
        Self::new(items, 5.0, text)
    }

    /// Of sample and words, mm.
    fn length(&self) -> f64 {
        self.width + BESIDE + self.words.length()
    }
}

impl Shown<'_> {
    /// All keys that this sheet needs.
    pub(super) fn keys(&self) -> Vec<Key> {
        let origin = vec![Item::Line(Pen::Wide, circle(Point::new(ORIGIN, 0.0), ORIGIN))];
        let mut keys = vec![Key::new(origin, 2.0 * ORIGIN, "0,0: X, Y as in the DXF"), grain()];
        if self.job.margin > 0.0 {
            keys.push(Key::line(Pen::Margin, format!("margin {}", self.length(self.job.margin))));
        }
        if let Some(remnant) = self.division.remnant {
            let sizes = self.sizes([remnant.width(), remnant.height()]);
            keys.push(Key::line(Pen::Dashed, format!("remnant {sizes}")));
        }
        if !self.nested.route.common_cuts.is_empty() {
            keys.push(Key::line(Pen::Wide, "inside the sheet: common cut"));
        }
        if (0..self.pieces.len()).any(|piece| !self.bends(piece).is_empty()) {
            keys.push(Key::line(Pen::Bend, "bend line"));
        }
        let keep_outs = self.nested.keep_outs(self.job);
        let mut names: Vec<String> = keep_outs.map(|(_, name)| name.to_owned()).collect();
        names.extend(self.clamps().into_iter().map(|(_, words)| words));
        names.dedup();
        if !names.is_empty() {
            keys.push(Key::hatched(names.join(", ")));
        }
        keys
    }

    /// Full length and width of the sheet, and where it is divided.
    pub(super) fn dimensions(&self, view: &View) -> Vec<Item> {
        let sheet = self.stock().sheet.region.bounds();
        let Bounds { min, max } = view.bounds(&sheet);
        let mut items = Vec::new();
        let top = [Point::new(min.x, max.y), max];
        items.extend(dimension(top, Vec2::new(0.0, OUT), &self.length(sheet.width())));
        let left = [min, Point::new(min.x, max.y)];
        items.extend(dimension(left, Vec2::new(-OUT, 0.0), &self.length(sheet.height())));
        items.extend(self.divided(view, &sheet));
        items.extend(self.recessed(view, &sheet));
        items.extend(origin(min));
        items
    }

    /// The straight edges along X and Y that are not on the rectangle round the sheet, such as those of the
    /// corner that an L lacks: each beside the metal.
    fn recessed(&self, view: &View, sheet: &Bounds) -> Vec<Item> {
        let outer = self.stock().sheet.region.outer();
        let near = |a: f64, b: f64| (a - b).abs() < NEAR;
        let is_beyond = |level: bool, p: Point| match level {
            true => !near(p.y, sheet.min.y) && !near(p.y, sheet.max.y),
            false => !near(p.x, sheet.min.x) && !near(p.x, sheet.max.x),
        };
        let of = |edge: Edge| {
            let (level, upright) = (near(edge.from.y, edge.to.y), near(edge.from.x, edge.to.x));
            let is_recessed = edge.is_line() && level != upright && is_beyond(level, edge.from);
            // Metal is to the left of an edge.
            let way = (edge.to - edge.from).normalize();
            let out = Vec2::new(way.y, -way.x) * OUT;
            let feet = [edge.from, edge.to].map(|p| view.point(p));
            let (low, high) = match (feet[0].x + feet[0].y) < (feet[1].x + feet[1].y) {
                true => (feet[0], feet[1]),
                false => (feet[1], feet[0]),
            };
            let text = self.length(edge.length());
            is_recessed.then(|| dimension([low, high], out, &text))
        };
        outer.edges().filter_map(of).flatten().collect()
    }

    /// The used and the remaining part, if one straight cut separates them.
    fn divided(&self, view: &View, sheet: &Bounds) -> Vec<Item> {
        let Some(remnant) = self.division.remnant else { return Vec::new() };
        let across = self.division.is_across(sheet);
        if !across && !self.division.is_along(sheet) {
            return Vec::new();
        }
        let (whole, seen) = (view.bounds(sheet), view.bounds(&remnant));
        let at = |p: Point| if across { p.x } else { p.y };
        let size = |bounds: &Bounds| at(bounds.max) - at(bounds.min);
        let is_behind = at(remnant.min) > at(sheet.min);
        let cut = if is_behind { at(seen.min) } else { at(seen.max) };
        let kept = self.length(size(&remnant));
        let used = format!("{} used", self.length(size(sheet) - size(&remnant)));
        let words = if is_behind { [used, kept] } else { [kept, used] };
        let feet = [at(whole.min), cut, at(whole.max)];
        match across {
            true => chain(feet.map(|x| Point::new(x, whole.min.y)), Vec2::new(0.0, -OUT), words),
            false => chain(feet.map(|y| Point::new(whole.max.x, y)), Vec2::new(OUT, 0.0), words),
        }
    }
}

/// The direction of the grain.
fn grain() -> Key {
    let (from, to) = (Point::ZERO, Point::new(1.6 * SAMPLE, 0.0));
    let along = Vec2::new(1.0, 0.0);
    let items =
        vec![Item::line(Pen::Narrow, from, to), arrow_head(from, -along), arrow_head(to, along)];
    Key::new(items, to.x, "grain, along X")
}

/// The origin of the sheet with its axes.
fn origin(at: Point) -> Vec<Item> {
    let (x, y) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    let mut items = vec![Item::Line(Pen::Wide, circle(at, ORIGIN))];
    for way in [x, y] {
        let side = Vec2::new(-way.y, way.x);
        let (tip, neck) = (at + way * AXIS, at + way * (AXIS - 2.6));
        let corners = [
            at + side * 0.35,
            neck + side * 0.35,
            neck + side * 0.9,
            tip,
            neck - side * 0.9,
            neck - side * 0.35,
            at - side * 0.35,
            at + side * 0.35,
        ];
        let arrow = corners.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect();
        items.push(Item::Area(Ink::Accent, vec![arrow]));
    }
    let zero = Words::plain(Point::ZERO, SMALL, "0,0").in_ink(Ink::Accent);
    let corner = at - (zero.length() + 1.8, SMALL + 1.6);
    items.push(Item::Words(Words { at: corner, ..zero }));
    items
}

/// Two dimensions in one line.
fn chain([a, b, c]: [Point; 3], out: Vec2, [first, second]: [String; 2]) -> Vec<Item> {
    [dimension([a, b], out, &first), dimension([b, c], out, &second)].concat()
}

/// Keys in rows up to this length in mm, the first at a height and the others below it; and how
/// many rows.
pub(super) fn rows(keys: &[Key], at: Point, width: f64) -> (Vec<Item>, usize) {
    let (mut items, mut x, mut row) = (Vec::new(), 0.0, 0);
    for key in keys {
        if x > 0.0 && x + key.length() > width {
            x = 0.0;
            row += 1;
        }
        let by = at.to_vec2() + Vec2::new(x, -KEY_ROW * row as f64);
        let all = key.items.iter().cloned().chain([Item::Words(key.words.clone())]);
        items.extend(all.map(|item| item.shifted((by.x, by.y))));
        x += key.length() + APART;
    }
    (items, row + 1)
}
