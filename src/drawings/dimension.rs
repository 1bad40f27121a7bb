//! The drawing of a dimension between two places.

use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Words;
use crate::paper::arrow_head;

/// A dimension between two feet, offset by `out`, with its text above its line, or beyond its
/// second end if the text is longer than the line.
pub(super) fn dimension([a, b]: [Point; 2], out: Vec2, text: &str) -> Vec<Item> {
    let way = (b - a).normalize();
    let (from, to) = (a + out, b + out);
    let beyond = out.normalize();
    let words = Words::plain(Point::ZERO, SMALL, text);
    let inside = (b - a).hypot() > 7.0;
    let tips = if inside { [(from, -way), (to, way)] } else { [(from, way), (to, -way)] };
    let mut items = vec![Item::line(Pen::Narrow, from, to)];
    for (tip, way) in tips {
        items.push(arrow_head(tip, way));
        if !inside {
            items.push(Item::line(Pen::Narrow, tip, tip - way * 4.5));
        }
    }
    for foot in [a, b] {
        items.push(Item::line(Pen::Narrow, foot + beyond, foot + out + beyond));
    }
    let level = way.y.abs() < 0.5;
    let centre = from.midpoint(to);
    let long = words.length();
    let is_within = long + 3.0 < (b - a).hypot();
    // Beyond the tail of an outside arrow.
    let past = to + way * (long / 2.0 + if inside { 1.4 } else { 5.7 });
    let words = match (level, is_within) {
        (true, true) => words.centred(centre + (0.0, SMALL / 2.0 + 0.9)),
        (true, false) => words.centred(past),
        (false, true) => {
            let at = centre + (-0.9, -long / 2.0);
            Words { at, ..words.upward() }
        }
        (false, false) => words.upward().centred(past),
    };
    items.push(Item::Words(words));
    items
}
