//! What the drawings of links and frame tubes have in common: a long piece drawn along the paper,
//! broken where it is too long for its ends to be seen.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::paper::Item;
use crate::paper::Pen;

/// Minimum height of the thickest of it on the paper, mm: else it is broken. Our choice.
const MIN: f64 = 9.0;

/// Gap at a break, mm on the paper.
const BREAK: f64 = 3.0;

/// Depth of a break line, mm on the paper.
const TOOTH: f64 = 1.2;

/// A length in mm along a picture, of which the inner part may be left out.
pub(super) struct Along {
    /// Millimetres on the paper for one.
    pub(super) by: f64,
    /// The part left out at the break.
    cut: Option<[f64; 2]>,
    /// Where 0 of it lies on the paper.
    origin: Point,
}

impl Along {
    /// A piece from `from` to `to` that is `high`, within a rectangle; the inner part of the length
    /// between `keep` may be left out.
    pub(super) fn new(within: Bounds, [from, to]: [f64; 2], high: f64, keep: [f64; 2]) -> Self {
        let whole = (within.width() / (to - from)).min(within.height() / high);
        let least = (MIN / high).min(within.height() / high);
        let [low, top] = keep;
        let shown = |by: f64| (within.width() - BREAK) / by - (to - from) + (top - low);
        // Of the length that may be left out, at least a fifth stays on either side of the break.
        let broken = whole < least && shown(least) > 0.0 && top - low > 0.0;
        let by = if broken { least } else { whole };
        let cut = broken.then(|| {
            let stay = (shown(by) / 2.0).min((top - low) * 0.4);
            [low + stay, top - stay]
        });
        let gone = cut.map_or(0.0, |[a, b]| (b - a) * by - BREAK);
        let wide = (to - from) * by - gone;
        let x = within.centre().x - wide / 2.0 - from * by;
        Self { by, cut, origin: Point::new(x, within.centre().y) }
    }

    /// A place: its distance along the axis and above it.
    pub(super) fn at(&self, x: f64, y: f64) -> Point {
        let gone = match self.cut {
            Some([a, b]) if x > a => {
                (x.min(b) - a) - (BREAK / self.by) * ((x.min(b) - a) / (b - a))
            }
            _ => 0.0,
        };
        self.origin + Vec2::new((x - gone) * self.by, y * self.by)
    }

    /// The two long sides of a piece from `from` to `to`, `high` above and below the axis, with the
    /// break lines where it is broken.
    pub(super) fn sides(&self, pen: Pen, [from, to]: [f64; 2], high: f64) -> Vec<Item> {
        let mut items = Vec::new();
        let pieces = match self.cut.filter(|[a, b]| from < *a && *b < to) {
            Some([a, b]) => vec![[from, a], [b, to]],
            None => vec![[from, to]],
        };
        for [a, b] in &pieces {
            for y in [high, -high] {
                items.push(Item::line(pen, self.at(*a, y), self.at(*b, y)));
            }
        }
        if let [[_, a], [b, _]] = pieces[..] {
            items.push(self.torn(a, high));
            items.push(self.torn(b, high));
        }
        items
    }

    /// A break line across.
    fn torn(&self, x: f64, high: f64) -> Item {
        let over = high + 1.5 / self.by;
        let [top, bottom] = [self.at(x, over), self.at(x, -over)];
        let middle = top.midpoint(bottom);
        let tooth = |down: f64, aside: f64| middle + Vec2::new(aside, down);
        let points = [
            top,
            tooth(TOOTH, 0.0),
            tooth(TOOTH / 3.0, TOOTH),
            tooth(-TOOTH / 3.0, -TOOTH),
            tooth(-TOOTH, 0.0),
            bottom,
        ];
        Item::Line(Pen::Narrow, points.windows(2).map(|p| Edge::line(p[0], p[1])).collect())
    }

    /// The scale in words, with whether it is broken.
    pub(super) fn words(&self) -> String {
        let scale = match self.by >= 1.0 {
            true => format!("{} : 1", num::text(self.by, 1)),
            false => format!("1 : {}", num::text(1.0 / self.by, 1)),
        };
        let broken = if self.cut.is_some() { ", broken" } else { "" };
        format!("drawn about {scale}{broken}")
    }
}

/// A closed line through points.
pub(super) fn ring(pen: Pen, points: &[Point]) -> Item {
    let next = points.iter().cycle().skip(1);
    Item::Line(pen, points.iter().zip(next).map(|(a, b)| Edge::line(*a, *b)).collect())
}
