//! A framed sheet: frame, zones and centring marks after ISO 5457, the title block after
//! ISO 7200 (both from memory). The strip is one across the foot of the frame, in rows of 9.6 mm and
//! a low one to sign in.

mod foot;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::font;
use crate::paper::font::Weight;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::foot::FOOT;
pub(crate) use crate::paper::sheet::foot::Foot;

/// From the edge of the sheet to the frame, mm: on the left, where it is filed, and elsewhere.
const FILING: f64 = 20.0;
const MARGIN: f64 = 10.0;
/// Height of a row of the title block, mm.
const ROW: f64 = 9.6;
/// From its upper edge down to the baseline of a value, mm: tails clear the rule below.
const VALUE: f64 = 8.0;
/// Length of a zone, from the centring marks outwards, mm.
const ZONE: f64 = 50.0;
/// How far the centring marks project from the frame, mm.
const CENTRING: f64 = 5.0;
/// From the side of a field to its contents, mm.
const INSET: f64 = 1.5;
/// Heights of capitals, mm: for text read at the machine, and all else. The smaller is the minimum
/// that ISO 3098 has for A4 (from memory).
pub(crate) const LARGE: f64 = 3.5;
pub(crate) const SMALL: f64 = 2.5;
/// From one line of small words to the next, mm.
pub(crate) const PITCH: f64 = 4.2;

/// A field of the title block.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Field {
    /// A label above a value, the value 3.5 mm high where it is large and there is room.
    Value {
        /// Grey, above.
        label: &'static str,
        /// The text of the field.
        value: String,
        /// Whether it is read at the machine.
        large: bool,
    },
    /// The sign for the state of an edge of ISO 13715 with the greatest burr or undercut.
    Edge(String),
    /// A sentence.
    Sentence(String),
    /// The contents of the low row at the foot.
    Foot(Foot),
}

impl Field {
    /// A small value.
    pub(crate) fn small(label: &'static str, value: impl Into<String>) -> Self {
        Self::Value { label, value: value.into(), large: false }
    }

    /// A large one.
    pub(crate) fn large(label: &'static str, value: impl Into<String>) -> Self {
        Self::Value { label, value: value.into(), large: true }
    }

    /// Its lines within a width, their height, and the width they take.
    fn wrapped(&self, max: f64) -> (Vec<String>, f64, f64) {
        match self {
            Self::Edge(value) => (Vec::new(), SMALL, 12.0 + font::width(value, SMALL)),
            Self::Foot(foot) => (Vec::new(), SMALL, foot.width(SMALL)),
            Self::Sentence(words) => {
                let words = font::known(words);
                let mut width = font::width(&words, SMALL) / 2.0;
                let mut lines = font::wrap(&words, SMALL, width);
                while lines.len() > 2 {
                    width += 2.0;
                    lines = font::wrap(&words, SMALL, width);
                }
                let longest = lines.iter().map(|l| font::width(l, SMALL)).fold(0.0, f64::max);
                (lines, SMALL, longest)
            }
            Self::Value { label, value, large } => {
                let value = font::known(value);
                let bold = |height| font::width_in(Weight::Heavy, &value, height);
                let label = font::width(label, SMALL);
                let heights: &[f64] = if *large { &[LARGE, 3.0, SMALL] } else { &[SMALL] };
                let height = heights.iter().copied().find(|height| bold(*height) <= max);
                match height {
                    Some(height) => {
                        let width = bold(height).max(label);
                        (vec![value], height, width)
                    }
                    None => {
                        let lines = font::wrap_in(Weight::Heavy, &value, SMALL, max);
                        let long = |l: &String| font::width_in(Weight::Heavy, l, SMALL);
                        let width = lines.iter().map(long).fold(label, f64::max);
                        (lines, SMALL, width)
                    }
                }
            }
        }
    }
}

/// The fields of a title block laid out in rows.
pub(crate) struct Strip {
    /// Each row with its fields and the width each takes, mm.
    rows: Vec<Vec<(Field, f64)>>,
    /// The same of the low row at the foot; empty where there is none.
    foot: Vec<(Field, f64)>,
}

impl Strip {
    /// The fields in as many rows as a width needs, the room that is left shared among them.
    pub(crate) fn new(fields: &[Field], width: f64) -> Self {
        // A name of many letters takes no more than two lines of this.
        let max = width * 0.4;
        let wide = |field: &Field| field.wrapped(max).2 + 2.0 * INSET;
        let (foot, fields): (Vec<&Field>, Vec<&Field>) =
            fields.iter().partition(|field| matches!(field, Field::Foot(_)));
        let fields = fields.into_iter().map(|field| (field.clone(), wide(field)));
        let mut rows = rows(&fields.collect::<Vec<_>>(), width);
        let foot = foot.into_iter().map(|field| (field.clone(), wide(field)));
        let mut foot: Vec<(Field, f64)> = foot.collect();
        for row in rows.iter_mut().chain((!foot.is_empty()).then_some(&mut foot)) {
            let spare = width - row.iter().map(|(_, wide)| wide).sum::<f64>();
            let each = spare / row.len() as f64;
            row.iter_mut().for_each(|(_, wide)| *wide += each);
        }
        Self { rows, foot }
    }

    /// Of all its rows, mm.
    pub(crate) fn height(&self) -> f64 {
        ROW * self.rows.len() as f64 + self.foot_height()
    }

    fn foot_height(&self) -> f64 {
        if self.foot.is_empty() { 0.0 } else { FOOT }
    }

    /// Drawn, its lower left corner at a place.
    fn items(&self, at: Point, width: f64) -> Vec<Item> {
        let mut items = Vec::new();
        let foot = self.foot_height();
        let rows = self.rows.iter().rev().enumerate();
        let rows = rows.map(|(i, row)| (row, at.y + foot + ROW * i as f64, ROW));
        let last = (!self.foot.is_empty()).then_some((&self.foot, at.y, foot));
        for (row, y, high) in rows.chain(last) {
            let ends = [at.x, at.x + width].map(|x| Point::new(x, y + high));
            let is_top = y + high > at.y + self.height() - 1e-9;
            let pen = if is_top { Pen::Wide } else { Pen::Narrow };
            items.push(Item::line(pen, ends[0], ends[1]));
            let mut x = at.x;
            for (k, (field, wide)) in row.iter().enumerate() {
                if k > 0 {
                    let ends = [y, y + high].map(|y| Point::new(x, y));
                    items.push(Item::line(Pen::Narrow, ends[0], ends[1]));
                }
                items.extend(drawn(field, Point::new(x + INSET, y), wide - 2.0 * INSET));
                x += wide;
            }
        }
        items
    }
}

/// Fields with their widths in as many rows as a width needs, of about one length: none is left with a
/// field alone where the others have room for it.
fn rows(fields: &[(Field, f64)], width: f64) -> Vec<Vec<(Field, f64)>> {
    /// Of a row that is left free on average. Our choice.
    const FREE: f64 = 0.12;
    /// Between lengths that are tried, mm. Our choice.
    const STEP: f64 = 1.0;
    // How many fields each row takes.
    let counts = |limit: f64| {
        let (mut counts, mut taken): (Vec<usize>, f64) = (Vec::new(), f64::INFINITY);
        for (_, wide) in fields {
            if taken + wide > limit {
                counts.push(0);
                taken = 0.0;
            }
            taken += wide;
            counts.last_mut().into_iter().for_each(|count| *count += 1);
        }
        counts
    };
    let total: f64 = fields.iter().map(|(_, wide)| wide).sum();
    let full = counts(width);
    let count = full.len().max((total / width + FREE).ceil() as usize);
    let mut limit = total / count.max(1) as f64;
    let mut found = counts(limit);
    while found.len() > count && limit < width {
        limit += STEP;
        found = counts(limit);
    }
    let mut rest = fields.iter().cloned();
    let found = if limit < width { found } else { full };
    found.into_iter().map(|count| rest.by_ref().take(count).collect()).collect()
}

/// A field in a row whose lower edge is at a height.
fn drawn(field: &Field, at: Point, width: f64) -> Vec<Item> {
    let (lines, height, _) = field.wrapped(width + 1e-6);
    let words = |down: f64, line: &str| Words::plain(at + (0.0, ROW - down), height, line);
    let two = [3.7, VALUE];
    match field {
        Field::Edge(value) => edge_sign(at + (0.5, 1.4), value),
        Field::Sentence(_) => {
            let lines = lines.iter().zip(two);
            lines.map(|(line, down)| Item::Words(words(down, line))).collect()
        }
        Field::Value { .. } if lines.len() > 1 => {
            let lines = lines.iter().zip(two);
            lines.map(|(line, down)| Item::Words(words(down, line).made_heavy())).collect()
        }
        Field::Foot(foot) => foot.items(at, width, SMALL),
        Field::Value { label, .. } => {
            let label = Words::plain(at + (0.0, ROW - 3.05), SMALL, label).in_ink(Ink::Grey);
            let value = lines.iter().map(|l| Item::Words(words(VALUE, l).made_heavy()));
            std::iter::once(Item::Words(label)).chain(value).collect()
        }
    }
}

/// The sign of ISO 13715 (from memory): a corner with a leg to its value.
fn edge_sign(at: Point, value: &str) -> Vec<Item> {
    let p = |x: f64, y: f64| at + (x, y);
    let lines =
        [[p(0.0, 0.0), p(5.0, 5.0)], [p(5.0, 5.0), p(5.0, 0.8)], [p(5.0, 5.0), p(9.5, 5.0)]];
    let value = Words::plain(p(6.2, 1.6), SMALL, value).made_heavy();
    let lines = lines.into_iter().map(|[a, b]| Item::line(Pen::Narrow, a, b));
    lines.chain([Item::Words(value)]).collect()
}

/// The rectangle of the frame of a sheet of a size, mm.
pub(super) fn frame(size: [f64; 2]) -> Bounds {
    let max = Point::new(size[0] - MARGIN, size[1] - MARGIN);
    Bounds { min: Point::new(FILING, MARGIN), max }
}

/// The area within the frame above the title block.
pub(crate) fn inside(size: [f64; 2], strip: &Strip) -> Bounds {
    let Bounds { min, max } = frame(size);
    Bounds { min: min + (0.0, strip.height()), max }
}

/// Width of the frame, mm.
pub(crate) fn frame_width(size: [f64; 2]) -> f64 {
    frame(size).width()
}

/// Frame, zones, centring marks and title block.
pub(crate) fn framed(size: [f64; 2], strip: &Strip) -> Vec<Item> {
    let frame = frame(size);
    let mut items = vec![Item::frame(Pen::Wide, frame)];
    items.extend(zones(size, frame));
    items.extend(strip.items(frame.min, frame.width()));
    items
}

/// Zone numbers above and letters at the right, and the four centring marks.
fn zones(size: [f64; 2], frame: Bounds) -> Vec<Item> {
    let middle = Point::new(size[0] / 2.0, size[1] / 2.0);
    let Bounds { min, max } = frame;
    let mark = |a: Point, b: Point| Item::Line(Pen::Wide, vec![Edge::line(a, b)]);
    let mut items = vec![
        mark(Point::new(middle.x, max.y), Point::new(middle.x, max.y + CENTRING)),
        mark(Point::new(middle.x, min.y), Point::new(middle.x, min.y - CENTRING)),
        mark(Point::new(min.x, middle.y), Point::new(min.x - CENTRING, middle.y)),
        mark(Point::new(max.x, middle.y), Point::new(max.x + CENTRING, middle.y)),
    ];
    let cuts = |middle: f64, min: f64, max: f64| -> Vec<f64> {
        let steps = -10..=10;
        let at = steps.map(|i| middle + ZONE * f64::from(i));
        at.filter(|at| *at > min + 8.0 && *at < max - 8.0).collect()
    };
    let across = [vec![min.x], cuts(middle.x, min.x, max.x), vec![max.x]].concat();
    for (number, pair) in (1u32..).zip(across.windows(2)) {
        let words = Words::plain(Point::ZERO, SMALL, number.to_string()).in_ink(Ink::Grey);
        let at = Point::new(f64::midpoint(pair[0], pair[1]) - words.length() / 2.0, max.y + 1.3);
        items.push(Item::Words(Words { at, ..words }));
        if number > 1 && (pair[0] - middle.x).abs() > 1e-6 {
            let ends = [0.0, 4.0].map(|by| Point::new(pair[0], max.y + by));
            items.push(Item::line(Pen::Narrow, ends[0], ends[1]));
        }
    }
    let up = [vec![min.y], cuts(middle.y, min.y, max.y), vec![max.y]].concat();
    for (letter, pair) in ('A'..='Z').zip(up.windows(2).rev()) {
        let words = Words::plain(Point::ZERO, SMALL, letter.to_string()).in_ink(Ink::Grey);
        let half = words.length() / 2.0;
        let at = Point::new(max.x + 3.2 - half, f64::midpoint(pair[0], pair[1]) - SMALL / 2.0);
        items.push(Item::Words(Words { at, ..words }));
        if pair[1] < max.y - 1e-6 && (pair[1] - middle.y).abs() > 1e-6 {
            let ends = [0.0, 4.0].map(|by| Point::new(max.x + by, pair[1]));
            items.push(Item::line(Pen::Narrow, ends[0], ends[1]));
        }
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_field_is_alone_in_its_row_where_others_have_room_for_it() {
        let field = |wide: f64| (Field::small("Issue", "A"), wide);
        let of = |widths: &[f64], width: f64| -> Vec<usize> {
            let fields: Vec<(Field, f64)> = widths.iter().map(|wide| field(*wide)).collect();
            rows(&fields, width).iter().map(Vec::len).collect()
        };
        assert_eq!(of(&[60.0, 60.0, 60.0, 60.0, 20.0], 200.0), [2, 3]);
        // Three rows are needed: the last has its share.
        assert_eq!(of(&[90.0, 90.0, 90.0, 90.0, 30.0, 30.0], 200.0), [2, 2, 2]);
        assert_eq!(of(&[60.0, 60.0], 200.0), [2]);
        assert_eq!(of(&[], 200.0), [0; 0]);
    }
}
