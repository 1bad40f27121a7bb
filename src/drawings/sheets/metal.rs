//! The sheet itself: metal, pieces with their numbers, and areas that must not be cut.

use crate::drawings::sheets::hatch::hatch;
use crate::drawings::sheets::shown::Oriented;
use crate::drawings::sheets::shown::Shown;
use crate::drawings::sheets::view::View;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Note;
use crate::paper::Pen;
use crate::paper::Place;
use crate::paper::Reading;
use crate::paper::Roomy;
use crate::paper::SMALL;
use crate::paper::Weight;
use crate::paper::Words;
use std::collections::HashMap;
use std::rc::Rc;

/// How light metal is, and pieces; 1 is white.
const METAL: f64 = 0.975;
const PIECE: f64 = 0.865;
/// Kept free round words, mm.
pub(super) const CLEAR: f64 = 0.5;

/// A sheet drawn at a scale.
pub(super) struct Metal {
    pub(super) items: Vec<Item>,
    /// The number on each piece, by piece; `None` if it has no room.
    pub(super) numbers: Vec<Option<Words>>,
    /// Labels of keep-outs and the remnant that have no room in them, each with a place there.
    pub(super) names: Vec<(Point, String)>,
}

impl Shown<'_> {
    /// The sheet as a view shows it, numbers last.
    pub(super) fn metal(&self, view: &View) -> Metal {
        let stock = &self.stock().sheet;
        let edge: Vec<Vec<Edge>> = stock.region.outlines().map(|o| view.outline(o)).collect();
        let mut items = vec![Item::Fill(METAL, edge.clone())];
        let (kept, mut names) = self.kept(view, &edge);
        items.extend(kept);
        for piece in 0..self.pieces.len() {
            items.extend(self.piece(piece, view));
        }
        for [from, to] in &self.nested.route.common_cuts {
            items.push(Item::line(Pen::Wide, view.point(*from), view.point(*to)));
        }
        let margin = self.nested.margin_lines(self.job);
        items.extend(margin.iter().map(|line| Item::Line(Pen::Margin, view.outline(line))));
        let (remnant, outside) = self.remnant(view);
        items.extend(remnant);
        names.extend(outside);
        items.extend(edge.into_iter().map(|outline| Item::Line(Pen::Wide, outline)));
        Metal { items, numbers: self.numbers(view), names }
    }

    /// A piece without its number.
    fn piece(&self, piece: usize, view: &View) -> Vec<Item> {
        let region = &self.pieces[piece];
        let loops = region.outlines().map(|o| view.outline(o)).collect();
        let holes = region.holes().iter().map(|hole| view.outline(hole));
        let chains = self.chains(piece).into_iter().map(|chain| view.edges(&chain));
        let marks = self.marks(piece).into_iter().map(|mark| view.edges(&mark));
        let cuts = holes.chain(chains).chain(marks).map(|line| Item::Line(Pen::Narrow, line));
        let bends = self.bends(piece).into_iter();
        let bends = bends.map(|bend| Item::Line(Pen::Bend, vec![view.edge(&bend)]));
        let items = std::iter::once(Item::Fill(PIECE, loops)).chain(cuts).chain(bends).collect();
        let centre = view.point(region.bounds().centre());
        let text = self.number(piece).to_string();
        let note = Note { kind: "piece", text, feet: vec![centre], scale: view.scale };
        vec![Item::Noted(note, items)]
    }

    /// Keep-outs and clamps, hatched, with their names where there is room for them; and the names of
    /// keep-outs for which there is none.
    fn kept(&self, view: &View, edge: &[Vec<Edge>]) -> (Vec<Item>, Vec<(Point, String)>) {
        let sheet = view.bounds(&self.stock().sheet.region.bounds());
        let (mut items, mut names) = (Vec::new(), Vec::new());
        for (outline, name) in self.nested.keep_outs(self.job) {
            let drawn = view.outline(outline);
            let seen = intersection(&view.bounds(&outline.bounds()), &sheet);
            let words = seen.and_then(|seen| within(&seen, name));
            items.extend(hatch(&[vec![drawn.clone()], edge.to_vec()], bare(words.as_ref())));
            items.push(Item::Window(sheet, vec![Item::Line(Pen::Narrow, drawn)]));
            if let Some(seen) = seen.filter(|_| words.is_none()) {
                names.push((seen.centre(), name.to_owned()));
            }
            items.extend(words.map(Item::Words));
        }
        for (strip, words) in self.clamps() {
            let strip = view.bounds(&strip);
            let drawn = outline(&strip);
            let words = within(&strip, &words);
            items.extend(hatch(&[vec![drawn.clone()], edge.to_vec()], bare(words.as_ref())));
            items.push(Item::Line(Pen::Narrow, drawn));
            items.extend(words.map(Item::Words));
        }
        (items, names)
    }

    /// The strips under clamps, each with its label.
    pub(super) fn clamps(&self) -> Vec<(Bounds, String)> {
        let clamped = self.nested.clamped(self.job).into_iter();
        clamped.map(|(strip, width)| (strip, format!("clamp {}", self.length(width)))).collect()
    }

    /// The remnant with its size; and that with a place in it, where there is no room for it.
    fn remnant(&self, view: &View) -> (Vec<Item>, Option<(Point, String)>) {
        let Some(remnant) = self.division.remnant else { return (Vec::new(), None) };
        let seen = view.bounds(&remnant);
        let sizes = self.sizes([remnant.width(), remnant.height()]);
        let mut items = vec![Item::Line(Pen::Dashed, outline(&seen))];
        let centre = seen.centre();
        let two_lines = |height: f64| {
            let name = centred("remnant", SMALL, Weight::Plain, centre + (0.0, height + 1.1));
            let size = centred(&sizes, height, Weight::Heavy, centre);
            let both = name.bounds().and(size.bounds()).grown(CLEAR);
            contains(&seen, &both).then_some([Item::Words(name), Item::Words(size)])
        };
        let words = format!("remnant {sizes}");
        if let Some(both) = two_lines(LARGE).or_else(|| two_lines(SMALL)) {
            items.extend(both);
        } else if let Some(words) = within(&seen, &words) {
            items.push(Item::Words(words));
        } else {
            return (items, Some((centre, words)));
        }
        (items, None)
    }

    /// How a piece lies.
    fn oriented(&self, piece: usize) -> Oriented {
        let (part, place) = &self.nested.placed[piece];
        (*part, place.mirrored, place.rotation.degrees().to_bits())
    }

    /// Where words may be in a piece, measured once for each orientation of a part, whatever the scale;
    /// and the shift of the piece that was measured.
    pub(super) fn roomy(&self, piece: usize) -> (Rc<Roomy>, Vec2) {
        let new = || {
            let lines = self.bends(piece).into_iter().chain(self.marks(piece).concat());
            let roomy = Roomy::new(&self.pieces[piece], &lines.collect::<Vec<Edge>>());
            (Rc::new(roomy), self.nested.placed[piece].1.shift)
        };
        let mut known = self.roomy.borrow_mut();
        let (roomy, shift) = known.entry(self.oriented(piece)).or_insert_with(new);
        (Rc::clone(roomy), *shift)
    }

    /// The number of each piece at the place with the most room in it, upright where that is possible.
    pub(super) fn numbers(&self, view: &View) -> Vec<Option<Words>> {
        // Once for each orientation of a part.
        let mut known = HashMap::new();
        let number = |piece: usize| {
            let (_, place) = &self.nested.placed[piece];
            let text = self.number(piece).to_string();
            let found = known.entry(self.oriented(piece)).or_insert_with(|| {
                let (roomy, measured) = self.roomy(piece);
                let ways = [Reading::Level, Reading::Upward];
                let mut ways = ways.into_iter().flat_map(|way| [(way, LARGE), (way, SMALL)]);
                ways.find_map(|(reading, height)| {
                    let words = Words::heavy(Point::ZERO, height, &text);
                    let size = [words.length(), height].map(|mm| (mm + 2.0 * CLEAR) / view.scale);
                    let found = roomy.roomiest(size, reading);
                    found.map(|Place { centre, .. }| (centre - measured, reading, height))
                })
            });
            found.map(|(centre, reading, height)| {
                let words = Words::heavy(Point::ZERO, height, &text);
                placed(words, reading, view.point(centre + place.shift))
            })
        };
        (0..self.pieces.len()).map(number).collect()
    }
}

/// Words whose letters have their centre at a place.
fn placed(words: Words, reading: Reading, centre: Point) -> Words {
    let (half, high) = (words.length() / 2.0, words.height / 2.0);
    match reading {
        Reading::Upward => Words { at: centre + (high, -half), ..words.upward() },
        _ => Words { at: centre - (half, high), ..words },
    }
}

pub(super) fn centred(text: &str, height: f64, weight: Weight, centre: Point) -> Words {
    let words = Words::plain(Point::ZERO, height, text);
    placed(Words { weight, ..words }, Reading::Level, centre)
}

/// Words in the centre of a rectangle, horizontal or upward; `None` if there is no room.
fn within(room: &Bounds, text: &str) -> Option<Words> {
    let words = Words::heavy(Point::ZERO, SMALL, text);
    let fits = |reading| {
        let words = placed(words.clone(), reading, room.centre());
        contains(room, &words.bounds().grown(CLEAR)).then_some(words)
    };
    fits(Reading::Level).or_else(|| fits(Reading::Upward))
}

/// What hatching leaves bare for words.
fn bare(words: Option<&Words>) -> Option<Bounds> {
    words.map(|words| words.bounds().grown(CLEAR))
}

pub(super) fn contains(outer: &Bounds, inner: &Bounds) -> bool {
    outer.min.x <= inner.min.x
        && outer.min.y <= inner.min.y
        && inner.max.x <= outer.max.x
        && inner.max.y <= outer.max.y
}

pub(super) fn intersection(a: &Bounds, b: &Bounds) -> Option<Bounds> {
    let min = Point::new(a.min.x.max(b.min.x), a.min.y.max(b.min.y));
    let max = Point::new(a.max.x.min(b.max.x), a.max.y.min(b.max.y));
    (min.x < max.x && min.y < max.y).then_some(Bounds { min, max })
}

/// The outline of a rectangle.
pub(super) fn outline(bounds: &Bounds) -> Vec<Edge> {
    let Bounds { min, max } = *bounds;
    let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
    corners.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect()
}
